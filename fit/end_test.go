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

// An opening lies within the sides of its machine: rays beyond their inner faces
// went past outside.
func TestOpeningIsHeldInsideItsSides(t *testing.T) {
	for name, c := range map[string]struct {
		edge, from float64 // the opening's right edge; where the side's inner face begins behind the front
		at, sigma  float64
	}{
		"past it":                    {620, 0, 590, 30 / math.Sqrt(12)},
		"within":                     {580, 0, 580, 1},
		"at it":                      {592, 0, 592, 1},
		"past one that ends further": {620, 400, 620, 1},
	} {
		long := 1400 - c.from
		s := handMade(tile(r3.Vec{X: c.from + long/2, Y: -590, Z: 1000}, r3.Vec{Y: 1}, long, 2000))
		m := machine{front: front{frame: geom.Identity(), hole: rect{lo: [2]float64{-500, 800}, hi: [2]float64{c.edge, 1600}}}}
		m.inner[right] = []int{0}
		m.rims[0][right] = border{at: c.edge, sigma: 1, closed: true}
		s.holdInside(&m, right)
		if m.hole.hi[0] != m.rims[0][right].at || math.Abs(m.hole.hi[0]-c.at) > 1e-6 || math.Abs(m.rims[0][right].sigma-math.Hypot(c.sigma, 1)) > 0.5 {
			t.Errorf("%s: ends at %.1f, sigma %.2f; want %.1f, %.2f", name, m.hole.hi[0], m.rims[0][right].sigma, c.at, c.sigma)
		}
		if m.outside != (c.at != c.edge) {
			t.Errorf("%s: outside %v", name, m.outside)
		}
	}
}

// What looks toward the machine from beside it is no inside of its side, nor is a
// piece of the wall beside it, seen over it or through the gap between: it does not
// bound where the front ends.
func TestRoomIsBoundByTheMachineItself(t *testing.T) {
	for name, c := range map[string]struct {
		others []surface.Surface
		most   float64
	}{
		"something beside": {[]surface.Surface{tile(r3.Vec{X: 700, Y: -2500, Z: 1000}, r3.Vec{Y: 1}, 900, 1500)}, 590 + sheetMetal},
		"a wall over it":   {[]surface.Surface{tile(r3.Vec{X: 700, Y: -625, Z: 2500}, r3.Vec{Y: 1}, 900, 800)}, 590 + sheetMetal},
		"a wall's piece": {[]surface.Surface{
			tile(r3.Vec{X: 0, Y: -625, Z: 1500}, r3.Vec{Y: 1}, 600, 3000),
			tile(r3.Vec{X: 700, Y: -624, Z: 1950}, r3.Vec{Y: 1}, 500, 200),
		}, 625},
	} {
		s := handMade(append(c.others, tile(r3.Vec{X: 900, Y: -590, Z: 1000}, r3.Vec{Y: 1}, 800, 1500))...)
		m := machine{front: front{frame: geom.Identity(), extent: rect{lo: [2]float64{-700, 0}, hi: [2]float64{560, 2000}}}, depth: 1400}
		m.sheet = &sheet{frame: sheetOf(m.frame)}
		m.hole = rect{lo: [2]float64{-400, 800}, hi: [2]float64{450, 1600}}
		if least, most := s.roomFor(&m, right); least != 590 || most != c.most {
			t.Errorf("%s: it ends between %.0f and %.0f, want 590 and %.0f", name, least, most, c.most)
		}
	}
}

// Past the side of an open machine the first rays meet the wall beside it, nearer
// behind the front than spikes are.
func TestRaysThatMetTheWallBesideWentPast(t *testing.T) {
	const inner, outer = 700, 703
	out := left.outward()
	s := survey{surfaces: []surface.Surface{{Plane: geom.Plane{Normal: r3.Scale(-1, out), Offset: -inner}}}}
	m := machine{front: front{frame: geom.Identity(), sheet: &sheet{}}}
	m.inner[left] = []int{0}
	for y := 10.0; y < 1000; y += 10 {
		past := rayAt(-outer, y)
		past.point.Z, past.known = -spikes/2, true
		m.sheet.rays = append(m.sheet.rays, past)
	}
	b, ok := s.thinEnd(&m, left, search{solid: 1, to: 1000})
	if !ok || b.at < -outer || b.at > -inner {
		t.Errorf("the side ends at %.1f (%v), want between %d and %d", -b.at, ok, inner, outer)
	}
}
