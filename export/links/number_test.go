package links

import (
	"math"
	"testing"

	"cellwall/mapping/geom"
)

func TestMetres(t *testing.T) {
	for _, c := range []struct {
		mm   float64
		want string
	}{{1234.5678, "1.2345678"}, {-0.00001, "0"}, {1000, "1"}, {0.1, "0.0001"}} {
		if got := metres(c.mm); got != c.want {
			t.Errorf("%g mm is %q m, want %q", c.mm, got, c.want)
		}
	}
}

func TestAngles(t *testing.T) {
	if got, want := angles(geom.RotFromRPY(0.1, -0.2, math.Pi/2)), "0.1 -0.2 1.570796327"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
