package geom

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// Moments sums up a point set: how many, where, and how spread. Merging is
// exact, so a plane through millions of points is fitted from a few thousand
// of them without any loss. The zero value is the empty set.
type Moments struct {
	N       float64 // count, or total weight
	Mean    r3.Vec  // mm
	Scatter Sym3    // sum of w (p-Mean)(p-Mean)^T, mm^2
}

// Add takes in the point p with weight w > 0 (West, Comm. ACM 22 (1979) 532).
func (m *Moments) Add(p r3.Vec, w float64) {
	n := m.N + w
	d := r3.Sub(p, m.Mean)
	m.Scatter = m.Scatter.Plus(Outer(w*m.N/n, d))
	m.Mean = r3.Add(m.Mean, r3.Scale(w/n, d))
	m.N = n
}

// Merge takes in another set (Chan, Golub and LeVeque 1979, eq. 2.1).
func (m *Moments) Merge(o Moments) {
	if o.N == 0 {
		return
	}
	n := m.N + o.N
	d := r3.Sub(o.Mean, m.Mean)
	f := o.N / n
	w := r3.Scale(m.N*f, d)
	s, t := &m.Scatter, &o.Scatter // in place: this is the innermost step of every fit
	s[0] += t[0] + w.X*d.X
	s[1] += t[1] + w.X*d.Y
	s[2] += t[2] + w.X*d.Z
	s[3] += t[3] + w.Y*d.Y
	s[4] += t[4] + w.Y*d.Z
	s[5] += t[5] + w.Z*d.Z
	m.Mean = r3.Add(m.Mean, r3.Scale(f, d))
	m.N = n
}

// Weighted returns the moments as if every point's weight were f times its own.
func (m Moments) Weighted(f float64) Moments {
	m.N *= f
	for i := range m.Scatter {
		m.Scatter[i] *= f
	}
	return m
}

// SquaresTo is the sum of weighted squared distances of all points to pl, mm^2.
func (m Moments) SquaresTo(pl Plane) float64 {
	d := pl.Distance(m.Mean)
	return m.Scatter.Form(pl.Normal) + m.N*d*d
}

// Plane is the total least-squares plane and the variance along each principal
// axis, ascending, mm^2: the first is the thickness across the plane.
func (m Moments) Plane() (Plane, [3]float64) {
	w, v := m.Scatter.Eigen()
	for i := range w {
		w[i] = max(w[i], 0) / m.N
	}
	n := v.Axis(0)
	return Plane{Normal: n, Offset: r3.Dot(n, m.Mean)}, w
}
