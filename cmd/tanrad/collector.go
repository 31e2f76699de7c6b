package main

import (
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"slices"
)

// A question on the command line is over within seconds, and a quarter of its time would
// go to collecting garbage. So the collector waits until the heap is several times what
// lives in it, as long as that is little, and until a fixed amount of garbage has come
// together where it is much: most of a large board lies in few large pieces, which cost
// nothing to mark. What runs for long keeps to the usual measure, and so does whoever
// sets GOGC.
const (
	patient = 400       // per cent that the heap may grow by before it is collected
	garbage = 128 << 20 // bytes of garbage that may come together beyond that
	least   = 12        // per cent
)

// beat dies with every collection.
type beat struct{ _ [16]byte }

// collectLate makes the collector wait where that is worth it.
func collectLate(args []string) {
	long := func(a string) bool { return a == "serve" || a == "work" }
	if _, told := os.LookupEnv("GOGC"); told || slices.ContainsFunc(args, long) {
		return
	}
	debug.SetGCPercent(patient)
	watchHeap()
}

func watchHeap() {
	runtime.SetFinalizer(&beat{}, func(*beat) {
		live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
		metrics.Read(live)
		if live[0].Value.Kind() == metrics.KindUint64 {
			debug.SetGCPercent(growth(live[0].Value.Uint64()))
		}
		watchHeap()
	})
}

// growth is the per cent that a heap may grow by in which so many bytes live.
func growth(live uint64) int {
	return int(max(least, min(patient, 100*garbage/max(1, live))))
}
