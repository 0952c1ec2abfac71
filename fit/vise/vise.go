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
	"fmt"
	"sort"

	"cellwall/fit/surface"
	"cellwall/mapping"
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
// came nearest.
func Locate(c *mapping.Cloud, want Want, place Place) ([]Located, *Refused) {
	if err := want.check(); err != nil {
		return nil, err
	}
	v := look(c, place)
	found, nearest := v.settleAll(detect(v, want), want)
	if len(found) == 0 && (want.Width > 0 || want.Depth > 0) {
		// Not for use, but to say which size is there instead.
		_, other := v.settleAll(detect(v, Want{}), want)
		nearest = other.further(nearest)
	}
	switch {
	case len(found) > 0:
		return found, nil
	case nearest == nil:
		return nil, nothingThere(v)
	}
	return nil, &nearest.Refused
}

// settleAll fits every guess. It returns those that stand, the best first, and
// of the others the one that came furthest.
func (v *view) settleAll(guesses []guess, want Want) (found []Located, nearest *refusal) {
	for _, g := range guesses {
		l, r := settle(v, g, want)
		switch {
		case r != nil:
			nearest = r.further(nearest)
		case !l.overlapsAny(found):
			found = append(found, *l)
		}
	}
	sort.SliceStable(found, func(a, b int) bool { return found[a].Score > found[b].Score })
	return found, nearest
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

// Pick chooses the wanted one of the vises found: the one nearest to want.Near
// where that is given, else the only one. Several without a hint are refused.
func Pick(found []Located, want Want) (*Located, *Refused) {
	switch {
	case len(found) == 0:
		return nil, &Refused{Reason: "no vise was found", ScanNext: lookCloser}
	case len(found) == 1:
		return &found[0], nil
	case want.Near == nil:
		return nil, &Refused{
			Reason:     fmt.Sprintf("%d vises fit what is wanted", len(found)),
			ScanNext:   "nothing: give near_mm, a point near the wanted one",
			Candidates: len(found),
		}
	}
	best := 0
	for i := range found {
		if r3.Norm(r3.Sub(found[i].Pose.T, *want.Near)) < r3.Norm(r3.Sub(found[best].Pose.T, *want.Near)) {
			best = i
		}
	}
	return &found[best], nil
}
