package shape

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Gander, Golub and Strebel, BIT 34 (1994) 558: their six points; the figures
// were computed independently with scipy.
var gander = []r2.Vec{{X: 1, Y: 7}, {X: 2, Y: 6}, {X: 5, Y: 8}, {X: 7, Y: 7}, {X: 9, Y: 5}, {X: 3, Y: 7}}

func TestAlgebraicCircle(t *testing.T) {
	c, err := AlgebraicCircle(gander)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "centre x", c.Centre.X, 4.742331, 5e-7)
	near(t, "centre y", c.Centre.Y, 3.835123, 5e-7)
	near(t, "radius", c.Radius, 4.108762, 5e-7)
}

func TestFitCircle(t *testing.T) {
	c, _, err := FitCircle(gander)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "centre x", c.Centre.X, 4.739782, 5e-7)
	near(t, "centre y", c.Centre.Y, 2.983533, 5e-7)
	near(t, "radius", c.Radius, 4.714226, 5e-7)
	near(t, "sum of squares", c.Squares(gander), 1.227599, 5e-7)
}

// ring is the null-space data of Cox and Forbes, NPL Report DITC 211/92: eight
// equal angles at radius 50 + 0.1 cos 2 theta. The fit must not see the lobes.
func ring() (pts []r2.Vec) {
	for i := range 8 {
		a := float64(i) * math.Pi / 4
		r := 50 + 0.1*math.Cos(2*a)
		pts = append(pts, r2.Vec{X: r * math.Cos(a), Y: r * math.Sin(a)})
	}
	return pts
}

func TestCircleNullSpace(t *testing.T) {
	c, cov, err := FitCircle(ring())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "centre", r2.Norm(c.Centre), 0, 1e-9)
	near(t, "radius", c.Radius, 50, 1e-9)
	near(t, "sum of squares", c.Squares(ring()), 0.04, 1e-9)
	// Eight equal angles: the sum of cos^2 is 4, so a coordinate has the variance
	// 1/4 and the radius 1/8.
	near(t, "variance of x", cov.At(0, 0), 0.25, 1e-3)
	near(t, "variance of the radius", cov.At(2, 2), 0.125, 1e-3)
}

func TestCircleOfALine(t *testing.T) {
	line := []r2.Vec{{X: 0, Y: 0}, {X: 1, Y: 1}, {X: 2, Y: 2}, {X: 3, Y: 3}}
	if _, _, err := FitCircle(line); !errors.Is(err, ErrUndetermined) {
		t.Errorf("points on a line: %v", err)
	}
	if _, _, err := FitCircle(line[:2]); !errors.Is(err, ErrUndetermined) {
		t.Errorf("two points: %v", err)
	}
	if _, ok := CircleThrough(line[0], line[1], line[2]); ok {
		t.Error("a circle through three points of a line")
	}
}

func TestCircleThrough(t *testing.T) {
	c, ok := CircleThrough(r2.Vec{X: 3, Y: 0}, r2.Vec{X: 0, Y: 4}, r2.Vec{})
	if !ok {
		t.Fatal("none")
	}
	near(t, "radius", c.Radius, 2.5, 1e-12) // the hypotenuse is a diameter
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s %.9g, want %.9g", what, got, want)
	}
}
