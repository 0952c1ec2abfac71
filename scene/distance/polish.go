package distance

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// feature is what of a body touches a slab across the unit vector n: corners, and
// on a cylinder one point of a rim, or of both.
type feature struct {
	ends []r3.Vec // corners, or centres of the rims
	rim  *Cylinder
}

// featureOf the body, of whose points touching are the ones that reach furthest
// along n, or nearly so.
func featureOf(b Body, touching []r3.Vec) feature {
	c, ok := b.(*Cylinder)
	if !ok {
		return feature{ends: distinct(touching)}
	}
	f := feature{rim: c}
	for _, p := range touching {
		side := math.Copysign(c.bar.Height/2, r3.Dot(r3.Sub(p, c.bar.Centre), c.bar.Axis))
		f.ends = append(f.ends, r3.Add(c.bar.Centre, r3.Scale(side, c.bar.Axis)))
	}
	f.ends = distinct(f.ends)
	return f
}

func distinct(points []r3.Vec) []r3.Vec {
	var out []r3.Vec
	for _, p := range points {
		if !slices.ContainsFunc(out, func(q r3.Vec) bool { return r3.Norm(r3.Sub(p, q)) <= touching }) {
			out = append(out, p)
		}
	}
	return out
}

// at are the feature's points that reach furthest along n.
func (f *feature) at(n r3.Vec) []r3.Vec {
	if f.rim == nil {
		return f.ends
	}
	out := make([]r3.Vec, len(f.ends))
	for i, e := range f.ends {
		out[i] = r3.Add(e, f.rim.outward(n))
	}
	return out
}

// polished turns n, in which features of a and b face each other, to where the
// slab between them is widest, by Newton's method on the sphere: the slab's
// width is n.q - sum of R |n x axis| over the rims, with q from a's corner or
// rim's centre to b's, and its second derivative on the sphere is the width
// itself, negative, less R/|n x axis| along each rim (the curvature of a circle
// seen from n). Where a feature is an edge, n stays across it. ok is false where
// nothing is left to turn, or the width has no maximum nearby.
func polished(a, b *feature, n r3.Vec) (_ r3.Vec, ok bool) {
	if a.rim == nil && b.rim == nil || len(a.ends) > 2 || len(b.ends) > 2 {
		return n, false
	}
	var across []r3.Vec
	for _, f := range [2]*feature{a, b} {
		if len(f.ends) < 2 {
			continue
		}
		along := r3.Unit(r3.Sub(f.ends[1], f.ends[0]))
		if len(across) == 0 || r3.Norm(r3.Cross(along, across[0])) > slack { // else one edge runs along the other
			across = append(across, along)
		}
	}
	q := r3.Sub(b.ends[0], a.ends[0])
	const rounds = 12 // digits double from round to round; from a few degrees off some five suffice
	for range rounds {
		t, left := tangents(&n, across)
		if !left {
			return n, true
		}
		turn, ok := newton(a, b, n, q, t)
		if !ok {
			return n, false
		}
		n = r3.Unit(r3.Add(n, turn))
		if r3.Norm(turn) < 1e-13 {
			break
		}
	}
	return n, true
}

// tangents are the directions in which n may turn while it stays across all of
// across; n is set across them first. None are left across two.
func tangents(n *r3.Vec, across []r3.Vec) (t [2]r3.Vec, left bool) {
	switch len(across) {
	case 0:
		t[0] = anyAcross(*n)
		t[1] = r3.Cross(*n, t[0])
		return t, true
	case 1:
		*n = r3.Unit(r3.Sub(*n, r3.Scale(r3.Dot(*n, across[0]), across[0])))
		t[0] = r3.Cross(across[0], *n)
		return t, true
	}
	c := r3.Unit(r3.Cross(across[0], across[1]))
	*n = r3.Scale(math.Copysign(1, r3.Dot(c, *n)), c)
	return t, false
}

// newton is the step on the sphere from n along t.
func newton(a, b *feature, n, q r3.Vec, t [2]r3.Vec) (turn r3.Vec, ok bool) {
	width := r3.Dot(n, q)
	g := [2]float64{r3.Dot(t[0], q), r3.Dot(t[1], q)}
	var h [3]float64 // 00, 01, 11, negative
	for _, f := range [2]*feature{a, b} {
		if f.rim == nil {
			continue
		}
		axis, r := f.rim.bar.Axis, f.rim.bar.Radius
		round := r3.Cross(axis, n)
		rho := r3.Norm(round)
		if rho < 1e-9 { // a cap: n is fixed
			return r3.Vec{}, false
		}
		width -= r * rho
		x, y := r3.Dot(t[0], round)/rho, r3.Dot(t[1], round)/rho
		h[0], h[1], h[2] = h[0]+r/rho*x*x, h[1]+r/rho*x*y, h[2]+r/rho*y*y
		for i := range g {
			g[i] += r * r3.Dot(n, axis) * r3.Dot(t[i], axis) / rho
		}
	}
	h[0], h[2] = h[0]+width, h[2]+width
	if t[1] == (r3.Vec{}) {
		return r3.Scale(g[0]/h[0], t[0]), h[0] > 0
	}
	det := h[0]*h[2] - h[1]*h[1]
	x, y := (h[2]*g[0]-h[1]*g[1])/det, (h[0]*g[1]-h[1]*g[0])/det
	return r3.Add(r3.Scale(x, t[0]), r3.Scale(y, t[1])), h[0] > 0 && det > 0
}
