package outline

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func rect(x0, y0, x1, y1 float64) Ring {
	return Ring{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

func turn(r Ring, a float64) Ring {
	s, c := math.Sincos(a)
	out := make(Ring, len(r))
	for i, p := range r {
		out[i] = r2.Vec{X: c*p.X - s*p.Y, Y: s*p.X + c*p.Y}
	}
	return out
}

func (r Ring) contains(p r2.Vec) bool {
	in := false
	for i, a := range r {
		b := r[(i+1)%len(r)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

func (g Region) contains(p r2.Vec) bool {
	in := g.Outer.contains(p)
	for _, h := range g.Holes {
		in = in && !h.contains(p)
	}
	return in
}

// looked adds lines of sight through all that is open around the region, the
// given pitch apart.
func looked(g Region, pitch float64) Region {
	for x := -4000.0; x < 4000; x += pitch {
		for y := -4000.0; y < 4000; y += pitch {
			if p := (r2.Vec{X: x, Y: y}); !g.contains(p) {
				g.Through = append(g.Through, p)
			}
		}
	}
	return g
}

func sum(p []Ring) float64 {
	var a float64
	for _, r := range p {
		a += r.Area()
	}
	return a
}

func TestPiecesOfKnownFigures(t *testing.T) {
	ell := Ring{{X: 0, Y: 0}, {X: 2000, Y: 0}, {X: 2000, Y: 500}, {X: 500, Y: 500}, {X: 500, Y: 1500}, {X: 0, Y: 1500}}
	notched := Ring{{X: 0, Y: 0}, {X: 1000, Y: 0}, {X: 1000, Y: 480}, {X: 970, Y: 500}, {X: 1000, Y: 520}, {X: 1000, Y: 1000}, {X: 0, Y: 1000}}
	for _, c := range []struct {
		name   string
		region Region
		pieces int
		area   float64
	}{
		{"a rectangle", Region{Outer: rect(0, 0, 800, 300)}, 1, 800 * 300},
		{"an L", Region{Outer: ell}, 2, 2000*500 + 500*1000},
		{"a door in a front", Region{Outer: rect(0, 0, 2000, 2000), Holes: []Ring{rect(600, 900, 1400, 1600)}}, 4, 4e6 - 800*700},
		{"a small notch is filled", Region{Outer: notched}, 1, 1e6},
		{"a small hole is filled", Region{Outer: rect(0, 0, 500, 500), Holes: []Ring{rect(100, 100, 130, 130)}}, 1, 25e4},
		{"a narrow slot is filled", Region{Outer: rect(0, 0, 500, 500), Holes: []Ring{rect(100, 100, 400, 130)}}, 1, 25e4},
	} {
		for _, angle := range []float64{0, 0.3, 2} {
			g := Region{Outer: turn(c.region.Outer, angle)}
			for _, h := range c.region.Holes {
				g.Holes = append(g.Holes, turn(h, angle))
			}
			p := looked(g, 63).Pieces(40)
			if len(p) != c.pieces || math.Abs(sum(p)-c.area) > 1 {
				t.Errorf("%s at %g rad: %d pieces of %g, want %d of %g", c.name, angle, len(p), sum(p), c.pieces, c.area)
			}
		}
	}
}

// What nobody looked through is filled; a door is not.
func TestUnseenGapsAreFilled(t *testing.T) {
	hole := rect(600, 900, 1400, 1600)
	g := Region{Outer: rect(0, 0, 2000, 2000), Holes: []Ring{hole}}
	for name, c := range map[string]struct {
		region Region
		area   float64
	}{
		"unseen":       {g, 4e6},
		"a stray line": {Region{Outer: g.Outer, Holes: g.Holes, Through: []r2.Vec{{X: 1000, Y: 1000}}}, 4e6},
		"seen through": {Region{Outer: g.Outer, Holes: g.Holes, Through: []r2.Vec{{X: 1000, Y: 1000}, {X: 900, Y: 1000}, {X: 700, Y: 1500}}}, 4e6 - 800*700},
		"a door":       {Region{Outer: g.Outer, Doors: g.Holes}, 4e6 - 800*700},
	} {
		if a := sum(c.region.Pieces(40)); math.Abs(a-c.area) > 1 {
			t.Errorf("%s: pieces of %g, want %g", name, a, c.area)
		}
	}
	if p := (Region{Outer: hole, Doors: g.Holes}).Pieces(40); len(p) != 0 {
		t.Errorf("%d pieces of what is all door", len(p))
	}
}

// ragged draws a star-shaped figure with ragged holes, as what is seen of a
// floor among things that stand on it.
func ragged(r *rand.Rand) Region {
	star := func(at r2.Vec, size float64, n int) Ring {
		ring := make(Ring, n)
		for i := range ring {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			d := size * (0.5 + 0.5*r.Float64())
			ring[i] = r2.Add(at, r2.Vec{X: d * c, Y: d * s})
		}
		return ring
	}
	g := Region{Outer: star(r2.Vec{}, 2500, 5+r.IntN(60))}
	for range r.IntN(4) {
		s, c := math.Sincos(2 * math.Pi * r.Float64())
		g.Holes = append(g.Holes, star(r2.Vec{X: 700 * c, Y: 700 * s}, 300, 4+r.IntN(20)))
	}
	return g
}

// Whatever the figure: every point of it is covered, and not much else.
func TestPiecesCoverAndStayTight(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 25 {
		g := ragged(r)
		pieces := looked(g, 90).Pieces(60)
		if len(pieces) > most {
			t.Errorf("%d pieces", len(pieces))
		}
		var in, filled int
		for range 4000 {
			p := r2.Vec{X: 5000 * (r.Float64() - .5), Y: 5000 * (r.Float64() - .5)}
			covered := false
			for _, ring := range pieces {
				covered = covered || ring.contains(p)
			}
			switch {
			case g.contains(p):
				in++
				if !covered {
					t.Fatalf("a point of the figure is not covered by its %d pieces", len(pieces))
				}
			case covered:
				filled++
			}
		}
		if filled*4 > in {
			t.Errorf("%d points in the figure, %d filled besides (%d pieces)", in, filled, len(pieces))
		}
	}
}

// Doors stay open, all else of the figure stays covered, however the doors are
// turned, wherever they lie: also beside the figure, and over its edge.
func TestDoorsStayOpenWhereverTheyLie(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 9))
	open, covered := 0, 0
	for range 20 {
		g := ragged(r)
		var shut []Ring // the doors less the sliver that a piece may take of them
		for range 1 + r.IntN(3) {
			w, h := 100+900*r.Float64(), 100+900*r.Float64()
			at, angle := r2.Vec{X: 4500 * (r.Float64() - .5), Y: 4500 * (r.Float64() - .5)}, math.Pi*r.Float64()
			at = r2.Vec{X: math.Cos(angle)*at.X + math.Sin(angle)*at.Y, Y: math.Cos(angle)*at.Y - math.Sin(angle)*at.X}
			g.Doors = append(g.Doors, turn(rect(at.X, at.Y, at.X+w, at.Y+h), angle))
			const edge = 2 * sliver
			shut = append(shut, turn(rect(at.X+edge, at.Y+edge, at.X+w-edge, at.Y+h-edge), angle))
		}
		pieces := looked(g, 90).Pieces(60)
		for range 4000 {
			p := r2.Vec{X: 5000 * (r.Float64() - .5), Y: 5000 * (r.Float64() - .5)}
			over := func(rings []Ring) bool {
				return slices.ContainsFunc(rings, func(d Ring) bool { return d.contains(p) })
			}
			switch {
			case over(shut):
				open++
				if over(pieces) {
					t.Fatal("a piece reaches into a door")
				}
			case g.contains(p) && !over(g.Doors):
				covered++
				if !over(pieces) {
					t.Fatalf("a point of the figure is not covered by its %d pieces", len(pieces))
				}
			}
		}
	}
	if open < 1000 || covered < 20_000 {
		t.Errorf("%d points in doors, %d of figures: too few to show anything", open, covered)
	}
}

func TestClipKeepsAreaAndSides(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for range 200 {
		g := ragged(r).Outer
		s, c := math.Sincos(2 * math.Pi * r.Float64())
		l := Line{Normal: r2.Vec{X: c, Y: s}, Offset: 2000 * (r.Float64() - .5)}
		a, b := g.Clip(l), g.Clip(l.Other())
		if d := a.Area() + b.Area() - g.Area(); math.Abs(d) > 1e-6*g.Area() {
			t.Fatalf("the two parts' areas differ from the whole's by %g", d)
		}
		for _, p := range a {
			if l.Distance(p) > 1e-9 {
				t.Fatal("a corner is left outside")
			}
		}
	}
}

func TestGrownRingHoldsTheMargin(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for range 200 {
		ring := Hull(ragged(r).Outer, 1)
		ring = Hull(turn(Ring{ring[0], ring[1], ring[2]}, 1), 1e-3) // triangles have the sharpest corners
		grown := ring.Grown(20)
		for _, p := range ring {
			s, c := math.Sincos(2 * math.Pi * r.Float64())
			for _, l := range grown.Sides() {
				if d := l.Distance(r2.Add(p, r2.Vec{X: 20 * c, Y: 20 * s})); d > 1e-6 {
					t.Fatalf("a point within the margin stands %g out", d)
				}
			}
		}
		for _, p := range grown {
			least := math.Inf(1)
			for _, q := range ring {
				least = min(least, r2.Norm(r2.Sub(p, q)))
			}
			if least > 20*math.Sqrt2+1e-6 {
				t.Fatalf("a corner grew by %g", least)
			}
		}
	}
}
