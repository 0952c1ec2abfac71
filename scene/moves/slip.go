package moves

import (
	"math"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Slip is how an object moved against the machine that it stands in.
type Slip struct {
	Name, Home string
	Open       []rigid.Direction // what is not told of either: the rest is of the directions that are
	Shift      r3.Vec            // of the datum's origin, along the datum's axes, mm
	Turn       r3.Vec            // rotation vector about the datum's axes, rad
	Cov        geom.Cov6         // of both, in the datum's axes
	Test       rigid.Test
	Level      rigid.Test // of what a vise does that slips on its table: along X and Y, and about Z
	Axes       geom.Rot   // baseOldFromDatum
	Slipped    bool       // by either, beyond chance at the comparison's level
	openLevel  int        // how many of the three are open
}

// Worst are the standard uncertainties of what is told of it in their worst directions,
// mm and rad.
func (s *Slip) Worst() (shift, turn float64) { return worst(s.Cov, 0), worst(s.Cov, 3) }

// AtMost bounds what is told of the slip as Move.AtMost does, mm and rad.
func (s *Slip) AtMost() (shift, turn float64) {
	return r3.Norm(s.Shift) + Coverage*worst(s.Cov, 0), r3.Norm(s.Turn) + Coverage*worst(s.Cov, 3)
}

// slips tells of each vise whether it went with its machine. Both moves count as
// independent, though they share sweeps: that overstates the uncertainty of the
// difference, never understates it.
func (c *Comparison) slips() {
	for i := range c.Moves {
		m := &c.Moves[i]
		if home, ok := c.Move(m.Inside); m.Kind == fit.Vise && ok {
			c.Slips = append(c.Slips, slipOf(m, home, c.Level))
		}
	}
}

// company tells of what stands in a machine that moved, or on its skin, whether it went
// along, as far as it is told: its own move is not told apart from the machine's.
func (c *Comparison) company() {
	for i := range c.Moves {
		m := &c.Moves[i]
		in := m.Inside
		if on, ok := c.riders[m.Name]; ok {
			in = on
		}
		home, ok := c.Move(in)
		if !ok || !home.Moved || len(home.Loose) > 0 {
			continue
		}
		lever := max(leastLever, r3.Norm(m.box.Size)/2)
		rel := home.Inverse().After(m.Motion).Seen(m.Datum.T).Told(lever)
		t, w := rel.Shift(rel.Pose.Inverse().Apply(rel.About)), rel.Pose.R.Log()
		if !rigid.Against([6]float64{t.X, t.Y, t.Z, w.X, w.Y, w.Z}, rel.Cov, lever).Beyond(c.Level) {
			m.With = home.Name
		}
	}
}

func slipOf(m, home *Move, level float64) Slip {
	rel := home.Inverse().After(m.Motion)
	s := Slip{Name: m.Name, Home: home.Name, Open: rel.Loose, Axes: m.Datum.R}
	lever := max(leastLever, r3.Norm(m.box.Size)/2)
	s.openLevel = levelOf(s.Open, m.Datum, lever)
	rel = rel.Seen(m.Datum.T).Told(lever)
	axes := m.Datum.R.T()
	s.Shift, s.Turn = axes.Apply(rel.Shift(m.Datum.T)), axes.Apply(rel.Pose.R.Log())
	s.Cov = rel.At(rel.Pose.Apply(m.Datum.T)).Turned(axes)
	d := [6]float64{s.Shift.X, s.Shift.Y, s.Shift.Z, s.Turn.X, s.Turn.Y, s.Turn.Z}
	s.Test, s.Level = rigid.Against(d, s.Cov, leastLever), rigid.Against(d, level3(s.Cov), leastLever)
	s.Test.Known, s.Level.Known = m.sway.known(), m.sway.known()
	each := 1 - (1-level)/2 // of two tests that may both err (Bonferroni)
	s.Slipped = s.Test.Beyond(each) || s.Level.Beyond(each)
	return s
}

// Whole tells whether nothing is open of what a vise does that slips; its rise may be.
func (s *Slip) Whole() bool { return s.openLevel == 0 }

// Untold tells whether all of it is open.
func (s *Slip) Untold() bool { return s.openLevel == 3 }

// levelOf is how many of the shifts along X and Y of the frame and the turn about its Z
// the open directions take away, each by more than a tenth of itself.
func levelOf(open []rigid.Direction, frame geom.Pose, lever float64) int {
	if len(open) == 0 {
		return 0
	}
	axes := frame.R.T()
	m := mat.NewDense(3, len(open), nil)
	for k, d := range open {
		t := axes.Apply(r3.Add(d.Slide, r3.Cross(d.Turn, r3.Sub(frame.T, d.Through))))
		w := r3.Scale(lever, axes.Apply(d.Turn))
		n := math.Hypot(r3.Norm(t), r3.Norm(w))
		m.SetCol(k, []float64{t.X / n, t.Y / n, w.Z / n})
	}
	var svd mat.SVD
	svd.Factorize(m, mat.SVDNone)
	out := 0
	for _, v := range svd.Values(nil) {
		if v > 0.1 {
			out++
		}
	}
	return out
}

// level3 is the covariance of the shifts along X and Y and the turn about Z alone.
func level3(c geom.Cov6) (out geom.Cov6) {
	for _, i := range [3]int{0, 1, 5} {
		for _, k := range [3]int{0, 1, 5} {
			out[i][k] = c[i][k]
		}
	}
	return out
}
