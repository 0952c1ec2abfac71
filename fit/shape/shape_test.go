package shape

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// upright is a pose on the table, turned by any angle; a little off level, as
// things on tables are not.
func upright(rng *rand.Rand) geom.Pose {
	return geom.Pose{
		R: geom.RotFromRPY(0.02*rng.NormFloat64(), 0.02*rng.NormFloat64(), 2*math.Pi*rng.Float64()),
		T: r3.Vec{X: 800 + 200*rng.Float64(), Y: -100 + 200*rng.Float64(), Z: 8},
	}
}

// clutter stands beside the object.
func clutter(m r3.Vec) []geom.Triangle {
	out := placed(block(60, 90, 70), geom.Pose{R: geom.RotFromRPY(0, 0, 0.4), T: r3.Vec{X: m.X + 190, Y: m.Y - 40, Z: 0}})
	return append(out, placed(bar(30, 110), geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: m.X - 210, Y: m.Y + 40, Z: 0}})...)
}

// TestLocateOverDrawnPoses: an object among others is found, and its 95 %
// intervals hold the truth.
func TestLocateOverDrawnPoses(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	const n = 12
	m := NewModel(angle())
	located, inside, stated := 0, 0, 0
	for i := range n {
		rng := rand.New(rand.NewPCG(uint64(i), 5))
		truth := upright(rng)
		middle := truth.Apply(m.middle)
		s := stage{facets: append(placed(angle(), truth), clutter(middle)...), noise: 0.1, shift: 0.2, turn: 0.0003}
		c := s.cloud(middle, around(middle), rng)
		found, refused := Locate(c, m, Want{Voxels: everything(c)})
		if refused != nil {
			t.Logf("pose %d: %+v", i, *refused)
			continue
		}
		located++
		d := found.Pose.Minus(truth)
		for k := range d {
			sigma := math.Sqrt(found.Cov[k][k])
			stated++
			if math.Abs(d[k]) < 1.96*sigma {
				inside++
			}
			if math.Abs(d[k]) > 5*sigma || k < 3 && math.Abs(d[k]) > 2 {
				t.Errorf("pose %d: parameter %d is off by %.3g, stated sigma %.3g", i, k, d[k], sigma)
			}
		}
	}
	if located < n*9/10 {
		t.Errorf("only %d of %d located", located, n)
	}
	least := 0.95 - 5*math.Sqrt(0.95*0.05/float64(stated))
	if share := float64(inside) / float64(stated); share < least {
		t.Errorf("%.3f of the 95 %% intervals hold the truth, less than %.3f", share, least)
	}
}

// TestLocateWithoutFlawsIsExact: with next to no noise the pose is the true one.
func TestLocateWithoutFlawsIsExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	m, truth := NewModel(angle()), upright(rng)
	middle := truth.Apply(m.middle)
	c := stage{facets: placed(angle(), truth), noise: 0.005}.cloud(middle, around(middle), rng)
	found, refused := Locate(c, m, Want{Voxels: everything(c)})
	if refused != nil {
		t.Fatal(*refused)
	}
	for k, d := range found.Pose.Minus(truth) {
		if most := [6]float64{0.01, 0.01, 0.01, 1e-4, 1e-4, 1e-4}[k]; math.Abs(d) > most {
			t.Errorf("parameter %d is off by %g, more than %g", k, d, most)
		}
	}
	if found.Seen < 0.3 || found.Seen > 0.8 {
		t.Errorf("from above and three sides %.2f of it was seen", found.Seen)
	}
}

func TestRefuses(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	rng := rand.New(rand.NewPCG(7, 5))
	truth := upright(rng)
	scan := func(there, model []geom.Triangle, lines func(r3.Vec) [][2]r3.Vec) (*Located, *Refused) {
		m := NewModel(model)
		middle := truth.Apply(NewModel(there).middle)
		c := stage{facets: placed(there, truth), noise: 0.1, shift: 0.1}.cloud(middle, lines(middle), rng)
		return Locate(c, m, Want{Voxels: everything(c)})
	}
	above := func(m r3.Vec) [][2]r3.Vec {
		return [][2]r3.Vec{{r3.Add(m, r3.Vec{X: -120, Z: 500}), r3.Add(m, r3.Vec{X: 120, Z: 500})}}
	}
	for _, x := range []struct {
		name         string
		there, model []geom.Triangle
		lines        func(r3.Vec) [][2]r3.Vec
		says         string
	}{
		{"a round bar", bar(40, 120), bar(40, 120), around, "its turn about its Z"},
		{"a plain block", block(60, 90, 120), block(60, 90, 120), around, "two poses fit it alike: one turned against the other by 180 deg about its"},
		{"something else", block(150, 100, 60), angle(), around, "nothing of its shape"},
		{"seen from above only", angle(), angle(), above, ""},
	} {
		found, refused := scan(x.there, x.model, x.lines)
		if refused == nil {
			t.Errorf("%s: located at %v, seen %.2f", x.name, found.Pose, found.Seen)
			continue
		}
		if !strings.Contains(refused.Reason, x.says) || refused.ScanNext == "" {
			t.Errorf("%s: refused with %q, %q", x.name, refused.Reason, refused.ScanNext)
		}
	}
}

// TestTwoAlikeNeedAHint: two of one shape are two places, and a hint picks one.
func TestTwoAlikeNeedAHint(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	rng := rand.New(rand.NewPCG(9, 5))
	m, truth := NewModel(angle()), upright(rng)
	other := geom.Pose{R: geom.RotFromRPY(0, 0, 1), T: r3.Add(truth.T, r3.Vec{X: 240, Y: 60})}
	middle := truth.Apply(m.middle)
	lines := append(around(middle), around(other.Apply(m.middle))...)
	c := stage{facets: append(placed(angle(), truth), placed(angle(), other)...), noise: 0.1}.cloud(r3.Scale(0.5, r3.Add(middle, other.Apply(m.middle))), lines, rng)
	if found, refused := Locate(c, m, Want{Voxels: everything(c)}); refused == nil || !strings.Contains(refused.Reason, "two places") {
		t.Errorf("two alike and no hint: %+v, %+v", found, refused)
	}
	near := other.Apply(m.middle)
	found, refused := Locate(c, m, Want{Voxels: everything(c), Near: &near})
	if refused != nil || r3.Norm(r3.Sub(found.Pose.T, other.T)) > 2 {
		t.Errorf("with a hint: %+v, %+v", found, refused)
	}
}
