package shape

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Null-space data of Cox and Forbes, NPL Report DITC 211/92: the ring of the
// circle at z = -30, 0 and 30.
func TestCylinderNullSpace(t *testing.T) {
	var sets []geom.Moments
	for _, z := range []float64{-30, 0, 30} {
		for _, p := range ring() {
			sets = append(sets, geom.Moments{N: 1, Mean: r3.Vec{X: p.X, Y: p.Y, Z: z}})
		}
	}
	start := Cylinder{Point: r3.Vec{X: 2, Y: -1, Z: 5}, Axis: r3.Unit(r3.Vec{X: 0.05, Y: -0.03, Z: 1}), Radius: 45}
	c, _, _, err := FitCylinder(sets, start)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "axis", r3.Norm(r3.Cross(c.Axis, r3.Vec{Z: 1})), 0, 1e-9)
	near(t, "distance of the axis from the origin", r3.Norm(r3.Cross(c.Point, c.Axis)), 0, 1e-9)
	near(t, "radius", c.Radius, 50, 1e-9)
	var squares float64
	for _, m := range sets {
		squares += c.Distance(m.Mean) * c.Distance(m.Mean)
	}
	near(t, "sum of squares", squares, 0.12, 1e-9)
}

// The mean of points on an arc lies inside of the circle; a fit to the means
// alone would come out small. By geometry: an arc of 20 mm on a radius of 30 has
// its mean at sin(1/3)/(1/3) of the radius.
func TestCylinderOfSetsIsNotShrunk(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 0))
	var sets []geom.Moments
	for range 40 {
		a0, z0 := r.Float64()*2*math.Pi, 500*r.Float64()
		var m geom.Moments
		for k := range 9 {
			a := a0 + float64(k-4)/12
			m.Add(r3.Vec{X: 30 * math.Cos(a), Y: 30 * math.Sin(a), Z: z0 + r.Float64()*20}, 1)
		}
		sets = append(sets, m)
	}
	c, _, _, err := FitCylinder(sets, Cylinder{Axis: r3.Unit(r3.Vec{X: 0.1, Z: 1}), Radius: 20})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "radius", c.Radius, 30, 1e-6)
}

// The covariance is what the fits of many noisy copies scatter by.
func TestCylinderCovariance(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 0))
	const sigma, runs = 0.2, 400
	var sum, sum2, stated float64
	for range runs {
		var sets []geom.Moments
		for i := range 60 {
			a := float64(i) / 60 * math.Pi * 0.8 // the side that a scanner sees
			rho := 40 + sigma*r.NormFloat64()
			p := r3.Vec{X: rho * math.Cos(a), Y: rho * math.Sin(a), Z: float64(i%7) * 30}
			sets = append(sets, geom.Moments{N: 1 / (sigma * sigma), Mean: p})
		}
		c, cov, _, err := FitCylinder(sets, Cylinder{Axis: r3.Vec{Z: 1}, Radius: 30})
		if err != nil {
			t.Fatal(err)
		}
		sum += c.Radius - 40
		sum2 += (c.Radius - 40) * (c.Radius - 40)
		stated += math.Sqrt(cov.At(4, 4)) / runs
	}
	got := math.Sqrt(sum2/runs - sum*sum/runs/runs)
	near(t, "scatter of the radius over the stated sigma", got/stated, 1, 3/math.Sqrt(2*runs))
}

func TestCylinderOfTooLittle(t *testing.T) {
	one := []geom.Moments{{N: 1, Mean: r3.Vec{X: 1}}}
	if _, _, _, err := FitCylinder(one, Cylinder{Axis: r3.Vec{Z: 1}, Radius: 1}); !errors.Is(err, ErrUndetermined) {
		t.Errorf("one point: %v", err)
	}
	var plane []geom.Moments
	for i := range 30 {
		plane = append(plane, geom.Moments{N: 1, Mean: r3.Vec{Y: float64(i % 5), Z: float64(i / 5)}})
	}
	if _, _, _, err := FitCylinder(plane, Cylinder{Point: r3.Vec{X: -30}, Axis: r3.Vec{Z: 1}, Radius: 30}); err == nil {
		t.Error("a cylinder of a plane")
	}
}
