// Package cores spreads independent work over the machine's cores. What a call
// writes must depend on its index alone: then the result is the same however
// many cores there are.
package cores

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// Each calls do for 0 to n-1, each once, and returns when all are done. Indices
// are handed out one by one, so the calls may be of very different length.
func Each(n int, do func(i int)) { Until(context.Background(), n, do) }

// Until is Each that hands out no further index once the context has ended.
func Until(ctx context.Context, n int, do func(i int)) {
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	all.Wait()
}

// Parts calls do for consecutive parts [from, to) of 0 to n-1, as many as there
// are cores: for calls so short that handing out each would cost more.
func Parts(n int, do func(from, to int)) {
	parts := min(n, runtime.GOMAXPROCS(0))
	Each(parts, func(k int) { do(k*n/parts, (k+1)*n/parts) })
}
