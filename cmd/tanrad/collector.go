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
// lives in it, as long as that is little; what runs for long or holds much keeps to the
// usual measure, and so does whoever sets GOGC.
const (
	patient   = 400      // per cent that the heap may grow by before it is collected
	usual     = 100      // the runtime's own
	patientTo = 64 << 20 // bytes that live, up to which the collector waits
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
		if live[0].Value.Kind() == metrics.KindUint64 && live[0].Value.Uint64() <= patientTo {
			watchHeap()
			return
		}
		debug.SetGCPercent(usual)
	})
}
