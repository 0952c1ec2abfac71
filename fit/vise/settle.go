package vise

import (
	"fmt"
	"math"
)

const (
	// sizeTolerance is one sigma of a size that was given: jaws are quoted to the
	// millimetre and ground to some tenths less (common practice).
	sizeTolerance = 0.4
	// sizeMismatch, mm: a size further from the given one than this is another
	// jaw's; the next size of the trade is 25 mm away.
	sizeMismatch = 3.0
	// The moving jaw lifts and shifts (common practice), by hundredths when well
	// kept. More is fitted only where the data show it.
	usualPlay   = 0.02
	greatPlay   = 0.8
	significant = 4.0   // sigmas
	unknownSize = 100.0 // mm, one sigma: flat beside what any scan knows
)

// settle fits the guess and lets it stand or says why not.
func settle(v *view, g guess, want Want) (*Located, *refusal) {
	j := g.jaws
	high := v.height(&j, want)
	j.height = high.Value
	told := told{sure: true, by: "hint"}
	switch want.hinted(j.pose.R.Axis(1), v.place.Frame) {
	case -1:
		j = j.swapped()
	case 0:
		told = v.tell(&j, want)
		if told.other {
			j = j.swapped()
		}
	}
	f := v.begin(&j, want.loosely())
	f.high = high
	f.run()
	if r := f.isVise(want); r != nil {
		return nil, r
	}
	if !told.sure {
		return nil, undecided(f, want)
	}
	f.expect = f.closely(want)
	f.run()
	if r := f.suffices(); r != nil {
		return nil, r
	}
	return f.report(told.by), nil
}

// loosely is what is expected of the sizes while it is still open whether this
// is the vise that is wanted.
func (w Want) loosely() [numSizes]Measure {
	e := [numSizes]Measure{sideways: {0, greatPlay}, lift: {0, greatPlay}}
	e[opening] = Measure{0, 100 * unknownSize}
	e[width] = expected(w.Width, unknownSize)
	e[depthFixed], e[depthMoving] = expected(w.Depth, unknownSize), expected(w.Depth, unknownSize)
	return e
}

// closely is what is expected of them once it is the wanted vise.
func (f *fit) closely(w Want) [numSizes]Measure {
	e := w.loosely()
	e[width] = expected(w.Width, sizeTolerance)
	e[depthFixed], e[depthMoving] = expected(w.Depth, sizeTolerance), expected(w.Depth, sizeTolerance)
	for _, k := range []int{sideways, lift} {
		if math.Abs(f.size[k]) < significant*f.sigma(atSizes+k) {
			e[k].Sigma = usualPlay
		}
	}
	return e
}

func expected(size, tolerance float64) Measure {
	if size == 0 {
		return Measure{(tradeWidth[0] + tradeWidth[1]) / 2, unknownSize}
	}
	return Measure{size, tolerance}
}

// sigma of an unknown.
func (f *fit) sigma(k int) float64 { return math.Sqrt(f.mixture.cov.At(k, k)) }

// told is which jaw is the fixed one, and how it was told.
type told struct {
	sure  bool
	other bool // the guess has them exchanged
	by    string
}

// undecided refuses a vise whose fixed jaw is not told from the moving one.
func undecided(f *fit, want Want) *refusal {
	r := &refusal{stage: stageMirror}
	r.Candidates = 2
	r.ScanNext = "nothing: say on which side the fixed jaw stands (near, far, left or right)"
	if want.Fixed == "" {
		r.Reason = "two jaws are there, but nothing tells which is the fixed one"
	} else {
		r.Reason = fmt.Sprintf("two jaws are there, but they face across the direction %q, which does not tell which is the fixed one", want.Fixed)
	}
	return r
}

// tell looks for evidence which jaw is the fixed one.
func (v *view) tell(*jaws, Want) told { return told{} }

// where the jaws are, for messages.
func (j *jaws) where() string {
	m := j.middle()
	return fmt.Sprintf("(%.0f, %.0f, %.0f)", m.X, m.Y, m.Z)
}
