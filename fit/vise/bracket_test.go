package vise

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Strips that agree are an edge; of strips of which each ends elsewhere, as where a
// sparse scan barely met a top, one that is left over says nothing.
func TestFewStripsAgreeOnNothing(t *testing.T) {
	t.Parallel()
	ends := func(at ...float64) bracket {
		b := newBracket(len(at), func(i int, u float64) r3.Vec { return r3.Vec{X: float64(i), Y: u} })
		for i, u := range at {
			b.take(i, u-0.2, true, false)
			b.take(i, u+0.2, false, true)
		}
		return b
	}
	for name, c := range map[string]struct {
		bracket
		left int
	}{
		"in line":        {ends(5, 5.1, 4.9, 5), 4},
		"with a spike":   {ends(5, 5.1, 4.9, 7.3), 3},
		"all elsewhere":  {ends(2, 5, 3.5, 6.5), 0},
		"hardly any":     {ends(5, 5.1), 0},
		"not both sides": {newBracket(4, nil), 0},
	} {
		index, _, _ := c.strips()
		if _, ok := c.edge(); len(index) != c.left || ok != (c.left > 0) {
			t.Errorf("%s: %d strips, an edge: %v; want %d", name, len(index), ok, c.left)
		}
	}
}
