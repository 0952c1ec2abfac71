package cores

import (
	"context"
	"sync/atomic"
	"testing"
)

func TestEveryIndexIsCalledOnce(t *testing.T) {
	for name, spread := range map[string]func(n int, do func(i int)){
		"Each": Each,
		"Parts": func(n int, do func(i int)) {
			Parts(n, func(from, to int) {
				for i := from; i < to; i++ {
					do(i)
				}
			})
		},
	} {
		for _, n := range []int{0, 1, 3, 1000} {
			calls := make([]atomic.Int32, n)
			spread(n, func(i int) { calls[i].Add(1) })
			for i := range calls {
				if times := calls[i].Load(); times != 1 {
					t.Errorf("%s: of %d, %d was called %d times", name, n, i, times)
				}
			}
		}
	}
}

func TestUntilStopsWithTheContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	var calls atomic.Int32
	Until(ctx, 1<<40, func(int) {
		calls.Add(1)
		cancel()
	})
	if calls.Load() == 0 {
		t.Error("nothing was called before the context ended")
	}
}
