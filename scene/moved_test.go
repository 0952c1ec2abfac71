package scene

import (
	"bytes"
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// A point lies in a moved object where it lay in the object before, at the same
// distance from every face, known as well.
func TestMovedByKeepsShape(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	v := func(s float64) r3.Vec {
		return r3.Vec{X: s * rng.NormFloat64(), Y: s * rng.NormFloat64(), Z: s * rng.NormFloat64()}
	}
	by := geom.Pose{R: geom.Exp(v(.5)), T: v(300)}
	s := sample(t)
	for i := range s.Objects {
		o := &s.Objects[i]
		got, err := o.MovedBy(by)
		if err != nil {
			t.Fatal(err)
		}
		in := 0
		for range 3000 {
			p := r3.Add(o.Pose.T, v(200))
			for k := range o.Solids {
				a, b := o.Solids[k].Contains(p, o.Margin), got.Solids[k].Contains(by.Apply(p), o.Margin)
				if a {
					in++
				}
				if a != b && o.Solids[k].Contains(p, o.Margin+.01) == o.Solids[k].Contains(p, o.Margin-.01) {
					t.Fatalf("%s: solid %d has another shape", o.Name, k)
				}
			}
			for k := range o.Faces {
				if d := o.Faces[k].Plane.Distance(p) - got.Faces[k].Plane.Distance(by.Apply(p)); math.Abs(d) > 1e-9 {
					t.Fatalf("%s: face %d is %g mm nearer", o.Name, k, d)
				}
			}
		}
		for k := range o.Faces {
			a, b := o.Faces[k].Cov, got.Faces[k].Cov
			if d := a[1][1] + a[2][2] - b[1][1] - b[2][2]; a[0][0] != b[0][0] || math.Abs(d) > 1e-18 {
				t.Errorf("%s: face %d is known otherwise", o.Name, k)
			}
		}
	}
}

func TestOriginIsWrittenAndReadAgain(t *testing.T) {
	s := sample(t)
	s.Objects[0].Origin, s.Objects[1].Origin = OldMoved, FromNew
	got, err := Read(bytes.NewReader(written(t, s)))
	if err != nil || got.Objects[0].Origin != OldMoved || got.Objects[1].Origin != FromNew || got.Objects[2].Origin != "" {
		t.Errorf("%v", err)
	}
}
