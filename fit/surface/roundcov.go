package surface

import (
	"cellwall/fit/surface/shape"
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Cov5 is the covariance of a cylinder: what its axis is displaced by at Point
// along U and V of Plane{Normal: Axis}.Frame(Point) (mm), the components of the
// change of Axis along them (rad), and the radius (mm).
type Cov5 [5][5]float64

// RoundBudget splits it as Budget does that of a plane.
type RoundBudget struct{ Noise, Sweep, Arm, Mount Cov5 }

// Total is the sum of the four, which are independent.
func (b RoundBudget) Total() (c Cov5) {
	for i := range c {
		for j := range c[i] {
			c[i][j] = b.Noise[i][j] + b.Sweep[i][j] + b.Arm[i][j] + b.Mount[i][j]
		}
	}
	return c
}

// grip is how one sweep's points hold a cylinder: weighted sums over them of the
// gradients j of their distances from it.
type grip struct {
	scan   int32
	weight float64
	points float64
	eye    r3.Vec        // sum of the scanner's places, times points
	info   *mat.SymDense // 5 x 5: of j j^T
	noisy  *mat.SymDense // the same, with the weight squared times the variance of the noise
	shift  *mat.Dense    // 5 x 3: of j n^T, which a shift of the sweep pulls by, n square to the surface
	turn   *mat.Dense    // and of j (p - eye, crossed with n)^T, by a turn of the scanner
}

func newGrip(scan int32) *grip {
	return &grip{
		scan: scan, info: mat.NewSymDense(5, nil), noisy: mat.NewSymDense(5, nil),
		shift: mat.NewDense(5, 3, nil), turn: mat.NewDense(5, 3, nil),
	}
}

// add takes in a voxel that was weighed as sets does.
func (g *grip) add(s *spot, c shape.Cylinder, reach float64) {
	row := c.Gradient(s.Moments, reach)
	j := mat.NewVecDense(5, row[:])
	n := r3.Unit(c.Radial(s.Mean))
	arm := r3.Cross(r3.Sub(s.Mean, s.eye), n)
	w := s.N / s.variance()
	g.weight += w
	g.points += s.N
	g.eye = r3.Add(g.eye, r3.Scale(s.N, s.eye))
	g.info.SymRankOne(g.info, w, j)
	g.noisy.SymRankOne(g.noisy, w/s.variance()*s.noiseAcross(n), j)
	g.shift.RankOne(g.shift, w, j, mat.NewVecDense(3, []float64{n.X, n.Y, n.Z}))
	g.turn.RankOne(g.turn, w, j, mat.NewVecDense(3, []float64{arm.X, arm.Y, arm.Z}))
}

// gripsOf are the grips of the sweeps that saw the members.
func (f *field) gripsOf(c *column, reach float64) []*grip {
	at := map[int32]*grip{}
	var out []*grip
	for _, m := range c.members {
		s := &f.spots[m]
		g := at[s.scan]
		if g == nil {
			g = newGrip(s.scan)
			at[s.scan] = g
			out = append(out, g)
		}
		g.add(s, c.Cylinder, reach)
	}
	return out
}

// roundBudget takes what noise and sweeps do to the points through the fit (JCGM
// 100:2008, 5.2.2): fit is the inverse of the sum of all info, its turns times
// reach. A sweep that is off as a rigid body carries its part of the arc along;
// where sweeps saw different parts, that pulls at the radius too. What all sweeps
// have in common carries all parts along at once.
func roundBudget(grips []*grip, fit *mat.SymDense, reach, design float64, s sway, mount []mapping.Rigid) RoundBudget {
	noise, sweep := mat.NewDense(5, 5, nil), mat.NewDense(5, 5, nil)
	armShift, armTurn := mat.NewDense(5, 3, nil), mat.NewDense(5, 3, nil)
	mountShift, mountTurn := mat.NewDense(5, 3, nil), mat.NewDense(5, 3, nil)
	for _, g := range grips {
		over := 1 / reach2(r3.Scale(1/g.points, g.eye))
		addScaled(noise, design, g.noisy)
		addSquare(sweep, s.shift, g.shift)
		addSquare(sweep, s.turn*over, g.turn)
		addScaled(sweep, s.wave*g.weight, g.info)
		addScaled(armShift, 1, g.shift)
		addScaled(armTurn, over, g.turn)
		if k := int(g.scan); k < len(mount) {
			addScaled(mountShift, mount[k].Shift, g.shift)
			addScaled(mountTurn, mount[k].Turn, g.turn)
		}
	}
	arm, held := mat.NewDense(5, 5, nil), mat.NewDense(5, 5, nil)
	addSquare(arm, s.armShift, armShift)
	addSquare(arm, s.armTurn, armTurn)
	addSquare(held, 1, mountShift)
	addSquare(held, 1, mountTurn)
	return RoundBudget{
		Noise: throughFit(noise, fit, reach), Sweep: throughFit(sweep, fit, reach),
		Arm: throughFit(arm, fit, reach), Mount: throughFit(held, fit, reach),
	}
}

func addScaled(sum *mat.Dense, by float64, m mat.Matrix) {
	var d mat.Dense
	d.Scale(by, m)
	sum.Add(sum, &d)
}

// addSquare adds by times m m^T.
func addSquare(sum *mat.Dense, by float64, m *mat.Dense) {
	var d mat.Dense
	d.Mul(m, m.T())
	addScaled(sum, by, &d)
}

// throughFit is the covariance of the cylinder where the pull on it has that of c.
func throughFit(c *mat.Dense, fit *mat.SymDense, reach float64) (out Cov5) {
	var a, b mat.Dense
	a.Mul(fit, c)
	b.Mul(&a, fit)
	unit := [5]float64{1, 1, 1 / reach, 1 / reach, 1}
	for i := range out {
		for j := range out[i] {
			out[i][j] = unit[i] * unit[j] * b.At(i, j)
		}
	}
	return out
}

// tangent is the budget of the plane that touches the cylinder at the frame's
// origin.
func (c *column) tangent(frame geom.Pose, b RoundBudget) Budget {
	j := c.touch(frame)
	through := func(c Cov5) (out Cov3) {
		for r := range out {
			for s := range out[r] {
				for i := range c {
					for k := range c[i] {
						out[r][s] += j[r][i] * c[i][k] * j[s][k]
					}
				}
			}
		}
		return out
	}
	return Budget{Noise: through(b.Noise), Sweep: through(b.Sweep), Arm: through(b.Arm), Mount: through(b.Mount)}
}

// touch says how that plane moves with the cylinder's parameters, as Cov5 has
// them: rows offset, turn about U and turn about V of its frame.
func (c *column) touch(frame geom.Pose) (j [3][5]float64) {
	fit := geom.Plane{Normal: c.Axis}.Frame(c.Point).R
	n := frame.R.Axis(2)
	side := r3.Cross(c.Axis, n)
	up := r3.Dot(r3.Sub(frame.T, c.Point), c.Axis)
	for k, e := range [2]r3.Vec{fit.Axis(0), fit.Axis(1)} {
		// Moving the axis by dn and ds moves the plane by dn and turns it about the
		// axis by -ds/radius; tilting it by dn turns the plane about side, and both
		// moves it further up.
		dn, ds := r3.Dot(e, n), r3.Dot(e, side)
		j[0][k], j[0][k+2] = dn, up*dn
		for row, w := range [2]r3.Vec{frame.R.Axis(0), frame.R.Axis(1)} {
			about := -ds / c.Radius * r3.Dot(c.Axis, w)
			j[row+1][k], j[row+1][k+2] = about, dn*r3.Dot(side, w)+up*about
		}
	}
	j[0][4] = 1
	return j
}
