package moves

import (
	"math"
	"slices"

	"cellwall/fit/surface"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// system is the set of plane parameters by which pairs differ: of each the
// offset and two turns, the turns in mm at the lever. With it comes what sweeps are
// taken to be off by.
func system(all []pair) (*rigid.System, sway) {
	s := &rigid.System{Cov: mat.NewSymDense(3*len(all), nil)}
	for i := range all {
		s.Centre = r3.Add(s.Centre, r3.Scale(1/float64(len(all)), all[i].frame.T))
	}
	s.Lever = lever(all, s.Centre)
	for i := range all {
		p := &all[i]
		n, u, v := p.frame.R.Axis(2), p.frame.R.Axis(0), p.frame.R.Axis(1)
		turn := r3.Cross(p.at.plane.Normal, n)
		s.Rows = append(s.Rows,
			rigid.Row{Shift: n, Turn: r3.Cross(r3.Sub(p.frame.T, s.Centre), n), Group: i},
			rigid.Row{Turn: r3.Scale(s.Lever, u), Group: i},
			rigid.Row{Turn: r3.Scale(s.Lever, v), Group: i})
		s.Lengths = append(s.Lengths,
			p.at.plane.Distance(p.frame.T), s.Lever*r3.Dot(turn, u), s.Lever*r3.Dot(turn, v))
	}
	sides := [2]func(*pair) *patch{
		func(p *pair) *patch { return &p.at },
		func(p *pair) *patch { return p.new },
	}
	var swayed [2]sway
	for k, side := range sides {
		addNoise(s, all, side)
		swayed[k] = swayOf(s, all, side)
	}
	both := pooled(swayed)
	for _, side := range sides {
		addSweeps(s, all, side, both)
	}
	return s, both
}

// leastLever keeps the lever from vanishing where all faces have one centre, mm.
const leastLever = 50

// lever is how far the faces reach from their centre, as a root mean square.
func lever(all []pair, centre r3.Vec) float64 {
	sum := 0.0
	for i := range all {
		sum += r3.Norm2(r3.Sub(all[i].frame.T, centre)) + all[i].new.area/4
	}
	return max(leastLever, math.Sqrt(sum/float64(len(all))))
}

// at is a covariance of a patch as its pair's rows have it.
func at(p *pair, side *patch, c surface.Cov3, lever float64) *mat.SymDense {
	j := side.seenFrom(p.frame)
	through := mat.NewDense(3, 3, nil)
	for r := range 3 {
		for k := range 3 {
			through.Set(r, k, j[r][k])
			if r > 0 {
				through.Set(r, k, lever*j[r][k])
			}
		}
	}
	var jc, out mat.Dense
	jc.Mul(through, mat.NewDense(3, 3, slices.Concat(c[0][:], c[1][:], c[2][:])))
	out.Mul(&jc, through.T())
	return rigid.Symmetric(&out)
}

// addNoise adds what each face errs by on its own.
func addNoise(s *rigid.System, all []pair, side func(*pair) *patch) {
	for i := range all {
		p := side(&all[i])
		c := at(&all[i], p, p.noise, s.Lever)
		for r := range 3 {
			for k := range r + 1 {
				s.Cov.SetSym(3*i+r, 3*i+k, s.Cov.At(3*i+r, 3*i+k)+c.At(r, k))
			}
		}
	}
}

// sway is how far one sweep of a map is off as a rigid body: variances of a shift
// and of a turn times the lever, mm^2, and how many sweeps beyond the first tell.
type sway struct{ shift, turn, freedom float64 }

// known is how many degrees of freedom it was told from: each sweep beyond the first
// shows three shifts again.
func (s sway) known() float64 { return 3 * s.freedom }

// swayOf is the sway that the faces' covariances imply: of a face that n sweeps
// saw they hold an n-th of it, and more where the sweeps count unevenly or come
// and go within themselves; so the least of all faces is what they have in common.
func swayOf(s *rigid.System, all []pair, side func(*pair) *patch) sway {
	out := sway{shift: math.Inf(1), turn: math.Inf(1)}
	var seen []int32
	for i := range all {
		p := side(&all[i])
		c := at(&all[i], p, p.sweep, s.Lever)
		n := float64(len(p.scans))
		out.shift = min(out.shift, n*c.At(0, 0))
		out.turn = min(out.turn, n*(c.At(1, 1)+c.At(2, 2))/2)
		seen = append(seen, p.scans...)
	}
	slices.Sort(seen)
	out.freedom = float64(len(slices.Compact(seen)) - 1)
	return out
}

// pooled is the sway of both maps: the same arm made them, and the two or three
// sweeps of a rescan may agree by chance.
func pooled(maps [2]sway) sway {
	n := maps[0].freedom + maps[1].freedom
	if n == 0 {
		return sway{}
	}
	a, b := maps[0].freedom/n, maps[1].freedom/n
	return sway{shift: a*maps[0].shift + b*maps[1].shift, turn: a*maps[0].turn + b*maps[1].turn, freedom: n}
}

// addSweeps adds what moves the sweeps of one map. Each sweep is off as a rigid
// body, alike in all faces that it saw, and a face's error is the mean of its
// sweeps': what two faces have in common grows with the sweeps that they have in
// common. To make it exactly rigid matters: least squares would find differences
// between faces that cancel an error which only nearly is. What a face's own
// covariance holds beyond that comes and goes within the sweeps.
func addSweeps(s *rigid.System, all []pair, side func(*pair) *patch, both sway) {
	rigidly := make([]*mat.Dense, len(all))
	for i := range all {
		rigidly[i] = loading(s, i, both)
	}
	for i := range all {
		for k := range i + 1 {
			w := inCommon(side(&all[i]).scans, side(&all[k]).scans)
			var c mat.Dense
			c.Mul(rigidly[i], rigidly[k].T())
			c.Scale(w, &c)
			if i == k {
				own := side(&all[i])
				c.Add(&c, beyond(at(&all[i], own, own.sweep, s.Lever), &c))
			}
			addBlock(s.Cov, i, k, &c)
		}
	}
}

// loading turns a unit rigid error into the parameters of face i.
func loading(s *rigid.System, i int, by sway) *mat.Dense {
	j := mat.NewDense(3, 6, nil)
	a, b := math.Sqrt(by.shift), math.Sqrt(by.turn)/s.Lever
	for r := range 3 {
		row := s.Rows[3*i+r]
		j.SetRow(r, []float64{a * row.Shift.X, a * row.Shift.Y, a * row.Shift.Z, b * row.Turn.X, b * row.Turn.Y, b * row.Turn.Z})
	}
	return j
}

// beyond is what of a covariance exceeds another, direction by direction.
func beyond(own *mat.SymDense, than *mat.Dense) *mat.SymDense {
	var rest mat.Dense
	rest.Sub(own, than)
	out := mat.NewSymDense(3, nil)
	var e mat.EigenSym
	if !e.Factorize(rigid.Symmetric(&rest), true) {
		return out
	}
	var axes mat.Dense
	e.VectorsTo(&axes)
	for k, v := range e.Values(nil) {
		out.SymRankOne(out, max(v, 0), axes.ColView(k))
	}
	return out
}

// inCommon is the covariance of the means of two sets of sweeps that err by
// themselves and alike, in units of one sweep's variance.
func inCommon(a, b []int32) float64 {
	n := 0
	for _, k := range a {
		if slices.Contains(b, k) {
			n++
		}
	}
	return float64(n) / float64(len(a)*len(b))
}

// addBlock adds c to the block of pairs i >= k.
func addBlock(v *mat.SymDense, i, k int, c *mat.Dense) {
	for r := range 3 {
		for q := range 3 {
			if row, col := 3*i+r, 3*k+q; row >= col {
				v.SetSym(row, col, v.At(row, col)+c.At(r, q))
			}
		}
	}
}
