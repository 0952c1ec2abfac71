package surface

import (
	"math"
	"testing"
)

// The bar is 0.1 degrees on the worse of both turns, whatever the offset's.
func TestFaint(t *testing.T) {
	deg := math.Pi / 180
	for _, c := range []struct {
		offset, u, v float64
		round, want  bool
	}{
		{offset: 5, u: 0.09 * deg, v: 0.09 * deg, want: false},
		{offset: 0.1, u: 0.11 * deg, v: 0.01 * deg, want: true},
		{offset: 0.1, u: 0.01 * deg, v: 0.11 * deg, want: true},
		{offset: 0.1, u: 1 * deg, v: 1 * deg, round: true, want: false},
	} {
		s := Surface{Cov: Cov3{{c.offset * c.offset, 0, 0}, {0, c.u * c.u, 0}, {0, 0, c.v * c.v}}}
		if c.round {
			s.Cylinder = &Cylinder{}
		}
		if s.Faint() != c.want {
			t.Errorf("%+v: faint %v", c, s.Faint())
		}
	}
}
