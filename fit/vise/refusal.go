package vise

import "fmt"

// refusal is a Refused with how far the guess came: the farther, the more it is
// worth telling.
type refusal struct {
	Refused
	stage int
	jaws  // of the guess
}

// The stages of a guess.
const (
	stageShape  = iota // does not hold up as two jaws
	stageBlind         // may be one that is closed or holds a part: neither jaw's face is in sight
	stageSize          // is a vise, but not of the given size
	stageAcross        // is a vise, but does not lie as the hint says
	stageFace          // is a vise, but a face was not seen enough
	stageMirror        // is a vise, but which jaw is fixed is open
)

// further is the one of two that came further.
func (r *refusal) further(o *refusal) *refusal {
	if o == nil || r != nil && r.stage > o.stage {
		return r
	}
	return o
}

// furthest is the one of them that came furthest, the first of several.
func furthest(all []*refusal) (out *refusal) {
	for _, r := range all {
		out = r.further(out)
	}
	return out
}

func refuse(stage int, next, format string, args ...any) *refusal {
	return &refusal{Refused: Refused{Reason: fmt.Sprintf(format, args...), ScanNext: next, Candidates: 1}, stage: stage}
}

// nothingThere refuses a place in which no pair of jaws was found at all.
func nothingThere(v *view, want Want) *Refused {
	r := &Refused{Reason: "no two level tops of one height and width that face each other across a gap were found"}
	r.ScanNext = "a close pass over the vise from above the gap, and one that looks at the fixed jaw face from 30 to 60 degrees above level"
	if want.Near != nil {
		r.Reason = fmt.Sprintf("within %.0f mm of near_mm nothing was made out that may be the fixed jaw top and the moving jaw top", hintReach)
	}
	switch {
	case len(v.patches) == 0:
		r.Reason = "no points were scanned where the vise is to be looked for"
	case v.pitch > finestPitch:
		r.Reason += ", in scans made from too far to tell one"
	}
	return r
}
