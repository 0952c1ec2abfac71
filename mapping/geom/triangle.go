package geom

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// Triangle is a facet: its corners, counter-clockwise seen from outside, mm.
type Triangle [3]r3.Vec

// Area is that of the triangle, mm^2.
func (t Triangle) Area() float64 { return r3.Norm(t.cross()) / 2 }

// Normal is the outward unit normal; NaN where the area is 0.
func (t Triangle) Normal() r3.Vec { return r3.Unit(t.cross()) }

func (t Triangle) cross() r3.Vec { return r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0])) }

// Closest is the point of the triangle that is nearest to p (Ericson, Real-Time
// Collision Detection, 5.1.5).
func (t Triangle) Closest(p r3.Vec) r3.Vec {
	ab, ac, ap := r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]), r3.Sub(p, t[0])
	d1, d2 := r3.Dot(ab, ap), r3.Dot(ac, ap)
	if d1 <= 0 && d2 <= 0 {
		return t[0]
	}
	bp := r3.Sub(p, t[1])
	d3, d4 := r3.Dot(ab, bp), r3.Dot(ac, bp)
	if d3 >= 0 && d4 <= d3 {
		return t[1]
	}
	vc := d1*d4 - d3*d2
	if vc <= 0 && d1 >= 0 && d3 <= 0 {
		return r3.Add(t[0], r3.Scale(d1/(d1-d3), ab))
	}
	cp := r3.Sub(p, t[2])
	d5, d6 := r3.Dot(ab, cp), r3.Dot(ac, cp)
	if d6 >= 0 && d5 <= d6 {
		return t[2]
	}
	vb := d5*d2 - d1*d6
	if vb <= 0 && d2 >= 0 && d6 <= 0 {
		return r3.Add(t[0], r3.Scale(d2/(d2-d6), ac))
	}
	va := d3*d6 - d5*d4
	if va <= 0 && d4-d3 >= 0 && d5-d6 >= 0 {
		return r3.Add(t[1], r3.Scale((d4-d3)/(d4-d3+d5-d6), r3.Sub(t[2], t[1])))
	}
	s := 1 / (va + vb + vc)
	return r3.Add(t[0], r3.Add(r3.Scale(vb*s, ab), r3.Scale(vc*s, ac)))
}

// Cut is the distance along the ray from p in direction d at which it meets the
// triangle, and whether it does (Moeller and Trumbore, J. Graphics Tools 2
// (1997) 21).
func (t Triangle) Cut(p, d r3.Vec) (float64, bool) {
	e1, e2 := r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0])
	h := r3.Cross(d, e2)
	det := r3.Dot(e1, h)
	if det == 0 {
		return 0, false
	}
	s := r3.Sub(p, t[0])
	u := r3.Dot(s, h) / det
	q := r3.Cross(s, e1)
	v := r3.Dot(d, q) / det
	if u < 0 || v < 0 || u+v > 1 {
		return 0, false
	}
	return r3.Dot(e2, q) / det, true
}
