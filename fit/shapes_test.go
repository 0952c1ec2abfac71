package fit

import (
	"math"
	"strings"
	"testing"

	"cellwall/mapping/cell"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// jig is a fixture of three bodies, each by its least corner and size in the
// model's frame: no turn takes it into itself.
var jig = [][2]r3.Vec{
	{{}, {X: 500, Y: 320, Z: 60}},
	{{Z: 60}, {X: 60, Y: 320, Z: 380}},
	{{X: 330, Y: 180, Z: 60}, {X: 110, Y: 90, Z: 240}},
}

// facets of a box, looking outward.
func facets(lo, size r3.Vec) (out []geom.Triangle) {
	at := func(i int) r3.Vec {
		return r3.Add(lo, r3.Vec{X: size.X * float64(i&1), Y: size.Y * float64(i>>1&1), Z: size.Z * float64(i>>2)})
	}
	for _, q := range [6][4]int{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		out = append(out, geom.Triangle{at(q[0]), at(q[1]), at(q[2])}, geom.Triangle{at(q[0]), at(q[2]), at(q[3])})
	}
	return out
}

// TestFindAShape: it stands in a hall among other things, on a bench, and takes
// its surfaces.
func TestFindAShape(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	w := hall(3)
	at := standing(1200, -150, 2.2).Mul(geom.Pose{R: geom.IdentityRot(), T: r3.Vec{Z: 500}})
	w.box(standing(1400, -150, 2), -450, -350, 0, 900, 700, 500)
	wanted := cell.Wanted{Name: "jig", Kind: "shape"}
	for _, b := range jig {
		w.box(at, b[0].X, b[0].Y, b[0].Z, b[1].X, b[1].Y, b[1].Z)
		wanted.Model = append(wanted.Model, facets(b[0], b[1])...)
	}
	w.box(standing(1500, 700, 0.5), 0, 0, 0, 300, 400, 500)
	found := Find(w.look(toward(0)), []cell.Wanted{wanted})
	o := found.named("jig")
	if o == nil {
		t.Fatalf("refused: %+v", found.Refused)
	}
	for k, d := range o.Pose.Minus(at) {
		if sigma := math.Sqrt(o.Cov[k][k]); math.Abs(d) > 4*sigma || k < 3 && sigma > 1 {
			t.Errorf("parameter %d is off by %.3g, stated sigma %.3g", k, d, sigma)
		}
	}
	if o.Kind != Shape || len(o.Hulls) != 3 || len(o.Faces) < 3 {
		t.Errorf("a %s of %d hulls and %d faces", o.Kind, len(o.Hulls), len(o.Faces))
	}
	for _, other := range found.Objects {
		if other.Kind == Block && r3.Norm(r3.Sub(other.Pose.T, at.Apply(r3.Vec{X: 250, Y: 160, Z: 100}))) < 300 {
			t.Errorf("%s stands where the jig does", other.Name)
		}
	}
}

func TestAShapeNeedsItsMachine(t *testing.T) {
	w := cell.Wanted{Name: "jig", Kind: "shape", Inside: "mill"}
	if _, err := placeIn(w, []station{{name: "lathe"}}); err == nil || !strings.Contains(err.Reason, "mill") {
		t.Errorf("refused %+v", err)
	}
	if st, err := placeIn(w, []station{{name: "lathe"}, {name: "mill"}}); err != nil || st.name != "mill" {
		t.Errorf("in %q, refused %+v", st.name, err)
	}
}
