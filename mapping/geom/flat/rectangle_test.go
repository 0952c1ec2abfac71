package flat

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// turned is the corners of a rectangle of 3 by 4 turned by 30 degrees, computed
// independently with numpy: least area 12, enclosing circle of radius 2.5.
func turned() []r2.Vec {
	s, c := math.Sincos(math.Pi / 6)
	var out []r2.Vec
	for _, p := range []r2.Vec{{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 3, Y: 4}, {X: 0, Y: 4}, {X: 1, Y: 2}} {
		out = append(out, r2.Vec{X: c*p.X - s*p.Y, Y: s*p.X + c*p.Y})
	}
	return out
}

func TestLeastRectangle(t *testing.T) {
	r := LeastRectangle(turned())
	if math.Abs(r.Area()-12) > 1e-12 {
		t.Errorf("area %g, want 12", r.Area())
	}
	want := Hull(turned())
	for _, c := range r.Corners() {
		if d := ToRim(want, c); d > 1e-12 {
			t.Errorf("corner %v is %g off", c, d)
		}
	}
	if a := Area(cornersOf(r)); math.Abs(a-12) > 1e-12 {
		t.Errorf("corners run the wrong way round: area %g", a)
	}
}

func cornersOf(r Rectangle) []r2.Vec { c := r.Corners(); return c[:] }

func TestLeastRectangleOfLittle(t *testing.T) {
	if r := LeastRectangle(nil); r != (Rectangle{}) {
		t.Errorf("of nothing: %v", r)
	}
	if r := LeastRectangle([]r2.Vec{{X: 1, Y: 2}}); r.Centre != (r2.Vec{X: 1, Y: 2}) || r.Area() != 0 {
		t.Errorf("of a point: %v", r)
	}
	if r := LeastRectangle([]r2.Vec{{X: 0, Y: 0}, {X: 3, Y: 4}}); math.Abs(max(r.Size.X, r.Size.Y)-5) > 1e-12 || r.Area() > 1e-12 {
		t.Errorf("of a segment: %v", r)
	}
}
