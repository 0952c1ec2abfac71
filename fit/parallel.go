package fit

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// forEach calls do for 0 to n-1 on all cores. Each call writes only what belongs
// to its index, so the result does not depend on how many there are.
func forEach(n int, do func(i int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	wg.Wait()
}
