// Package touch holds a map against points that were touched off with a pointer
// on the arm: how far each lies from the surface that it touched, whether that is
// within what both are known to, and the rigid correction that all imply.
package touch

import (
	"math"

	"cellwall/fit"
	"cellwall/scene"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

// Point is a touch: the centre of the pointer's ball while the ball touched.
type Point struct {
	Name    string
	At      r3.Vec  // base, mm
	Radius  float64 // of the ball, mm; 0: a tip
	Sigma   float64 // standard uncertainty of At along any direction, mm
	Object  string
	Surface string // of the object; "" is the one that At is nearest to
	Line    int    // of its file, 0 for none
}

// Held is a touch against the map.
type Held struct {
	Point
	Face     string  // the surface that it was held against
	Distance float64 // of the touched point in front of the mapped surface, mm
	MapSigma float64 // standard uncertainty of the surface there, mm
	Outside  float64 // how far beyond what was seen of the surface it was touched, mm
	Test     rigid.Test
	Agrees   bool // Distance is within both uncertainties, at the level

	face   *fit.Face
	normal r3.Vec
}

// Check is a set of touches against a map.
type Check struct {
	Level float64
	Held  []Held
	Test  rigid.Test // of all distances at once, with what they have in common
}

// Agrees tells whether every touch, and all together, are within the uncertainty.
func (c *Check) Agrees() bool {
	for i := range c.Held {
		if !c.Held[i].Agrees {
			return false
		}
	}
	return !c.Test.Beyond(c.Level)
}

// hold measures one touch against a face.
func hold(p Point, f *fit.Face, level float64) Held {
	h := Held{Point: p, Face: f.Name, face: f}
	variance := 0.0
	if c := f.Cylinder; c != nil {
		out := r3.Sub(p.At, c.Point)
		out = r3.Sub(out, r3.Scale(r3.Dot(out, c.Axis), c.Axis))
		h.normal = r3.Unit(out)
		h.Distance = r3.Norm(out) - c.Radius - p.Radius
		variance = f.Cov[0][0] + c.SigmaRadius*c.SigmaRadius
	} else {
		h.normal = f.Plane.Normal
		h.Distance = f.Plane.Distance(p.At) - p.Radius
		variance = covariance(f, p.At, p.At)
		h.Outside = outside(f, p.At)
	}
	h.MapSigma = math.Sqrt(max(variance, 0))
	h.Test = rigid.Test{ChiSquare: h.Distance * h.Distance / (variance + p.Sigma*p.Sigma), Freedom: 1}
	h.Agrees = !h.Test.Beyond(level)
	return h
}

// covariance of a plane face's heights at two places.
func covariance(f *fit.Face, p, q r3.Vec) float64 {
	a, b := row(f, p), row(f, q)
	sum := 0.0
	for i := range 3 {
		for k := range 3 {
			sum += a[i] * f.Cov[i][k] * b[k]
		}
	}
	return sum
}

// row is what the face's three parameters do to its height at p.
func row(f *fit.Face, p r3.Vec) [3]float64 {
	axes := f.Plane.Frame(f.Centre).R
	r := r3.Sub(p, f.Centre)
	return [3]float64{1, r3.Dot(r, axes.Axis(1)), -r3.Dot(r, axes.Axis(0))}
}

// Against holds touches against a scene at the level of the tests, such as 0.99.
// It fails, with a *fault.Error that names file as the touches' own, where an
// object or a surface is not in the map, or a touch lies nowhere near it.
func Against(s *scene.Scene, points []Point, level float64, file string) (*Check, error) {
	c := &Check{Level: level}
	for _, p := range points {
		f, err := faceOf(s, p, file)
		if err != nil {
			return nil, err
		}
		c.Held = append(c.Held, hold(p, f, level))
	}
	var err error
	c.Test, err = c.together()
	return c, err
}
