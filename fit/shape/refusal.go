package shape

import (
	"fmt"
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// What a pose must be known to, to be reported at all: beyond, it would be a
// guess.
const (
	worstShift = 1.5                 // mm, one sigma, along any direction
	worstTurn  = 0.5 * math.Pi / 180 // rad, one sigma, about any axis
	// featureless: a motion that moves the surface out of itself by less than this
	// share of how far it goes, root mean square, leaves the model as it is: a
	// round bar in sixty facets comes to half of it, a key on a thousandth of the
	// surface to as much.
	featureless = 0.03
)

// undetermined names the motion that takes the model's whole surface into itself;
// it is empty where there is none.
func (m *Model) undetermined() string {
	info := newNormal()
	scale := m.reach()
	for _, s := range m.samples {
		p := point{at: s.at, normal: s.normal}
		row := p.row(m.middle)
		for k := 3; k < 6; k++ {
			row[k] /= scale
		}
		info.take(row, 0, 1/float64(len(m.samples)))
	}
	value, v := weakest(info.info)
	if value > featureless*featureless {
		return ""
	}
	for k := 3; k < 6; k++ {
		v[k] /= scale
	}
	return motion(v, geom.IdentityRot(), scale)
}

// weakest is the least eigenvalue of the matrix and its vector.
func weakest(a *mat.SymDense) (float64, [6]float64) {
	var e mat.EigenSym
	if !e.Factorize(a, true) {
		return 0, [6]float64{}
	}
	var vectors mat.Dense
	e.VectorsTo(&vectors)
	var v [6]float64
	for k := range v {
		v[k] = vectors.At(k, 0)
	}
	return e.Values(nil)[0], v
}

// motion says in words what a small displacement of the model's middle and turn
// about it is, in the model's axes: the part that moves the surface further.
func motion(v [6]float64, modelFromBase geom.Rot, reach float64) string {
	t := modelFromBase.Apply(r3.Vec{X: v[0], Y: v[1], Z: v[2]})
	w := modelFromBase.Apply(r3.Vec{X: v[3], Y: v[4], Z: v[5]})
	if r3.Norm(w)*reach > r3.Norm(t) {
		return "its turn about " + direction(w)
	}
	return "its place along " + direction(t)
}

// direction names an axis of the model.
func direction(d r3.Vec) string {
	d = r3.Unit(d)
	for k, name := range [3]string{"its X", "its Y", "its Z"} {
		if math.Abs(vec(d)[k]) > 0.99 {
			return name
		}
	}
	return fmt.Sprintf("(%.2f, %.2f, %.2f) of its own axes", d.X, d.Y, d.Z)
}

func (f *fit) where() string {
	c := f.centre()
	return fmt.Sprintf("(%.0f, %.0f, %.0f)", c.X, c.Y, c.Z)
}

// stands refuses what is not of the model's shape, or of which too little was
// seen to say so.
func (f *fit) stands() *Refused {
	on := f.on()
	against := float64(f.against) / float64(max(f.against+on, 1))
	switch {
	case on < leastOn || f.seen() < leastSeen:
		return &Refused{
			Reason:   fmt.Sprintf("what fits best, at %s, shows only %.0f %% of its surface: too little to know it by", f.where(), 100*f.seen()),
			ScanNext: lookCloser, Candidates: 1,
		}
	case against > mostAgainst:
		return &Refused{
			Reason:   fmt.Sprintf("nothing of its shape was found: through what fits best, at %s, went %.0f %% of the rays there", f.where(), 100*against),
			ScanNext: lookCloser, Candidates: 1,
		}
	case float64(on) < leastFits*float64(f.near):
		return &Refused{
			Reason:   fmt.Sprintf("nothing of its shape was found: what comes nearest, at %s, lies on it with %.0f %% of its surface only", f.where(), 100*float64(on)/float64(f.near)),
			ScanNext: "nothing: check that the model is the object's, in mm", Candidates: 1,
		}
	}
	return nil
}

// elsewhere tells whether r is another object of the shape: it stands in another
// place, and mostly on what f does not explain.
func (r *fit) elsewhere(f *fit) bool {
	if r3.Norm(r3.Sub(r.centre(), f.centre())) < f.view.model.reach() || r.stands() != nil {
		return false
	}
	own := 0
	for i := range r.explained {
		if r.explained[i] && !f.explained[i] {
			own++
		}
	}
	return 2*own > r.on() && 2*own > f.on()
}

// meant tells whether the hint plainly means f and not r.
func (f *fit) meant(r *fit, hint *r3.Vec) bool {
	return hint != nil && 2*r3.Norm(r3.Sub(f.centre(), *hint)) < r3.Norm(r3.Sub(r.centre(), *hint))
}

// alone refuses a pose where another one fits about as well, or where another
// object is of the shape too, and says how the two differ.
func (f *fit) alone(fits []*fit, hint *r3.Vec) *Refused {
	f.judge()
	for _, r := range fits {
		switch {
		case f.view.model.apart(f.pose, r.pose) < tellApart*f.view.model.size:
		case r.elsewhere(f):
			if !f.meant(r, hint) {
				return &Refused{
					Reason:     fmt.Sprintf("two places fit it alike, at %s and at %s", f.where(), r.where()),
					ScanNext:   "nothing: give near_mm, a point near the one that is meant",
					Candidates: 2,
				}
			}
		case r3.Norm(r3.Sub(r.centre(), f.centre())) > f.view.model.reach():
		case f.score-r.score < leastTelling || f.score-r.score < telling*f.score:
			turn := f.pose.R.T().Mul(r.pose.R).Log()
			return &Refused{
				Reason:     fmt.Sprintf("at %s two poses fit it alike: one turned against the other by %.0f deg about %s", f.where(), r3.Norm(turn)*180/math.Pi, direction(turn)),
				ScanNext:   "the side of it by which the two can be told apart; where it has none, no scan tells",
				Candidates: 2,
			}
		}
	}
	return nil
}

// suffices refuses a pose of which a motion is not determined by what was seen.
func (f *fit) suffices() *Refused {
	if f.failed {
		return &Refused{Reason: "what was seen of it, at " + f.where() + ", does not determine its pose", ScanNext: lookCloser, Candidates: 1}
	}
	scale := worstShift / worstTurn
	a := mat.NewSymDense(6, nil)
	for i := range 6 {
		for j := i; j < 6; j++ {
			x := -f.cov[i][j] // the weakest of the negative is the largest
			if i > 2 {
				x *= scale
			}
			if j > 2 {
				x *= scale
			}
			a.SetSym(i, j, x)
		}
	}
	value, v := weakest(a)
	sigma := math.Sqrt(-value)
	if sigma <= worstShift {
		return nil
	}
	for k := 3; k < 6; k++ {
		v[k] /= scale
	}
	return &Refused{
		Reason:     fmt.Sprintf("it is at %s, but %s is not determined by what was seen (sigma %.1f mm, or %.1f deg)", f.where(), motion(v, f.pose.R.T(), scale), sigma, sigma/scale*180/math.Pi),
		ScanNext:   "the sides of it that were not seen, from 30 to 60 degrees off square",
		Candidates: 1,
	}
}
