package surface

import (
	"math"
	"testing"

	"cellwall/fit/surface/shape"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

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
