package fit

import (
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestRect(t *testing.T) {
	r := rect{lo: [2]float64{0, 10}, hi: [2]float64{30, 50}}
	if r.area() != 1200 || r.edge(1, 0) != 10 || r.edge(0, 1) != 30 {
		t.Errorf("area %g, lower %g, right %g", r.area(), r.edge(1, 0), r.edge(0, 1))
	}
	if g := r.grown(5); g.size(0) != 40 || g.size(1) != 50 {
		t.Errorf("grown to %g x %g", g.size(0), g.size(1))
	}
	if !r.contains(r3.Vec{X: 30, Y: 10, Z: 99}) || r.contains(r3.Vec{X: 31, Y: 20}) {
		t.Error("contains disagrees with the corners")
	}
	far := rect{lo: [2]float64{33, 54}, hi: [2]float64{40, 60}}
	if got := r.gapTo(far); got != 5 { // 3-4-5
		t.Errorf("gap %g, want 5", got)
	}
	if got := r.gapTo(rect{lo: [2]float64{10, 20}, hi: [2]float64{90, 90}}); got != 0 {
		t.Errorf("gap of overlapping rectangles %g", got)
	}
}

func TestProjectOn(t *testing.T) {
	frame := geom.Pose{R: geom.Exp(r3.Vec{Z: 1}), T: r3.Vec{X: 5, Y: 6, Z: 7}}
	points := []r3.Vec{frame.Apply(r3.Vec{X: -1, Y: 2, Z: 3}), frame.Apply(r3.Vec{X: 4, Y: -2})}
	r := projectOn(frame, points).grown(1e-9)
	want := rect{lo: [2]float64{-1, -2}, hi: [2]float64{4, 2}}
	if !r.contains(r3.Vec{X: want.lo[0], Y: want.lo[1]}) || r.area()-want.area() > 1e-6 {
		t.Errorf("got %+v, want %+v", r, want)
	}
}
