package scene

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// twoScans see the same planes; the second lies off by the small rigid motion d
// about the origin. Every voxel's points scatter by noise across its plane.
func twoScans(normals []r3.Vec, d [6]float64, noise float64) (*mapping.Cloud, *fit.Findings) {
	r := rand.New(rand.NewPCG(1, 1))
	cloud, found := &mapping.Cloud{Scans: []string{"a", "b"}}, &fit.Findings{}
	off := geom.Identity().Perturb(d)
	for _, n := range normals {
		plane := geom.Plane{Normal: n, Offset: -1000}
		frame := plane.Frame(r3.Vec{})
		s := surface.Surface{Plane: plane, Scans: []int32{0, 1}}
		for i := range 4000 {
			p := frame.Apply(r3.Vec{X: 1500 * (r.Float64() - .5), Y: 1500 * (r.Float64() - .5)})
			if i%2 == 1 {
				p = off.Apply(p)
			}
			m := geom.Moments{N: 10, Mean: p, Scatter: geom.Outer(10*noise*noise, n)}
			s.Voxels = append(s.Voxels, int32(len(cloud.Voxels)))
			cloud.Voxels = append(cloud.Voxels, mapping.Voxel{Moments: m, Scan: int32(i % 2)})
		}
		found.Loose = append(found.Loose, s)
	}
	return cloud, found
}

func TestAgreementFindsAKnownShift(t *testing.T) {
	d := [6]float64{0.4, -0.2, 0.3, 2e-4, -1e-4, 3e-4}
	three := []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	got := agreement(twoScans(three, d, 0.2))
	if len(got) != 2 || got[0].Scan != "a" || got[1].Scan != "b" {
		t.Fatalf("agreement of %d scans", len(got))
	}
	if got[0].Moved == nil || r3.Norm(got[0].Moved.T) > 1e-9 || math.Abs(got[0].Before-0.2) > 1e-9 {
		t.Errorf("the scan on the planes: %+v", got[0])
	}
	b := got[1]
	if b.Moved == nil || b.Surfaces != 3 {
		t.Fatalf("three planes tell all six: %+v", b)
	}
	want := r3.Add(r3.Vec{X: d[0], Y: d[1], Z: d[2]}, r3.Cross(r3.Vec{X: d[3], Y: d[4], Z: d[5]}, b.Middle))
	if e := r3.Norm(r3.Sub(b.Moved.T, want)); e > 1e-3 {
		t.Errorf("shift off by %g mm", e)
	}
	if e := r3.Norm(r3.Sub(b.Moved.R, r3.Vec{X: d[3], Y: d[4], Z: d[5]})); e > 1e-6 {
		t.Errorf("rotation off by %g rad", e)
	}
	if b.Before < 0.3 || math.Abs(b.After-0.2) > 1e-3 {
		t.Errorf("residual %g before and %g after, want more than 0.3 and 0.2", b.Before, b.After)
	}
}

// Two parallel planes do not tell how a scan lies along them: no number is
// given rather than a guess.
func TestAgreementIsSilentWherePlanesDoNotTell(t *testing.T) {
	got := agreement(twoScans([]r3.Vec{{Z: 1}, {Z: -1}}, [6]float64{2: 0.4}, 0.2))
	if len(got) != 2 || got[1].Moved != nil || got[1].After != got[1].Before {
		t.Errorf("%+v", got)
	}
}

func TestAgreementNeedsSharedPlanes(t *testing.T) {
	cloud, found := twoScans([]r3.Vec{{Z: 1}}, [6]float64{}, 0.1)
	found.Loose[0].Scans = []int32{0}
	if got := agreement(cloud, found); got != nil {
		t.Errorf("%+v", got)
	}
}
