package surface

import (
	"math"
	"testing"

	"cellwall/fit/surface/shape"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// By differences: each parameter of the cylinder is moved a little, and the plane
// that touches it where the first one did is compared.
func TestTangentFollowsTheCylinder(t *testing.T) {
	c := column{Cylinder: shape.Cylinder{
		Point: r3.Vec{X: 300, Y: -40, Z: 700}, Axis: r3.Unit(r3.Vec{X: 0.2, Y: 0.1, Z: 1}), Radius: 60,
	}}
	touch := func(c shape.Cylinder, toward r3.Vec) geom.Plane {
		n := r3.Unit(c.Radial(toward))
		at := r3.Add(c.Point, r3.Scale(c.Radius, n))
		return geom.Plane{Normal: n, Offset: r3.Dot(n, at)}
	}
	side := geom.Plane{Normal: c.Axis}.Frame(c.Point).R
	toward := r3.Add(c.Point, r3.Scale(c.Radius, r3.Unit(r3.Add(side.Axis(0), r3.Scale(0.4, side.Axis(1))))))
	pl := touch(c.Cylinder, toward)
	frame := pl.Frame(toward)
	const reach, h = 200.0, 1e-4
	j := c.tangent(frame, reach)
	for k := range 5 {
		d := c.Cylinder
		switch k {
		case 0, 1:
			d.Point = r3.Add(d.Point, r3.Scale(h, side.Axis(k)))
		case 2, 3:
			d.Axis = r3.Unit(r3.Add(d.Axis, r3.Scale(h/reach, side.Axis(k-2))))
		case 4:
			d.Radius += h
		}
		q := touch(d, toward)
		w := r3.Cross(pl.Normal, q.Normal)
		want := vec3{-q.Distance(toward) / h, r3.Dot(w, frame.R.Axis(0)) / h, r3.Dot(w, frame.R.Axis(1)) / h}
		for row := range 3 {
			if got := j.At(row, k); math.Abs(got-want[row]) > 1e-4 {
				t.Errorf("parameter %d moves row %d by %g, want %g", k, row, got, want[row])
			}
		}
	}
}

// What lies about a board's edge of 40 mm, and a few mixed points further round,
// makes no arc of a cylinder of 120 mm through it.
func TestArcIsNotReachedByAFew(t *testing.T) {
	c := column{Cylinder: shape.Cylinder{Axis: r3.Vec{Z: 1}, Radius: 120}}
	var spots []spot
	for i := range 200 {
		a := 0.33 * (float64(i)/199 - 0.5)
		if i%25 == 0 {
			a *= 8
		}
		sin, cos := math.Sincos(a)
		spots = append(spots, spot{Moments: geom.Moments{N: 1, Mean: r3.Vec{X: 120 * cos, Y: 120 * sin, Z: float64(i)}}})
		c.members = append(c.members, int32(i))
	}
	if got := c.arc(spots); got > 0.5 {
		t.Errorf("an arc of %.2f rad, want about 0.33", got)
	}
}
