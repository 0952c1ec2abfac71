package vise

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// The order of the unknowns: pose, sizes, sweeps, wavers, edge groups, and the
// trim that all edges share.
const (
	atSizes  = 6
	atSweeps = atSizes + numSizes
)

func (f *fit) unknowns() int { return f.atTrim() + 1 }

func (f *fit) atWavers() int { return atSweeps + 6*len(f.scans) }

func (f *fit) atGroups() int { return f.atWavers() + 3*len(f.wavers) }

func (f *fit) atTrim() int { return f.atGroups() + len(f.groups) }

// row is how one unknown moves a residual: coefficients on (1, x, y, z) of the
// point.
type row struct {
	unknown int
	by      [4]float64
}

// residual returns the coefficients on (1, x, y, z) that give the distance of a
// point of the block to its face, and the rows of the Jacobian. With n the
// normal, T the jaw origin, and t, w the sweep's shift and rotation:
//
//	r = n . (p - t - w x p - T) - offset - waver + bias + trim gap
func (f *fit) residual(b *block) (g [4]float64, rows []row) {
	n := f.pose.R.Apply(faces[b.face].normal)
	s := &f.sweeps[b.scan]
	t, w := r3.Vec{X: s[0], Y: s[1], Z: s[2]}, r3.Vec{X: s[3], Y: s[4], Z: s[5]}
	from := r3.Add(t, r3.Sub(f.pose.T, f.centre))
	along := r3.Sub(n, r3.Cross(n, w))
	g = [4]float64{-r3.Dot(n, from) - f.offset(b.face), along.X, along.Y, along.Z}

	arm := r3.Cross(n, from)
	x := [3][3]float64{{0, -n.Z, n.Y}, {n.Z, 0, -n.X}, {-n.Y, n.X, 0}} // n x
	rows = make([]row, 0, 6+numSizes+6+3+2)
	sweep := atSweeps + 6*int(b.scan)
	for i, c := range vec(n) {
		rows = append(rows, row{i, [4]float64{-c}}, row{sweep + i, [4]float64{-c}})
	}
	for i, c := range vec(arm) {
		rows = append(rows,
			row{3 + i, [4]float64{-c, x[i][0], x[i][1], x[i][2]}},
			row{sweep + 3 + i, [4]float64{0, x[i][0], x[i][1], x[i][2]}})
	}
	for k, c := range faces[b.face].by {
		if c != 0 {
			rows = append(rows, row{atSizes + k, [4]float64{-c}})
		}
	}
	if b.waver >= 0 {
		for k, by := range f.leans(b.face) {
			by = f.inFit(by)
			for c := range by {
				g[c] -= f.wavers[b.waver].off[k] * by[c]
				by[c] = -by[c]
			}
			rows = append(rows, row{f.atWavers() + 3*b.waver + k, by})
		}
	}
	if b.group >= 0 {
		e := &f.groups[b.group]
		g[0] += e.bias + f.trim*e.gap
		rows = append(rows, row{f.atGroups() + int(b.group), [4]float64{1}}, row{f.atTrim(), [4]float64{e.gap}})
	}
	return g, rows
}

func vec(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// system is the normal equations of the points, without what is known of the
// sweeps: information x step = pull, and the misfit before the step.
type system struct {
	information *mat.SymDense
	pull        *mat.VecDense
	misfit      float64
}

// anywhere is the standard deviation of the pose beforehand, mm and rad: next to
// nothing is known, but a direction that no face was seen across must not leave
// the equations without a solution.
var anywhere = [6]float64{100, 100, 100, 1, 1, 1}

// system sums the blocks and the priors of sizes and edges.
func (f *fit) system() *system {
	n := f.unknowns()
	s := &system{information: mat.NewSymDense(n, nil), pull: mat.NewVecDense(n, nil)}
	for i := range f.blocks {
		s.take(f, &f.blocks[i])
	}
	for i := range f.edges {
		s.take(f, f.edgeBlock(&f.edges[i]))
	}
	for k := range 6 {
		s.prior(k, 0, anywhere[k])
	}
	for k, m := range f.expect {
		s.prior(atSizes+k, f.size[k]-m.Value, m.Sigma)
	}
	for k, g := range f.groups {
		s.prior(f.atGroups()+k, g.bias, ownTrim*g.gap)
	}
	s.prior(f.atTrim(), f.trim-usualTrim, sharedTrim)
	return s
}

func (s *system) take(f *fit, b *block) {
	g, rows := f.residual(b)
	mg := times(&b.sum, g)
	s.misfit += dot(g, mg)
	for i, a := range rows {
		ma := times(&b.sum, a.by)
		s.pull.SetVec(a.unknown, s.pull.AtVec(a.unknown)-dot(ma, g))
		for _, c := range rows[i:] {
			s.information.SetSym(a.unknown, c.unknown, s.information.At(a.unknown, c.unknown)+dot(ma, c.by))
		}
	}
}

// prior takes in that unknown k is off by d from its expectation, whose
// standard deviation is sigma.
func (s *system) prior(k int, d, sigma float64) {
	w := 1 / (sigma * sigma)
	s.misfit += w * d * d
	s.pull.SetVec(k, s.pull.AtVec(k)-w*d)
	s.information.SetSym(k, k, s.information.At(k, k)+w)
}

func times(m *[4][4]float64, v [4]float64) (out [4]float64) {
	for i := range m {
		out[i] = dot(m[i], v)
	}
	return out
}

func dot(a, b [4]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] + a[3]*b[3] }

// solve takes one Gauss-Newton step, of the system solved one way or the other,
// and returns how far it moved the jaws, mm.
func (f *fit) solve(how func(*system, *fit) mixture) float64 {
	f.mixture = how(f.system(), f)
	step := f.mixture.step
	var d [6]float64
	copy(d[:], step[:6])
	f.pose = f.pose.Perturb(d)
	moved := math.Hypot(math.Hypot(d[0], d[1]), d[2]) + r3.Norm(r3.Vec{X: d[3], Y: d[4], Z: d[5]})*f.size[width]
	for k := range f.size {
		f.size[k] += step[atSizes+k]
		moved = max(moved, math.Abs(step[atSizes+k]))
	}
	for s := range f.sweeps {
		for k := range 6 {
			f.sweeps[s][k] += step[atSweeps+6*s+k]
		}
	}
	for i := range f.wavers {
		for k := range 3 {
			f.wavers[i].off[k] += step[f.atWavers()+3*i+k]
		}
	}
	for k := range f.groups {
		f.groups[k].bias += step[f.atGroups()+k]
	}
	f.trim += step[f.atTrim()]
	f.place()
	return moved
}
