package moves

import (
	"errors"
	"math"
	"slices"

	"cellwall/mapping/geom"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

// fitted is a motion with the faces that it rests on.
type fitted struct {
	guess  geom.Pose
	motion geom.Pose
	pairs  []pair
	unlike []pair // paired, but they do not follow the motion of the others
	system *rigid.System
	sway   sway
	*rigid.Solution
}

// rounds is how often a slack is solved again: the faces' turns are small after
// the first, and every further round squares what is left.
const rounds = 4

// settled ends the rounds: a step that moves no part of the body by more, mm.
const settled = 1e-6

// refine goes from a guess to the motion that lays the old faces on the new ones;
// nil where no face is shared.
func refine(old, new []patch, guess geom.Pose) *fitted {
	f := &fitted{guess: guess, motion: guess}
	for _, s := range slacks {
		f.pairs = pairs(old, new, f.motion, s)
		if len(f.pairs) == 0 || f.iterate() != nil {
			return nil
		}
	}
	return f
}

// iterate solves the motion for the pairs at hand (Gauss-Newton).
func (f *fitted) iterate() error {
	if len(f.pairs) == 0 {
		return errors.New("the new map shows none of its own faces where they can be told from others")
	}
	f.lay()
	for range rounds {
		f.system, f.sway = system(f.pairs)
		var err error
		if f.Solution, err = f.system.Solve(); err != nil {
			return err
		}
		f.step()
		if f.stride() < settled {
			break
		}
	}
	return nil
}

// step moves everything by the solution's step about the system's centre.
func (f *fitted) step() {
	t, w := split(f.Step)
	f.motion = rigid.About(f.system.Centre, t, w).Mul(f.motion)
	f.lay()
}

// lay lays the old faces where the motion takes them.
func (f *fitted) lay() {
	for i := range f.pairs {
		f.pairs[i].at = f.pairs[i].old.moved(f.motion)
	}
}

// stride is how far the last step moved the body.
func (f *fitted) stride() float64 {
	t, w := split(f.Step)
	return r3.Norm(t) + f.system.Lever*r3.Norm(w)
}

func split(d [6]float64) (t, w r3.Vec) {
	return r3.Vec{X: d[0], Y: d[1], Z: d[2]}, r3.Vec{X: d[3], Y: d[4], Z: d[5]}
}

const (
	// alone is the chance at which one of all faces of an object that does follow
	// it is taken for one that does not.
	alone = 0.001
	// form is what faces of one sheet stand off each other by, one sigma, where two
	// maps saw different parts of it, mm (common practice: some tenths).
	form = 0.2
)

// vote leaves out face by face what does not follow the rest.
func (f *fitted) vote() error {
	for {
		if err := f.iterate(); err != nil {
			return err
		}
		w := f.worst(3 * form)
		if w < 0 {
			return nil
		}
		f.unlike = append(f.unlike, f.pairs[w])
		f.pairs = slices.Delete(slices.Clone(f.pairs), w, w+1)
	}
}

// worst is the pair that least follows the rest beyond what chance explains, and
// lies off by more than slack, mm; -1 for none.
func (f *fitted) worst(slack float64) int {
	worst, p := -1, alone/float64(len(f.pairs))
	if len(f.pairs) <= 3 {
		return worst
	}
	for i, g := range f.Groups {
		if g.P() < p && f.off(i) > slack {
			worst, p = i, g.P()
		}
	}
	return worst
}

// confirm leaves out the faces that lie further from where the guess had them than
// the last slack and that no other face which looks the same way, or back, bears out:
// of an object that the new map does not know, one face alone, millimetres off, may be
// another one beside it. It is false where none is left.
func (f *fitted) confirm() bool {
	far := func(p *pair) bool {
		at := p.old.moved(f.guess)
		return math.Abs(at.plane.Distance(p.new.centre)) > slacks[len(slacks)-1].offset
	}
	var kept []pair
	for i := range f.pairs {
		n := f.pairs[i].new.plane.Normal
		borne := false
		for k := range f.pairs {
			borne = borne || k != i && math.Abs(r3.Dot(n, f.pairs[k].new.plane.Normal)) > math.Cos(30*degree)
		}
		if borne || !far(&f.pairs[i]) {
			kept = append(kept, f.pairs[i])
		}
	}
	if len(kept) < len(f.pairs) {
		f.pairs = kept
		return f.iterate() == nil
	}
	return true
}

// off is how far pair i lies off, at its worst place, mm.
func (f *fitted) off(i int) float64 {
	r := f.Residuals[3*i : 3*i+3]
	half := math.Sqrt(f.pairs[i].new.area) / 2
	return math.Abs(r[0]) + half*math.Hypot(r[1], r[2])/f.system.Lever
}

// inflation is the factor on the covariance where the faces differ more than
// chance gives in 99 of 100 objects (Birge, Phys. Rev. 40 (1932) 207).
func (f *fitted) inflation() float64 {
	if !f.Misfit.Beyond(0.99) {
		return 1
	}
	return f.Misfit.ChiSquare / float64(f.Misfit.Freedom)
}
