package fit

import (
	"math"
	"testing"

	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// A scan 3 mm and 2 mrad off the others leaves nothing known better, a metre
// from the scanner, than to the root of 3^2 + 2^2 mm across.
func TestAdriftWidensWhatIsStated(t *testing.T) {
	f := &Findings{Objects: []Object{{
		Pose:  geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 1000}},
		Faces: []Face{{Surface: surface.Surface{Centre: r3.Vec{X: 1000}}}},
	}}}
	f.adrift(nil)
	f.adrift(&mapping.Aligned{Moves: []mapping.Move{{}}})
	if f.Objects[0].Cov != (geom.Cov6{}) {
		t.Fatal("widened though no scan is off")
	}
	f.adrift(&mapping.Aligned{Moves: []mapping.Move{{}, {}}, Off: mapping.Rigid{Shift: 3, Turn: 0.002}})
	o := f.Objects[0]
	if got, want := o.Cov.SigmaT().Y, math.Sqrt(9+4); math.Abs(got-want) > 1e-9 {
		t.Errorf("sigma %v mm across, want %v", got, want)
	}
	if got := o.Cov.SigmaT().X; math.Abs(got-3) > 1e-9 {
		t.Errorf("sigma %v mm along, want 3", got)
	}
	if s := math.Sqrt(o.Faces[0].Cov[0][0]); s < 3 {
		t.Errorf("the face's offset is known to %v mm", s)
	}
}
