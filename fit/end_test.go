package fit

import (
	"math"
	"testing"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestMillAgainstAWall(t *testing.T) {
	slow(t)
	w := hall(13)
	w.box(standing(0, 700, 0), -500, 0, 0, 4000, 100, 3000)
	at := standing(900, -60, 0)
	plainMill.stand(w, at)
	o := millIn(t, w, at)
	holdMill(t, o, at, plainMill)
	for _, f := range o.Faces {
		if f.Centre.X < 800 {
			t.Errorf("%s at %v is the room's wall, not the machine's", f.Name, f.Centre)
		}
	}
}

func TestFrontThatEndsUnseenIsMissing(t *testing.T) {
	slow(t)
	w := hall(16)
	at := standing(900, 0, 0)
	plainMill.stand(w, at)
	w.box(standing(650, 500, 0), 0, 0, 0, 60, 1800, 2600) // hides the left end from everywhere
	machines, _ := surveyedAt(w, 0.3).findMachines()
	if len(machines) != 1 {
		t.Fatalf("%d machines, want 1", len(machines))
	}
	if len(machines[0].missing) == 0 {
		end := machines[0].ends[left]
		if got := at.Inverse().Apply(end.Centre).Y; math.Abs(got-750) > 3*offsetOf(end) {
			t.Errorf("the hidden end is said to lie at %.0f with sigma %.0f, true 750", got, offsetOf(end))
		}
	}
}

func offsetOf(b bound) float64 { return math.Sqrt(b.Cov[0][0]) }

// Beside an opening of which the border was not seen, a strip in the front's
// plane may be a leaf's edge, beyond which the opening goes on: it ends the
// front only where it is wider than an opening is looked for beyond its bound.
func TestStripBesideAnOpenBorderEndsNothing(t *testing.T) {
	var s survey
	for _, c := range []struct {
		closed, mouth bool
		at            float64
		short         bool
	}{
		{false, false, -743, true},
		{false, false, -724 - bracketReach - 10, false},
		{true, false, -743, false},
		{false, true, -743, false},
		{true, false, -700, true}, // within the opening
	} {
		m := machine{front: front{hole: rect{lo: [2]float64{-724, 0}, hi: [2]float64{-106, 867}}, mouth: c.mouth}}
		m.rims[0][left].closed = c.closed
		if got := s.fallsShort(&m, left, border{at: c.at, sigma: 1}); got != c.short {
			t.Errorf("%+v: got %v", c, got)
		}
	}
}

// An open machine's front is the edges of its sides. Where it is put a little too
// far out, rays that ended on such an edge seem to have gone past the side.
func TestRaysThatEndOnAThinEdgeDoNotGoPastIt(t *testing.T) {
	const inner, outer, behind = 700, 750, 4
	out := left.outward()
	s := survey{surfaces: []surface.Surface{{Plane: geom.Plane{Normal: r3.Scale(-1, out), Offset: -inner}}}}
	m := machine{front: front{frame: geom.Identity(), sheet: &sheet{}}}
	m.inner[left] = []int{0}
	x := func(beyond float64) float64 { return -inner - beyond }
	for y := 10.0; y < 1000; y += 10 {
		for beyond := 1.0; beyond < outer-inner; beyond += 5 {
			on := rayAt(x(beyond), y)
			on.point.Z = -behind
			m.sheet.rays = append(m.sheet.rays, on)
		}
		m.sheet.rays = append(m.sheet.rays, rayAt(x(outer-inner+3), y))
	}
	b, ok := s.thinEnd(&m, left, search{solid: 1, to: 1000})
	if got := math.Abs(b.at); !ok || math.Abs(got-(inner+outer)/2) > 3 || b.sigma < (outer-inner)/math.Sqrt(12) {
		t.Errorf("the side ends at %.1f with sigma %.1f, want between %d and %d", got, b.sigma, inner, outer)
	}
}
