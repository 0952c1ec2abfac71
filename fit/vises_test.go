package fit

import (
	"strings"
	"testing"

	"cellwall/fit/surface"
	"cellwall/fit/vise"
	"cellwall/mapping"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestPlaceOfAVise(t *testing.T) {
	s := shop()
	inMill := vise.Place{Frame: millAt}
	stations := []station{{name: "mill", place: inMill}}
	for _, c := range []struct {
		w       cell.Wanted
		refused bool
	}{
		{cell.Wanted{Name: "vise", Inside: "mill", FixedJaw: "far"}, false},
		{cell.Wanted{Name: "vise", Inside: "lathe"}, false},
		{cell.Wanted{Name: "vise", Inside: "lathe", FixedJaw: "far"}, true},
	} {
		place, refused := s.placeOf(c.w, stations)
		if (refused != nil) != c.refused {
			t.Errorf("%+v: refused %v", c.w, refused)
		}
		if c.w.Inside == "mill" && place.Frame != millAt {
			t.Errorf("the mill's vise is looked for from %v", place.Frame)
		}
		if refused != nil && !strings.Contains(refused.Reason, "lathe") {
			t.Errorf("reason %q does not name the lathe", refused.Reason)
		}
	}
}

// On the side on which a front was not seen to end its machine may go on, and what
// stands there is looked for.
func TestStationGoesOnWhereNoEndWasSeen(t *testing.T) {
	m := machine{front: front{frame: geom.Identity(), extent: rect{lo: [2]float64{-700, 0}, hi: [2]float64{100, 2000}}}}
	m.depth = 1200
	m.ends[left] = edgeBound(left.outward(), r3.Vec{Y: 700}, 1)
	for _, x := range []struct {
		y    float64 // to the viewer's left
		want bool
	}{{650, true}, {750, false}, {-90, true}, {-400, true}} {
		if got := m.station().place.Box.Contains(r3.Vec{X: 500, Y: x.y, Z: 800}); got != x.want {
			t.Errorf("right end not seen: looked for at %g: %v", x.y, got)
		}
	}
	m.ends[right] = edgeBound(right.outward(), r3.Vec{Y: -100}, 1)
	if m.station().place.Box.Contains(r3.Vec{X: 500, Y: -400, Z: 800}) {
		t.Error("looked for beyond the right end that was seen")
	}
}

// Without an enclosure the viewer stands at the base and looks toward the hint.
func TestWholeCellLooksTowardTheHint(t *testing.T) {
	s := shop()
	hint := r3.Vec{X: -500, Y: 500, Z: 300}
	p := s.wholeCell(cell.Wanted{Near: &hint})
	within(t, "X away from the viewer", r3.Dot(p.Frame.R.Axis(0), level(hint, s.up)), 1, 1e-12)
	within(t, "Z up", r3.Dot(p.Frame.R.Axis(2), s.up), 1, 1e-12)
	for i := range s.cloud.Voxels {
		if s.weight[i] > 0 && !p.Box.Grown(1e-6).Contains(s.cloud.Voxels[i].Mean) {
			t.Fatalf("%v lies outside of the whole cell", s.cloud.Voxels[i].Mean)
		}
	}
}

// A jaw's top whose outline a few mixed points stretch past the jaw is the jaw's
// all the same; a body's top that only begins below it is not.
func TestMostlyWithinTakesAStretchedTop(t *testing.T) {
	jaw := geom.Box{Pose: geom.Identity(), Size: r3.Vec{X: 150, Y: 45, Z: 45}}
	s := &survey{cloud: &mapping.Cloud{}, taken: make([]bool, 2)}
	add := func(from, to, z float64) {
		var f surface.Surface
		for y := from; y <= to; y += 2.5 {
			n := 100.0
			if z > 0 && (y < -25 || y > 25) {
				n = 10 // mixed at an edge
			}
			f.Voxels = append(f.Voxels, int32(len(s.cloud.Voxels)))
			s.cloud.Voxels = append(s.cloud.Voxels, mapping.Voxel{Moments: geom.Moments{N: n, Mean: r3.Vec{Y: y, Z: z}}})
			f.Outline = append(f.Outline, r3.Vec{Y: y, Z: z})
		}
		s.surfaces = append(s.surfaces, f)
	}
	add(-35, 35, 22.5)
	add(20, 120, -22.5)
	if got := s.within([]geom.Box{jaw}, jawSkin); len(got) != 0 {
		t.Fatalf("surfaces %v lie in the jaw as a whole: this test is of those that do not", got)
	}
	if got := s.mostlyWithin([]geom.Box{jaw}, jawSkin); len(got) != 1 || got[0] != 0 {
		t.Errorf("surfaces %v, want the stretched top alone", got)
	}
}
