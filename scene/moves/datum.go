package moves

import (
	"math"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// byDatum is the move of an object whose datum was located in both maps and
// rests on more than its faces: a vise's jaws are fitted all at once, a post is
// round. home is the machine that it stands in, nil where none is told.
func byDatum(old, new *scene.Object, home *Move, level float64) Move {
	m := Move{By: ByDatum, Twin: new.Name, Inflation: 1}
	switch {
	case old.Kind == fit.Post:
		m.Motion = ofAxis(old, new)
	case home != nil:
		a, b := *old, *new
		a.Cov, b.Cov = steadied(old, home.sway), steadied(new, home.sway)
		m.Motion = ofDatum(&a, &b)
		m.sway = home.sway
	default:
		m.Motion = ofDatum(old, new)
	}
	m.judge(reachOf(old), level)
	return m
}

// steadied is the covariance of a datum that was fitted by itself, where the faces of
// its machine tell how far sweeps are off: one pass over a vise shows nothing of
// that, so its fit allows for any arm, and the same arm made both maps. A shift of a
// sweep carries the datum along every axis alike, whatever its turn does, so no more
// than the least variance that the turn leaves is that; what is more along an axis,
// as along jaws of which no end was seen, stays.
func steadied(o *scene.Object, by sway) geom.Cov6 {
	least, ok := leastShift(o.Cov)
	if !ok || by.freedom == 0 {
		return o.Cov
	}
	out := o.Cov.Turned(o.Pose.R.T())
	for i := range 3 {
		if n := sweepsAlong(o, o.Pose.R.Axis(i)); by.shift/n < least {
			out[i][i] -= least - by.shift/n
		}
	}
	return out.Turned(o.Pose.R)
}

// sweepsAlong is how many sweeps the place along an axis rests on: as many as saw the
// face that looks along it, either way, which the fewest saw. Other faces say nothing
// of it, however many sweeps saw them.
func sweepsAlong(o *scene.Object, axis r3.Vec) float64 {
	least := 0
	for i := range o.Faces {
		f := &o.Faces[i]
		if n := len(f.Scans); math.Abs(r3.Dot(f.Plane.Normal, axis)) > math.Cos(45*degree) && (least == 0 || n < least) {
			least = n
		}
	}
	return float64(max(1, least))
}

// leastShift is the least variance of the shift along any axis, given the turn, mm^2;
// ok is false where the turn has none.
func leastShift(c geom.Cov6) (v float64, ok bool) {
	part := func(r, k int) *mat.Dense {
		m := mat.NewDense(3, 3, nil)
		for i := range 3 {
			for j := range 3 {
				m.Set(i, j, c[r+i][k+j])
			}
		}
		return m
	}
	var chol mat.Cholesky
	if !chol.Factorize(rigid.Symmetric(part(3, 3))) {
		return 0, false
	}
	var gain, taken, left mat.Dense
	if chol.SolveTo(&gain, part(3, 0)) != nil {
		return 0, false
	}
	taken.Mul(part(0, 3), &gain)
	left.Sub(part(0, 0), &taken)
	var e mat.EigenSym
	if !e.Factorize(rigid.Symmetric(&left), false) {
		return 0, false
	}
	return e.Values(nil)[0], true
}

// reachOf is the half size of an object about its datum, mm.
func reachOf(o *scene.Object) float64 {
	far := float64(leastLever)
	for i := range o.Faces {
		far = max(far, r3.Norm(r3.Sub(o.Faces[i].Centre, o.Pose.T)))
	}
	return far
}

// ofDatum is the motion between two located datums.
func ofDatum(old, new *scene.Object) rigid.Motion {
	p := new.Pose.Mul(old.Pose.Inverse())
	return rigid.Motion{Pose: p, About: new.Pose.T, Cov: new.Cov.Plus(old.Cov.Turned(p.R))}
}

// ofAxis is the motion of a round post: across its axis and of the axis'
// direction. Along and about the axis it looks the same.
func ofAxis(old, new *scene.Object) rigid.Motion {
	a, b := old.Pose.R.Axis(2), new.Pose.R.Axis(2)
	r := geom.Exp(r3.Cross(a, b)) // posts are upright in both maps: the angle is small
	shift := r3.Sub(new.Pose.T, old.Pose.T)
	shift = r3.Sub(shift, r3.Scale(r3.Dot(shift, b), b))
	p := geom.Pose{R: r, T: r3.Sub(r3.Add(old.Pose.T, shift), r.Apply(old.Pose.T))}
	cov := new.Cov.Plus(old.Cov.Turned(p.R)).Turned(new.Pose.R.T())
	for i := range 6 {
		for _, free := range [2]int{2, 5} {
			cov[i][free], cov[free][i] = 0, 0
		}
	}
	return rigid.Motion{
		Pose: p, About: p.Apply(old.Pose.T), Cov: cov.Turned(new.Pose.R),
		Loose: []rigid.Direction{{Slide: b}, {Turn: b, Through: new.Pose.T}},
	}
}

// close completes the directions that no shared face holds by the datums of both
// maps, where those hold them: the ends of a front, the rim of a table. They rest
// on edges, which faces know nothing of, so both count as independent. Ends that lie
// further apart, or nearer together, than they did say nothing.
func (m *Move) close(old, new *scene.Object) {
	if len(m.Loose) == 0 {
		return
	}
	var datum rigid.Motion
	var free geom.Cov6
	if old.Kind == fit.Enclosure {
		var ok bool
		if datum, ok = ofFront(old, new); !ok {
			return
		}
		// The floor holds its height and its lean to the side, whatever the machine does.
		free[2][2], free[3][3] = anyPlace*anyPlace, anyLean*anyLean
	} else {
		datum = ofDatum(old, new)
		for i, name := range [2]string{"length_mm", "width_mm"} {
			if !agree(old, new, name) {
				free[i][i] = anyPlace * anyPlace
			}
		}
		if free[0][0] > 0 && free[1][1] > 0 {
			return
		}
	}
	datum.Cov = datum.Cov.Plus(free.Turned(new.Pose.R))
	var told []rigid.Direction
	m.Motion, told = m.Motion.Closed(datum, reachOf(old))
	for _, d := range told {
		m.Weak = append(m.Weak, Weak{Direction: d, On: Edges})
	}
}

// mark is a place on the front that both maps know, along Y of the datums, mm, and
// the variances of both.
type mark struct{ old, new, oldVar, newVar float64 }

// ofFront is the motion between two enclosures' datums, with what the edges of the
// door's opening say of the way along the front: often they were seen where the
// ends of the front were not. ok is false where neither says anything.
func ofFront(old, new *scene.Object) (motion rigid.Motion, ok bool) {
	own := func(o *scene.Object) float64 { return o.Cov.Turned(o.Pose.R.T())[1][1] }
	all := edges(old, new)
	if agree(old, new, "width_mm") {
		all = append(all, mark{0, 0, own(old), own(new)})
	}
	if len(all) == 0 {
		return motion, false
	}
	var at mark
	sum := 0.0
	for _, m := range all {
		sum += 1 / (m.oldVar + m.newVar)
	}
	for _, m := range all {
		w := 1 / (m.oldVar + m.newVar) / sum
		at = mark{at.old + w*m.old, at.new + w*m.new, at.oldVar + w*w*m.oldVar, at.newVar + w*w*m.newVar}
	}
	a, b := *old, *new
	a.Pose, a.Cov = alongFront(old, at.old, at.oldVar)
	b.Pose, b.Cov = alongFront(new, at.new, at.newVar)
	return ofDatum(&a, &b), true
}

// edges are the sides of the opening that both maps measured. Of an opening of which
// another side was not seen only the width's uncertainty is stated, and with it how
// well its middle is known. Where its width differs, a leaf or a guard covers part of
// it in one of the maps, and none counts.
func edges(a, b *scene.Object) []mark {
	const name = "opening_width_mm"
	_, ok1 := a.Measures[name]
	_, ok2 := b.Measures[name]
	if a.Opening == nil || b.Opening == nil || !ok1 || !ok2 || !agree(a, b, name) {
		return nil
	}
	p, q := a.Opening, b.Opening
	if math.IsInf(p.Sigma[0]+p.Sigma[1]+q.Sigma[0]+q.Sigma[1], 1) {
		half := func(o *scene.Object) float64 { s := o.Measures[name].Sigma / 2; return s * s }
		return []mark{{(p.YMin + p.YMax) / 2, (q.YMin + q.YMax) / 2, half(a), half(b)}}
	}
	return []mark{
		{p.YMin, q.YMin, p.Sigma[0] * p.Sigma[0], q.Sigma[0] * q.Sigma[0]},
		{p.YMax, q.YMax, p.Sigma[1] * p.Sigma[1], q.Sigma[1] * q.Sigma[1]},
	}
}

// alongFront is an enclosure's datum with its origin moved along the front, where its
// variance along that is known.
func alongFront(o *scene.Object, y, variance float64) (geom.Pose, geom.Cov6) {
	at := o.Pose.Apply(r3.Vec{Y: y})
	c := o.Cov.At(r3.Sub(at, o.Pose.T)).Turned(o.Pose.R.T())
	for i := range 6 {
		c[i][1], c[1][i] = 0, 0
	}
	c[1][1] = variance
	return geom.Pose{R: o.Pose.R, T: at}, c.Turned(o.Pose.R)
}

// What a datum says nothing of may be as much, one sigma: far more than Coarse, and
// not so much that its weight is lost beside the others'.
const (
	anyPlace = 100.0 // mm
	anyLean  = 0.1   // rad
)
