package fit

import (
	"sync/atomic"
	"testing"
)

func TestForEachCallsEachOnce(t *testing.T) {
	calls := make([]atomic.Int32, 1000)
	forEach(len(calls), func(i int) { calls[i].Add(1) })
	for i := range calls {
		if n := calls[i].Load(); n != 1 {
			t.Fatalf("%d was called %d times", i, n)
		}
	}
	forEach(0, func(int) { t.Error("called for nothing") })
}
