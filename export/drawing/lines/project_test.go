package lines

import (
	"math"
	"testing"

	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

var fine = Resolution{Step: 10, Fine: 0.1, Lift: 1}

// Three viewFromBase: from above, from the front, and along a cube's diagonal.
var (
	fromAbove  = geom.IdentityRot()
	fromFront  = geom.RotFromAxes(r3.Vec{X: 1}, r3.Vec{Z: 1}, r3.Vec{Y: -1}).T()
	onDiagonal = geom.RotFromAxes(r3.Unit(r3.Vec{X: -1, Y: 1}), r3.Unit(r3.Vec{X: -1, Y: -1, Z: 2}), r3.Unit(r3.Vec{X: 1, Y: 1, Z: 1})).T()
)

func block(lo, hi r3.Vec) solid.Solid {
	return solid.Box{Box: geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Scale(0.5, r3.Add(lo, hi))}, Size: r3.Sub(hi, lo)}}
}

// drawn is the total length of what is drawn, after merging, visible and
// hidden.
func drawn(s []Segment) (visible, hidden float64) {
	var strokes []Stroke
	for _, g := range s {
		rank := 0
		if g.Hidden {
			rank = 1
		}
		strokes = append(strokes, Stroke{g.A, g.B, rank})
	}
	merged := Merge(strokes, 0.2)
	return total(merged, 0), total(merged, 1)
}

func total(s []Stroke, rank int) float64 {
	sum := 0.0
	for _, k := range s {
		if k.Rank == rank {
			sum += r2.Norm(r2.Sub(k.B, k.A))
		}
	}
	return sum
}

// What the lines of simple bodies add up to follows from their sizes.
func TestProject(t *testing.T) {
	cube := block(r3.Vec{}, r3.Vec{X: 100, Y: 100, Z: 100})
	small := block(r3.Vec{X: 20, Y: 20, Z: 20}, r3.Vec{X: 60, Y: 60, Z: 60})
	behind := block(r3.Vec{X: 50, Y: 200}, r3.Vec{X: 150, Y: 300, Z: 100})
	for _, c := range []struct {
		name            string
		bodies          []Body
		view            geom.Rot
		visible, hidden float64
	}{
		{"a cube from above is a square", []Body{{Solids: []solid.Solid{cube}, Hidden: true}}, fromAbove, 400, 0},
		{"a cube within a cube is hidden", []Body{{Solids: []solid.Solid{cube}}, {Solids: []solid.Solid{small}, Hidden: true}}, fromAbove, 400, 160},
		{"a body that shows no hidden edges", []Body{{Solids: []solid.Solid{cube}}, {Solids: []solid.Solid{small}}}, fromAbove, 400, 0},
		{"the half behind is hidden", []Body{{Solids: []solid.Solid{cube}, Hidden: true}, {Solids: []solid.Solid{behind}, Hidden: true}}, fromFront, 400 + 200, 100},
		{"nine edges of a cube show along its diagonal", []Body{{Solids: []solid.Solid{cube}}}, onDiagonal, 900 * math.Sqrt(2./3), 0},
	} {
		v, h := drawn(Project(c.bodies, c.view, fine))
		if math.Abs(v-c.visible) > 1 || math.Abs(h-c.hidden) > 1 {
			t.Errorf("%s: %.1f mm visible and %.1f hidden, want %.1f and %.1f", c.name, v, h, c.visible, c.hidden)
		}
	}
}

// Two pieces of one body that abut are drawn as one; two bodies are not.
func TestSeamsOfABodyAreNotDrawn(t *testing.T) {
	left, right := block(r3.Vec{}, r3.Vec{X: 100, Y: 100, Z: 100}), block(r3.Vec{X: 100}, r3.Vec{X: 250, Y: 100, Z: 100})
	one, _ := drawn(Project([]Body{{Solids: []solid.Solid{left, right}}}, fromAbove, fine))
	if want := 2*250. + 2*100; math.Abs(one-want) > 1 {
		t.Errorf("one body of two pieces: %.1f mm of line, want %.1f", one, want)
	}
	two, _ := drawn(Project([]Body{{Solids: []solid.Solid{left}}, {Solids: []solid.Solid{right}}}, fromAbove, fine))
	if want := one + 100; math.Abs(two-want) > 1 {
		t.Errorf("two bodies: %.1f mm of line, want %.1f", two, want)
	}
}

// Pieces that overlap in an L keep the edges of the L only.
func TestOverlappingPieces(t *testing.T) {
	a, b := block(r3.Vec{}, r3.Vec{X: 300, Y: 100, Z: 50}), block(r3.Vec{}, r3.Vec{X: 100, Y: 300, Z: 50})
	v, _ := drawn(Project([]Body{{Solids: []solid.Solid{a, b}}}, fromAbove, fine))
	if want := 4 * 300.; math.Abs(v-want) > 2 {
		t.Errorf("%.1f mm of line, want the outline of the L, %.1f", v, want)
	}
}

func TestCylinderShowsItsOutlineOnly(t *testing.T) {
	c := solid.Cylinder{Centre: r3.Vec{Z: 500}, Axis: r3.Vec{Z: 1}, Radius: 50, Height: 1000}
	v, _ := drawn(Project([]Body{{Solids: []solid.Solid{c}}}, fromFront, fine))
	if want := 2*1000. + 2*100; math.Abs(v-want) > 0.01*want {
		t.Errorf("from the side %.1f mm of line, want a rectangle's %.1f", v, want)
	}
	v, _ = drawn(Project([]Body{{Solids: []solid.Solid{c}}}, fromAbove, fine))
	if want := 2 * math.Pi * 50; math.Abs(v-want) > 0.02*want {
		t.Errorf("from above %.1f mm of line, want a circle's %.1f", v, want)
	}
}

// Where an edge goes behind something, the visible stretch ends there.
func TestVisibleStretchEndsWhereItIsCovered(t *testing.T) {
	cover := block(r3.Vec{X: 123.4, Y: -50, Z: 100}, r3.Vec{X: 500, Y: 50, Z: 200})
	rail := block(r3.Vec{Y: -1}, r3.Vec{X: 300, Y: 1, Z: 2})
	seen := 0
	for _, s := range Project([]Body{{Solids: []solid.Solid{cover}}, {Solids: []solid.Solid{rail}}}, fromAbove, fine) {
		if s.Body != 1 || math.Abs(s.A.Y-s.B.Y) > 1e-9 {
			continue
		}
		seen++
		if end := max(s.A.X, s.B.X); math.Abs(end-123.4) > fine.Fine {
			t.Errorf("the rail is seen up to %.2f, want 123.4", end)
		}
	}
	if seen == 0 {
		t.Error("the rail is not seen")
	}
}

func TestBodiesThatTouchKeepTheirEdges(t *testing.T) {
	floor := block(r3.Vec{X: -500, Y: -500, Z: -50}, r3.Vec{X: 500, Y: 500})
	sunk := block(r3.Vec{X: -50, Y: -50, Z: -0.4}, r3.Vec{X: 50, Y: 50, Z: 100})
	n := 0
	for _, s := range Project([]Body{{Solids: []solid.Solid{floor}}, {Solids: []solid.Solid{sunk}}}, onDiagonal, fine) {
		if s.Body == 1 && !s.Hidden {
			n++
		}
	}
	if n != 9 {
		t.Errorf("%d edges of the block on the floor are seen, want 9", n)
	}
}

func TestProjectOfNothing(t *testing.T) {
	if s := Project(nil, fromAbove, fine); len(s) != 0 {
		t.Errorf("%d lines of nothing", len(s))
	}
}
