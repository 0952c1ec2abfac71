// Package vise locates a two-jaw machine vise: the jaw datum, the opening and
// how well both are known.
//
// A vise is two level tops of one height and one width, with a gap between
// them and upright faces at the gap. Locate looks for such pairs in a map of
// what is level (detect.go), fits the pose and the sizes of a two-jaw model to
// the raw points by maximum likelihood, sweep by sweep (fit.go), and lets
// stand only what the points and the rays bear out (evidence.go).
package vise

import (
	"math"
	"slices"
	"sort"

	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/cores"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Measure is a dimension with its standard uncertainty, mm.
type Measure struct{ Value, Sigma float64 }

// Located is a vise that was found. Pose is baseFromJaw, the jaw datum: origin
// at the middle of the fixed jaw's top inner edge, Y from the fixed jaw's face
// toward the moving jaw, Z out of the jaw tops, X along the edge.
type Located struct {
	Pose          geom.Pose
	Cov           geom.Cov6 // the whole budget
	Noise         geom.Cov6 // the part of Cov that is the sensor's noise; the rest is what differs from sweep to sweep, and the sizes
	Mount         geom.Cov6 // the part that is the scanner's mount
	Opening       Measure   // between the jaw faces along Y
	Width         Measure   // of the jaws along X
	Depth         Measure   // of the fixed jaw along Y
	Height        *Measure  // of the jaws: as given, or down to their lower edge; nil where that was not seen
	SweepSigma    float64   // how far a sweep is off as a whole, as the data and PoseSigma say, mm
	Score         float64   // 0 to 1: how much of the model's visible surface was seen where it should be
	FixedBy       string    // "hint" or "evidence": how the fixed jaw was told from the moving one
	Fixed, Moving geom.Box  // the jaws, from their tops down by their height, or as far as they were seen to reach
	Faces         []Face
}

// Face is one seen face of a jaw: fixed-jaw-face, fixed-jaw-top,
// moving-jaw-face, moving-jaw-top, and what else was seen of them.
type Face struct {
	Name string
	surface.Surface
}

// Refused says why no vise is reported and what to scan so that it can be.
type Refused struct {
	Reason, ScanNext string
	Candidates       int // places that fit about equally well
}

// Locate finds the vises in place that match want, the best first. Refused is
// nil exactly when one or more stand; otherwise it speaks of the place that
// came nearest. Where want has a hint and what is nearest to that does not stand,
// none does: the others are not meant.
func Locate(c *mapping.Cloud, want Want, place Place) ([]Located, *Refused) {
	if err := want.check(); err != nil {
		return nil, err
	}
	v := look(c, place)
	var found []Located
	var fallen []*refusal
	for w := v; w != nil; w = w.coarser() {
		stand, fall := w.settleAll(detect(w, want), want, found)
		found, fallen = append(found, stand...), append(fallen, fall...)
		if answered(found, want) {
			break
		}
	}
	nearest := meant(found, fallen, want.Near)
	if nearest == nil && len(found) > 0 {
		return found, nil
	}
	if nearest == nil && want.Near == nil {
		nearest = furthest(fallen)
	}
	if (want.Width > 0 || want.Depth > 0) && (nearest == nil || nearest.stage == stageShape) {
		// Not for use, but to say which size is there instead.
		loose := Want{Near: want.Near, Elsewhere: want.Elsewhere}
		_, others := v.settleAll(detect(v, loose), want, nil)
		if want.Near == nil {
			nearest = furthest(others).further(nearest)
		} else {
			nearest = meant(nil, others, want.Near)
		}
	}
	if nearest == nil {
		return nil, nothingThere(v, want)
	}
	return nil, &nearest.Refused
}

// answered tells whether one stands where it is wanted, so that there is no need to
// look for those that were scanned less.
func answered(found []Located, want Want) bool {
	return slices.ContainsFunc(found, func(l Located) bool { return want.Near == nil || l.holds(*want.Near) })
}

// settleAll fits every guess at a place where none stands yet. It returns those that
// stand, the best first, and why the others do not.
func (v *view) settleAll(guesses []guess, want Want, standing []Located) (found []Located, fallen []*refusal) {
	guesses = slices.DeleteFunc(guesses, func(g guess) bool {
		return slices.ContainsFunc(standing, func(l Located) bool { return l.holds(g.middle()) })
	})
	stand, fall := make([]*Located, len(guesses)), make([]*refusal, len(guesses))
	cores.Each(len(guesses), func(i int) { stand[i], fall[i] = settle(v, guesses[i], want) })
	for i, g := range guesses {
		switch l, r := stand[i], fall[i]; {
		case r != nil:
			r.jaws = g.jaws
			fallen = append(fallen, r)
		case !l.overlapsAny(found):
			found = append(found, *l)
		}
	}
	sort.SliceStable(found, func(a, b int) bool { return found[a].Score > found[b].Score })
	return found, fallen
}

// meant is why the place nearest to the hint does not stand; nil where one that
// stands is nearer, or where none is within reach of a hint.
func meant(found []Located, fallen []*refusal, hint *r3.Vec) *refusal {
	if hint == nil {
		return nil
	}
	least := hintReach
	for i := range found {
		least = min(least, r3.Norm(r3.Sub(found[i].Middle(), *hint)))
	}
	var nearest *refusal
	for _, blind := range [2]bool{false, true} { // where two jaws are known to be, what may be some beside them is not worth telling
		for _, r := range fallen {
			part := slices.ContainsFunc(found, func(l Located) bool { return r.region().Contains(l.Middle()) || l.holds(r.middle()) })
			if d := r3.Norm(r3.Sub(r.middle(), *hint)); r.stage > stageShape && (r.stage == stageBlind) == blind && !part && d < least {
				nearest, least = r, d
			}
		}
		if nearest != nil {
			break
		}
	}
	var there []*refusal // of the guesses at one place the one that came furthest
	for _, r := range fallen {
		if nearest != nil && r.region().Contains(nearest.middle()) {
			there = append(there, r)
		}
	}
	return furthest(there).further(nearest)
}

// Middle of the gap at the height of the tops, base, mm.
func (l *Located) Middle() r3.Vec { return l.Pose.Apply(r3.Vec{Y: l.Opening.Value / 2}) }

// holds tells whether the point lies in the vise or in its body below. That reaches
// past the jaws, by up to their width (common practice).
func (l *Located) holds(p r3.Vec) bool {
	q := r3.Sub(l.Pose.Inverse().Apply(p), r3.Vec{Y: l.Opening.Value / 2})
	long := l.Opening.Value/2 + l.Depth.Value
	if q.Z < -tradeHeight[0] {
		long += l.Width.Value
	}
	return math.Abs(q.X) < l.Width.Value/2 && math.Abs(q.Y) < long
}

// overlapsAny tells whether the vise shares space with one that was found.
func (l *Located) overlapsAny(found []Located) bool {
	mine := []geom.Box{l.Fixed, l.Moving}
	for _, f := range found {
		for _, a := range []geom.Box{f.Fixed, f.Moving} {
			for _, b := range mine {
				if a.Contains(b.Pose.T) || b.Contains(a.Pose.T) {
					return true
				}
			}
		}
	}
	return false
}
