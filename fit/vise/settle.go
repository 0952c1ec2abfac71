package vise

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

const (
	// sizeTolerance is one sigma of a size that was given, mm: jaws are ground to
	// a tenth or two of their nominal size (common practice).
	sizeTolerance = 0.15
	// sizeMismatch, mm: a size further from the given one than this is another
	// jaw's; the next size of the trade is 25 mm away.
	sizeMismatch = 3.0
	// The moving jaw lifts and shifts (common practice): by hundredths when well
	// kept, by a millimetre when not. Which of the two a vise is, the data say; half
	// of all are taken to be well kept.
	usualPlay   = 0.02
	greatPlay   = 1.0
	unknownSize = 100.0 // mm, one sigma: flat beside what any scan knows
	significant = 4.0   // sigmas, from which on a given size is another's
)

// settle fits the guess and lets it stand or says why not.
func settle(v *view, g guess, want Want) (*Located, *refusal) {
	j := g.jaws
	j.height = want.Height
	if want.Height == 0 {
		j.height = tradeHeight[0]
	}
	told := told{sure: true, by: "hint"}
	switch want.hinted(j.pose.R.Axis(1), v.place.viewer(j.pose.T)) {
	case -1:
		j = j.swapped()
	case 0:
		if want.Fixed == "" {
			told = v.tell(&j)
		} else {
			told.sure = false
		}
		if told.other {
			j = j.swapped()
		}
	}
	f := v.begin(&j)
	f.roughly()
	if r := f.isVise(want); r != nil {
		return nil, r
	}
	if w := f.witnesses(); !told.sure && blind(&w) {
		return nil, f.missing(fixedFace, &w) // it would be, whichever of the two it is
	}
	if want.Height == 0 {
		f.height = f.reach()
	}
	f.expect = f.closely(want)
	f.finely()
	if !told.sure {
		return nil, undecided(f, want)
	}
	if r := f.agrees(want); r != nil {
		return nil, r
	}
	if r := f.suffices(); r != nil {
		return nil, r
	}
	return f.report(told.by, want), nil
}

// loosely is what is expected of the sizes while it is still open whether this
// is the vise that is wanted: next to nothing, about where the guess has them.
func (j *jaws) loosely() (e [numSizes]Measure) {
	for k, size := range j.size {
		e[k] = Measure{size, unknownSize}
	}
	e[sideways], e[lift] = Measure{0, greatPlay}, Measure{0, greatPlay}
	return e
}

// closely is what is expected of them once it is the wanted vise.
func (f *fit) closely(w Want) [numSizes]Measure {
	e := f.loosely()
	for _, given := range []struct {
		size  int
		value float64
	}{{width, w.Width}, {depthFixed, w.Depth}, {depthMoving, w.Depth}} {
		if given.value > 0 {
			e[given.size] = Measure{given.value, sizeTolerance}
		}
	}
	for _, k := range []int{sideways, lift} {
		e[k].Sigma = play(f.size[k], f.sigma(atSizes+k))
	}
	return e
}

// play is one sigma of what a moving jaw is expected to lift or shift by, where it
// was found to by size with the standard uncertainty sigma when greatPlay was
// expected: both kinds of vise, weighed by how likely the data are of each. Where
// the data say nothing, neither does it: to take such a vise for a well kept one
// would put the fixed jaw wherever the moving jaw stands.
func play(size, sigma float64) float64 {
	left := 1/(sigma*sigma) - 1/(greatPlay*greatPlay) // weight of the data alone
	if !(left > 0) {
		return math.Sqrt((usualPlay*usualPlay + greatPlay*greatPlay) / 2)
	}
	v := 1 / left
	x := size * v / (sigma * sigma)
	of := func(play float64) float64 { return distuv.Normal{Sigma: math.Sqrt(v + play*play)}.LogProb(x) }
	great := 1 / (1 + math.Exp(of(usualPlay)-of(greatPlay)))
	return math.Sqrt(great*greatPlay*greatPlay + (1-great)*usualPlay*usualPlay)
}

// sigma of an unknown.
func (f *fit) sigma(k int) float64 { return math.Sqrt(f.mixture.cov.At(k, k)) }

// undecided refuses a vise whose fixed jaw is not told from the moving one. Jaws
// that face across the direction given are more likely not the ones meant, so
// that any other reason is better worth telling; what ends nowhere may be no vise.
func undecided(f *fit, want Want) *refusal {
	if r := f.known(); r != nil && r.stage == stageBlind {
		return r
	}
	next := "nothing: say on which side the fixed jaw stands (near, far, left or right)"
	r := refuse(stageMirror, next, "two jaws are at %s, but nothing tells which is the fixed one", f.where())
	if want.Fixed != "" {
		r = refuse(stageAcross, next, "two jaws are at %s, but one is not %s of the other, so that %q does not tell which is the fixed one",
			f.where(), sense[want.Fixed], want.Fixed)
	}
	if w := f.witnesses(); w[fixedFace].cells < leastPatch || w[movingFace].cells < leastPatch {
		r.Reason += ", and the face of one alone was scanned: unless that is the fixed one, the fixed jaw face is missing"
	}
	r.Candidates = 2
	return r
}

// sense is how one jaw lies to the other in the words of a hint.
var sense = map[string]string{"near": "on the near side", "far": "on the far side", "left": "to the left", "right": "to the right"}

// where the jaws are, for messages.
func (j *jaws) where() string {
	m := j.middle()
	return fmt.Sprintf("(%.0f, %.0f, %.0f)", m.X, m.Y, m.Z)
}
