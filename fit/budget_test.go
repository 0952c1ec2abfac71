package fit

import (
	"math"
	"testing"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestSharesAddUp: of planes with known shares the budget of the datum is that of
// each, and together they are the covariance (JCGM 100:2008, 5.1.2).
func TestSharesAddUp(t *testing.T) {
	plane := func(n, at r3.Vec, noise, sweep, arm, mount float64) bound {
		b := bound{Plane: geom.Plane{Normal: n, Offset: r3.Dot(n, at)}, Centre: at}
		b.shares.Noise[0][0], b.shares.Sweep[0][0], b.shares.Arm[0][0] = noise*noise, sweep*sweep, arm*arm
		b.shares.Mount[0][0] = mount * mount
		b.Cov = b.shares.Total()
		return b
	}
	from := []bound{
		plane(r3.Vec{X: -1}, r3.Vec{X: 900, Z: 500}, 0.1, 0.2, 0.3, 0.4),
		plane(r3.Vec{Z: 1}, r3.Vec{X: 500}, 0.05, 0.1, 0.1, 0.2),
		edgeBound(r3.Vec{Y: 1}, r3.Vec{X: 900, Y: 700}, 0.6),
		edgeBound(r3.Vec{Y: -1}, r3.Vec{X: 900, Y: -700}, 0.8),
	}
	var o Object
	var ok bool
	if o.Pose, o.Cov, ok = datum(from, enclosureDatum); !ok {
		t.Fatal("no datum")
	}
	o.Budget = budget(from, enclosureDatum)
	shares := o.Shares()
	var sum geom.Cov6
	for _, s := range shares {
		sum = sum.Plus(s.Cov)
	}
	for i := range sum {
		within(t, "the sum of the shares", sum[i][i], o.Cov[i][i], 1e-9)
	}
	// the front alone holds X, the floor Z, and the middle between both ends Y
	for k, want := range []r3.Vec{{X: 0.1, Z: 0.05}, {X: 0.2, Z: 0.1}, {X: 0.3, Z: 0.1}, {X: 0.4, Z: 0.2}, {Y: math.Hypot(0.6, 0.8) / 2}} {
		c := shares[k].Cov
		within(t, shares[k].Source+" along X", c[0][0], want.X*want.X, 1e-6)
		within(t, shares[k].Source+" along Z", c[2][2], want.Z*want.Z, 1e-6)
		if k == 4 {
			within(t, shares[k].Source+" along Y", c[1][1], want.Y*want.Y, 1e-6)
		}
	}
}

// A mean of n points of sigma s has the variance s^2/n; of correlated ones more.
func TestEffective(t *testing.T) {
	f := Face{Surface: surface.Surface{RMS: 0.3, Points: 900}}
	if f.Effective() != 0 {
		t.Error("a face without a budget has points of effect")
	}
	f.Budget.Noise[0][0] = 0.3 * 0.3 / 100
	within(t, "points of effect", f.Effective(), 100, 1e-9)
}
