package rigid

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

// Motion is a rigid motion with what is known of it: toFromOld in base axes.
type Motion struct {
	Pose  geom.Pose   // maps a point's old place to its new one
	About r3.Vec      // where Cov holds, in the new place, mm
	Cov   geom.Cov6   // of the displacement there and of the turn; nothing along what is Loose
	Loose []Direction // what no length holds: Pose does not move along these
}

// Still is no motion, perfectly known.
func Still() Motion { return Motion{Pose: geom.Identity()} }

// At is the covariance for another point, given at its new place.
func (m Motion) At(p r3.Vec) geom.Cov6 { return m.Cov.At(r3.Sub(p, m.About)) }

// Seen is the motion with its covariance given where it takes the point at old.
func (m Motion) Seen(old r3.Vec) Motion {
	at := m.Pose.Apply(old)
	m.Cov, m.About = m.At(at), at
	return m
}

// OfBase is the covariance of Pose as it stands: of the displacement of the old
// base's origin and of the turn, as Pose.Perturb has it.
func (m Motion) OfBase() geom.Cov6 { return m.At(m.Pose.T) }

// Shift is how far the point at old has gone, mm.
func (m Motion) Shift(old r3.Vec) r3.Vec { return r3.Sub(m.Pose.Apply(old), old) }

// Holds tells whether nothing loose moves the point, given at its new place, by
// more than slack mm when it turns or slides by its unit (1 mm, 1 rad).
func (m Motion) Holds(p r3.Vec, slack float64) bool {
	for _, d := range m.Loose {
		if r3.Norm(d.at(p)) > slack {
			return false
		}
	}
	return true
}

// After is the motion m of what the motion a moves first: both covariances at
// m's new place, independent.
func (m Motion) After(a Motion) Motion {
	out := Motion{Pose: m.Pose.Mul(a.Pose), About: m.About}
	first := a.At(m.Pose.Inverse().Apply(m.About))
	out.Cov = m.Cov.Plus(first.Turned(m.Pose.R))
	out.Loose = append(out.Loose, m.Loose...)
	for _, d := range a.Loose {
		out.Loose = append(out.Loose, d.through(m.Pose))
	}
	return out
}

// Inverse is the motion back, known as well.
func (m Motion) Inverse() Motion {
	back := m.Pose.Inverse()
	out := Motion{Pose: back, About: back.Apply(m.About), Cov: m.Cov.Turned(back.R)}
	for _, d := range m.Loose {
		out.Loose = append(out.Loose, d.through(back))
	}
	return out
}

// Test is a chi-square test of a motion, or of a set of residuals. Known is how
// many degrees of freedom the variances themselves were told from; 0 where they
// are as good as known.
type Test struct {
	ChiSquare float64
	Freedom   int
	Known     float64
}

// P is the chance of a greater chi-square where nothing but the stated
// uncertainty is at work; 1 where there is no freedom. Over variances that were
// estimated, chi-square over its freedom follows Fisher's F (JCGM 100:2008, G.3,
// has the same of Student's t).
func (t Test) P() float64 {
	n := float64(t.Freedom)
	switch {
	case t.Freedom == 0:
		return 1
	case t.Known > 0:
		return distuv.F{D1: n, D2: t.Known}.Survival(t.ChiSquare / n)
	}
	return distuv.ChiSquared{K: n}.Survival(t.ChiSquare)
}

// Beyond tells whether the chi-square is greater than chance gives at the level,
// such as 0.99.
func (t Test) Beyond(level float64) bool { return t.P() < 1-level }

// Against tests a six-vector, such as a Pose.Minus, against its covariance, in
// the directions that this has any extent in.
func Against(d [6]float64, cov geom.Cov6, lever float64) Test {
	scaled := mat.NewSymDense(6, nil)
	x := mat.NewVecDense(6, nil)
	for i := range 6 {
		x.SetVec(i, d[i]*unit(i, lever))
		for j := range i + 1 {
			scaled.SetSym(i, j, (cov[i][j]+cov[j][i])/2*unit(i, lever)*unit(j, lever))
		}
	}
	var e mat.EigenSym
	var t Test
	if !e.Factorize(scaled, true) {
		return t
	}
	var axes mat.Dense
	e.VectorsTo(&axes)
	values := e.Values(nil)
	for k, v := range values {
		if v <= flat*values[5] {
			continue
		}
		along := mat.Dot(axes.ColView(k), x)
		t.ChiSquare += along * along / v
		t.Freedom++
	}
	return t
}

// flat is the share of the largest variance below which a direction has none:
// rounding of the ninth figure leaves about that.
const flat = 1e-8

// unit is what a component of a six-vector is multiplied by to be a length.
func unit(i int, lever float64) float64 {
	if i < 3 {
		return 1
	}
	return lever
}
