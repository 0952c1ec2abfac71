package shape

import (
	"errors"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Null-space data of Cox and Forbes, NPL Report DITC 211/92.
func TestSphereNullSpace(t *testing.T) {
	pts := []r3.Vec{{X: 50.1}, {X: -50.1}, {Y: 49.9}, {Y: -49.9}, {Z: 50}, {Z: -50}}
	s, _, err := FitSphere(pts)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "centre", r3.Norm(s.Centre), 0, 1e-9)
	near(t, "radius", s.Radius, 50, 1e-9)
	var squares float64
	for _, p := range pts {
		squares += s.Distance(p) * s.Distance(p)
	}
	near(t, "sum of squares", squares, 0.04, 1e-9)
}

func TestSphereOfAPlane(t *testing.T) {
	flat := []r3.Vec{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}, {X: 2}}
	if _, _, err := FitSphere(flat); !errors.Is(err, ErrUndetermined) {
		t.Errorf("points in a plane: %v", err)
	}
}
