package reliability

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"sync"
	"sync/atomic"
)

// block is how many samples share one stream of random numbers. It is fixed, so
// that the answer does not depend on the number of workers.
const block = 256

// SampleOptions steer a Monte Carlo run.
type SampleOptions struct {
	Samples  int
	Seed     uint64
	Workers  int                   // 0 means 1
	Progress func(done, total int) // may be nil; called from one goroutine at a time
}

// Counts is what a Monte Carlo run found.
type Counts struct {
	Samples int
	Fails   []int // per event
	Any     int   // at least one event
}

// Trial judges samples: u are standard normal values, fails is to be set (it
// starts false) for every event that happens. One Trial is used by one
// goroutine only.
type Trial func(u []float64, fails []bool)

// Sample draws samples of n standard normal values and counts events. Every
// block of samples has a random stream of its own (PCG, seed and block number),
// so equal options and seed give equal counts whatever the number of workers.
// The error is the context's, or says that there is nothing to draw.
func Sample(ctx context.Context, n, events int, opt SampleOptions, newTrial func() Trial) (Counts, error) {
	if opt.Samples <= 0 {
		return Counts{}, errors.New("chance: at least one sample is needed")
	}
	workers := max(1, opt.Workers)
	blocks := (opt.Samples + block - 1) / block
	var next atomic.Int64
	var lock sync.Mutex // guards done and total
	done := 0
	total := Counts{Samples: opt.Samples, Fails: make([]int, events)}
	var wg sync.WaitGroup
	for range min(workers, blocks) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			trial := newTrial()
			u, fails, mine := make([]float64, n), make([]bool, events), make([]int, events)
			any := 0
			for ctx.Err() == nil {
				b := int(next.Add(1)) - 1
				if b >= blocks {
					break
				}
				rng := rand.New(rand.NewPCG(opt.Seed, uint64(b)))
				count := min(block, opt.Samples-b*block)
				for range count {
					for i := range u {
						u[i] = rng.NormFloat64()
					}
					clear(fails)
					trial(u, fails)
					one := 0
					for i, f := range fails {
						if f {
							mine[i]++
							one = 1
						}
					}
					any += one
				}
				lock.Lock()
				done += count
				if opt.Progress != nil {
					opt.Progress(done, opt.Samples)
				}
				lock.Unlock()
			}
			lock.Lock()
			defer lock.Unlock()
			total.Any += any
			for i, v := range mine {
				total.Fails[i] += v
			}
		}()
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return Counts{}, err
	}
	return total, nil
}

// Share turns a count of n into a probability and its standard error. The error
// is that of a count one higher when nothing (or everything) was counted, so
// that it is never 0.
func Share(count, n int) (p, standardError float64) {
	p = float64(count) / float64(n)
	q := math.Min(math.Max(p, 1/float64(n+1)), 1-1/float64(n+1))
	return p, math.Sqrt(q * (1 - q) / float64(n))
}

// Drawer returns a function that maps standard normal values u to the variables'
// own values x, for many calls.
func Drawer(vars []Variable) func(u, x []float64) {
	m := newMapping(vars)
	return func(u, x []float64) {
		for i := range vars {
			x[i], _ = m.at(i, u[i])
		}
	}
}
