package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// near tells whether p lies within eps of the convex hull of points (Gilbert,
// Johnson and Keerthi, IEEE J. Robotics Autom. 4 (1988) 193): the nearest point
// of a growing simplex approaches that of the hull, and the search ends as soon
// as either bound on the distance passes eps.
func near(p r3.Vec, points []r3.Vec, eps float64) bool {
	simplex := []r3.Vec{r3.Sub(points[0], p)}
	// Each step brings the simplex nearer or ends the search; few points need
	// few steps, and the bound only guards against rounding that goes in circles.
	for range 4 + 4*len(points) {
		v, face := closest(simplex)
		d := r3.Norm(v)
		if d <= eps {
			return true
		}
		var w r3.Vec
		least := math.Inf(1)
		for _, q := range points {
			if s := r3.Dot(v, r3.Sub(q, p)); s < least {
				least, w = s, r3.Sub(q, p)
			}
		}
		if least/d > eps || least >= d*d*(1-1e-12) {
			return false
		}
		simplex = append(face, w)
	}
	return false
}

// closest is the point of the simplex (up to four corners) nearest to the
// origin, and the corners that it lies between: the least of the feet on every
// side that fall inside that side.
func closest(simplex []r3.Vec) (best r3.Vec, face []r3.Vec) {
	least := math.Inf(1)
	for set := 1; set < 1<<len(simplex); set++ {
		side := make([]r3.Vec, 0, 4)
		for i, v := range simplex {
			if set>>i&1 == 1 {
				side = append(side, v)
			}
		}
		if v, ok := foot(side); ok && r3.Norm2(v) < least {
			best, face, least = v, side, r3.Norm2(v)
		}
	}
	return best, face
}

// foot of the origin on the affine hull of the corners; ok where it lies
// between them.
func foot(c []r3.Vec) (r3.Vec, bool) {
	var e [3]r3.Vec
	for i := 1; i < len(c); i++ {
		e[i-1] = r3.Sub(c[i], c[0])
	}
	var w [3]float64 // weights of corners 1 to 3
	o := r3.Scale(-1, c[0])
	switch len(c) {
	case 2:
		w[0] = r3.Dot(o, e[0]) / r3.Norm2(e[0])
	case 3:
		n := r3.Cross(e[0], e[1])
		w[0] = r3.Dot(r3.Cross(o, e[1]), n) / r3.Norm2(n)
		w[1] = r3.Dot(r3.Cross(e[0], o), n) / r3.Norm2(n)
	case 4:
		det := r3.Dot(e[0], r3.Cross(e[1], e[2]))
		w[0] = r3.Dot(o, r3.Cross(e[1], e[2])) / det
		w[1] = r3.Dot(e[0], r3.Cross(o, e[2])) / det
		w[2] = r3.Dot(e[0], r3.Cross(e[1], o)) / det
	}
	if !(w[0] >= 0 && w[1] >= 0 && w[2] >= 0 && w[0]+w[1]+w[2] <= 1) {
		return r3.Vec{}, false // NaN of a flat side included
	}
	p := c[0]
	for i := range e {
		p = r3.Add(p, r3.Scale(w[i], e[i]))
	}
	return p, true
}
