package fit

import (
	"math/rand/v2"
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Voxels anywhere, seen from anywhere, against sheets anywhere: those passed over
// have neither points nor a ray in the region, and most are passed over.
func TestNearMissesNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	within := func(r float64) r3.Vec {
		return r3.Vec{X: r * (2*rng.Float64() - 1), Y: r * (2*rng.Float64() - 1), Z: r * (2*rng.Float64() - 1)}
	}
	cloud := &mapping.Cloud{}
	for range 300 {
		place, eye := within(1500), within(1500)
		for range bundled {
			cloud.Voxels = append(cloud.Voxels, voxelOf(r3.Add(eye, within(20)), r3.Add(place, within(20))))
		}
	}
	s := newSurvey(cloud, nil)
	visited, met := 0, 0
	for range 40 {
		frame := geom.Pose{R: geom.Exp(within(2)), T: within(500)}.Inverse()
		size := 20 + 200*rng.Float64()
		region := rect{lo: [2]float64{-size, -size}, hi: [2]float64{size, size}}
		seen := make([]bool, len(cloud.Voxels))
		s.near(frame, region, func(i int, _ *mapping.Voxel) { seen[i] = true })
		for i := range cloud.Voxels {
			v := &cloud.Voxels[i]
			p := frame.Apply(v.Mean)
			r, through := newRay(v, frame)
			meets := p.Z < proud && p.Z > -proud && region.contains(p) || through && region.contains(r.through)
			if meets && !seen[i] {
				t.Fatalf("voxel at %v, seen from %v, was passed over", p, frame.Apply(v.Eye()))
			}
			if meets {
				met++
			}
			if seen[i] {
				visited++
			}
		}
	}
	if met < 1000 || visited > 20*met {
		t.Errorf("of %d voxels, %d have to do with the sheets, %d were looked at", 40*len(cloud.Voxels), met, visited)
	}
}
