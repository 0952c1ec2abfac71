package scene

import (
	"math"
	"testing"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// A lip bent inward beside the opening is seen from its far side, so that the
// slab behind it grows into the doorway: only as far as the lip is thick.
func TestBeforeDoor(t *testing.T) {
	mill := &fit.Object{
		Pose:    geom.Pose{R: geom.RotFromRPY(0, 0, 0.3), T: r3.Vec{X: 900, Y: -50, Z: -500}},
		Opening: &fit.Opening{YMin: -350, YMax: 350, ZMin: 800, ZMax: 1500},
	}
	face := func(normal r3.Vec, corners ...r3.Vec) *surface.Surface {
		s := &surface.Surface{Plane: geom.Plane{Normal: mill.Pose.R.Apply(normal)}}
		for _, c := range corners {
			s.Outline = append(s.Outline, mill.Pose.Apply(c))
		}
		s.Centre = s.Outline[0]
		s.Plane.Offset = r3.Dot(s.Plane.Normal, s.Centre)
		return s
	}
	none := math.Inf(1)
	for _, c := range []struct {
		name string
		s    *surface.Surface
		want float64
	}{
		{"left lip, seen from within", face(r3.Vec{Y: 1}, r3.Vec{X: 5, Y: 353, Z: 780}, r3.Vec{X: 30, Y: 353, Z: 780}, r3.Vec{X: 30, Y: 353, Z: 1520}), 3},
		{"right lip, seen from within", face(r3.Vec{Y: -1}, r3.Vec{X: 5, Y: -352, Z: 780}, r3.Vec{X: 30, Y: -352, Z: 780}, r3.Vec{X: 30, Y: -352, Z: 1520}), 2},
		{"sill, seen from below", face(r3.Vec{Z: -1}, r3.Vec{X: 5, Y: -300, Z: 796}, r3.Vec{X: 30, Y: 300, Z: 796}, r3.Vec{X: 30, Y: 0, Z: 796}), 4},
		{"left lip, seen through the door", face(r3.Vec{Y: -1}, r3.Vec{X: 5, Y: 350, Z: 780}, r3.Vec{X: 30, Y: 350, Z: 780}, r3.Vec{X: 30, Y: 350, Z: 1520}), none},
		{"a side deep within", face(r3.Vec{Y: 1}, r3.Vec{X: 400, Y: 353, Z: 780}, r3.Vec{X: 700, Y: 353, Z: 780}, r3.Vec{X: 700, Y: 353, Z: 1520}), none},
		{"the front itself", face(r3.Vec{X: -1}, r3.Vec{Y: 353, Z: 780}, r3.Vec{Y: 600, Z: 780}, r3.Vec{Y: 600, Z: 1520}), none},
	} {
		if got := beforeDoor(mill, c.s); got != c.want && math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %g mm, want %g", c.name, got, c.want)
		}
	}
}
