package surface

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"
)

// The same as the standard library's stable sort.
func TestInOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 0))
	for _, bits := range []int{0, 3, 12, 63} {
		a := make([]place, 2000)
		for i := range a {
			a[i] = place{r.Uint64() & (1<<bits - 1) << (63 - bits) >> (63 - bits), int32(i)}
		}
		want := slices.Clone(a)
		slices.SortStableFunc(want, func(p, q place) int { return cmp.Compare(p.code, q.code) })
		if got := inOrder(a); !slices.Equal(got, want) {
			t.Errorf("%d bits: not in order", bits)
		}
	}
	if got := inOrder(nil); len(got) != 0 {
		t.Errorf("nothing becomes %v", got)
	}
}
