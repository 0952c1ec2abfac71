package surface

import (
	"runtime"
	"sync"
)

// inParallel calls f on consecutive parts of 0..n-1, at once. What f writes must
// depend on the index alone, so that the result is the same on any machine.
func inParallel(n int, f func(from, to int)) {
	parts := runtime.GOMAXPROCS(0)
	var wg sync.WaitGroup
	for k := range parts {
		from, to := k*n/parts, (k+1)*n/parts
		if from < to {
			wg.Go(func() { f(from, to) })
		}
	}
	wg.Wait()
}

// forEach calls f for every index below n, handing them out one by one: for
// jobs of very different size. The same rule as for inParallel holds.
func forEach(n int, f func(i int)) {
	jobs := make(chan int)
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		wg.Go(func() {
			for i := range jobs {
				f(i)
			}
		})
	}
	for i := range n {
		jobs <- i
	}
	close(jobs)
	wg.Wait()
}
