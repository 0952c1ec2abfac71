package fit

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestCabinetIsABlock(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	s := shop()
	s.findWalls(nil)
	blocks := s.findBlocks()
	middle := cabinetAt.Apply(r3.Vec{Z: 750})
	found := false
	for _, b := range blocks {
		if r3.Norm(r3.Sub(b.Pose.T, middle)) > 300 {
			continue
		}
		found = true
		in := cabinetAt.Inverse().Mul(b.Parts[0].Pose)
		size := b.Parts[0].Size
		if tilt(in.R.Axis(0), r3.Vec{X: 1}) > 1 { // its largest face is the wide or the narrow side
			size.X, size.Y = size.Y, size.X
		}
		within(t, "width", size.X, 800, 60) // an unseen side ends where the others were seen to end
		within(t, "depth", size.Y, 500, 60)
		within(t, "height", size.Z, 1500, 60)
		within(t, "turn about the upright", deg(min(tilt(in.R.Axis(0), r3.Vec{X: 1}), tilt(in.R.Axis(0), r3.Vec{Y: 1}))), 0, 0.3)
	}
	if !found {
		t.Errorf("no block near the cabinet among %d", len(blocks))
	}
}

// cubeFaces are the front, the left side and the top of a cube of 400 mm at c, as
// seen from far off at -X, +Y, +Z.
func cubeFaces(c r3.Vec) *survey {
	const a = 400
	return handMade(
		tile(r3.Add(c, r3.Vec{X: -a / 2}), r3.Vec{X: -1}, a, a),
		tile(r3.Add(c, r3.Vec{Y: a / 2}), r3.Vec{Y: 1}, a, a),
		tile(r3.Add(c, r3.Vec{Z: a / 2}), r3.Vec{Z: 1}, a, a),
	)
}

func TestFacesThatMeetMakeABox(t *testing.T) {
	c := r3.Vec{X: 1500, Y: 300, Z: 700}
	blocks := cubeFaces(c).findBlocks()
	if len(blocks) != 1 || len(blocks[0].Faces) != 3 {
		t.Fatalf("%d blocks", len(blocks))
	}
	b := blocks[0].Parts[0]
	within(t, "middle", r3.Norm(r3.Sub(b.Pose.T, c)), 0, 1e-6)
	within(t, "volume in litres", b.Volume()/1e6, 64, 1e-3)
}

// The same three faces turned inside out are the corner of a room.
func TestCornerOfARoomIsNoBlock(t *testing.T) {
	s := cubeFaces(r3.Vec{X: 1500, Z: 700})
	for i := range s.surfaces {
		f := &s.surfaces[i]
		*f = tile(f.Centre, r3.Scale(-1, f.Plane.Normal), 400, 400)
	}
	if b := s.findBlocks(); len(b) != 0 {
		t.Errorf("%d blocks in a corner", len(b))
	}
}

// A block with something seen inside it is hollow: its faces stay as they are.
func TestHollowIsNoBlock(t *testing.T) {
	c := r3.Vec{X: 1500, Z: 700}
	s := cubeFaces(c)
	for i := range 40 {
		p := r3.Add(c, r3.Vec{Y: float64(i) - 20})
		s.cloud.Voxels = append(s.cloud.Voxels, voxelOf(r3.Vec{}, p, r3.Add(p, r3.Vec{Z: 1})))
		s.weight = append(s.weight, 100)
	}
	if b := s.findBlocks(); len(b) != 0 {
		t.Errorf("%d blocks round what was seen within", len(b))
	}
}

func TestLoneFaceHasNoDepth(t *testing.T) {
	s := handMade(tile(r3.Vec{X: 1200, Z: 600}, r3.Vec{X: -1}, 700, 1200))
	blocks := s.findLoneFaces()
	if len(blocks) != 1 || blocks[0].Parts != nil {
		t.Fatalf("%d blocks, parts %v", len(blocks), blocks)
	}
	if _, ok := blocks[0].Measures["depth_mm"]; ok {
		t.Error("a depth that nobody saw")
	}
	within(t, "width", blocks[0].Measures["width_mm"].Value, 700, 1e-6)
}
