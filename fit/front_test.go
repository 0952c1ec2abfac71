package fit

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestOneFrontInTheShop(t *testing.T) {
	t.Parallel()
	s := shop()
	fronts := s.findFronts()
	if len(fronts) == 0 {
		t.Fatal("the mill's front was not found")
	}
	f := fronts[0]
	within(t, "turn of the front", deg(tilt(f.face.Normal, millAt.R.Axis(0))), 0, 0.05)
	p := millAt.Inverse().Apply(f.holeMiddle())
	within(t, "middle of the opening, across", p.Y, 20, 5)
	within(t, "middle of the opening, up", p.Z, 1190, 8)
	within(t, "middle of the opening, from the front", p.X, 0, 0.5)
}

// A frame stands 30 mm proud round the opening: it looks through the same hole,
// and the sheet behind it, which is larger, is the front.
func TestFrameIsNotTheFront(t *testing.T) {
	slow(t)
	w := hall(8)
	plainMill.stand(w, millAt)
	d := plainMill.door
	const broad, deep = 60, 30
	w.box(millAt, -deep, d.YMin-broad, d.ZMin-broad, deep, broad, d.ZMax-d.ZMin+2*broad)
	w.box(millAt, -deep, d.YMax, d.ZMin-broad, deep, broad, d.ZMax-d.ZMin+2*broad)
	w.box(millAt, -deep, d.YMin, d.ZMin-broad, deep, d.YMax-d.YMin, broad)
	w.box(millAt, -deep, d.YMin, d.ZMax, deep, d.YMax-d.YMin, broad)
	fronts := surveyedAt(w, 0).findFronts()
	if len(fronts) != 1 {
		t.Fatalf("%d fronts, want 1", len(fronts))
	}
	within(t, "depth of the front", millAt.Inverse().Apply(fronts[0].face.Foot(millAt.T)).X, 0, 0.7)
}

// A bench 840 mm high with panels for legs and a rail between them has an opening
// in front, sides and a back, as a machine has. It is none.
func TestBenchIsNoFront(t *testing.T) {
	slow(t)
	bench := mill{width: 600, depth: 1200, height: 840, door: Opening{YMin: -250, YMax: 250, ZMin: 60, ZMax: 740}}
	for _, open := range []bool{false, true} {
		w := hall(9)
		bench.sidesOnly = open
		bench.stand(w, standing(1000, 300, 0.2))
		s := surveyedAt(w, 0)
		if n := len(s.findFronts()) + len(s.findMouths()); n > 0 {
			t.Errorf("sides only %v: %d fronts", open, n)
		}
	}
}

// Of a front nothing was seen on one side of its opening but a strip over it: what
// stands before it hides the rest. The opening lies under that strip.
func TestOpeningUnderAStrip(t *testing.T) {
	slow(t)
	w := hall(10)
	at := standing(1000, 0, 0)
	w.box(at, 0, -900, 0, 3, 550, 2000)
	w.box(at, 0, -350, 1750, 3, 900, 250)
	w.box(at, -200, -350, 0, 30, 1100, 800)
	w.box(at, 1000, -900, 0, 3, 1800, 2000)
	fronts := surveyedAt(w, 0).findFronts()
	if len(fronts) != 1 {
		t.Fatalf("%d fronts, want 1", len(fronts))
	}
	f := &fronts[0]
	edge := at.Inverse().Apply(sheetOf(f.frame).Apply(r3.Vec{X: f.hole.hi[0], Y: f.hole.hi[1]}))
	within(t, "depth of the front", edge.X, 0, 2)
	within(t, "right edge of the opening", edge.Y, -350, 5)
	within(t, "top edge of the opening", edge.Z, 1750, 5)
	if wide := f.hole.size(0); wide < 600 || wide > 900+rasterPitch || f.rims[0][0].closed {
		t.Errorf("the opening is %.0f mm wide under a strip of 900, its other edge seen: %v", wide, f.rims[0][0].closed)
	}
}

func TestSheetFrameLooksBack(t *testing.T) {
	t.Parallel()
	f := sheetOf(millAt)
	within(t, "Z against the datum's X", r3.Dot(f.R.Axis(2), millAt.R.Axis(0)), -1, 1e-12)
	within(t, "Y along the datum's Z", r3.Dot(f.R.Axis(1), millAt.R.Axis(2)), 1, 1e-12)
	if got := r3.Cross(f.R.Axis(0), f.R.Axis(1)); r3.Norm(r3.Sub(got, f.R.Axis(2))) > 1e-12 {
		t.Error("the sheet's frame is left-handed")
	}
}
