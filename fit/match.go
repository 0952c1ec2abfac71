package fit

import (
	"fmt"

	"cellwall/mapping/cell"

	"gonum.org/v1/gonum/spatial/r3"
)

// hintReach is how far a hint may be from what it means, mm: hints are read off
// a plan or paced out, and speak of large things. Of a machine it may mean any
// place in it or on it, of other things their middle.
const hintReach = 1000

// matched says which candidate each wanted object is, -1 for none, and how many
// it might be where that is why.
type matched struct{ candidate, among int }

// match deals n candidates, by how far they are from a hint, to the wanted objects
// of their kind. Those with a hint take the nearest, the closest pair first. One
// without takes what is left if that is a single one and nobody else would have
// it; otherwise it is not guessed.
func match(wanted []cell.Wanted, n int, far func(c int, hint r3.Vec) float64) []matched {
	out := make([]matched, len(wanted))
	for i := range out {
		out[i].candidate = -1
	}
	used := make([]bool, n)
	for {
		w, c := closestPair(wanted, out, far, used)
		if w < 0 {
			break
		}
		out[w].candidate, used[c] = c, true
	}
	var open, left []int
	for w := range wanted {
		if wanted[w].Near == nil {
			open = append(open, w)
		}
	}
	for c := range used {
		if !used[c] {
			left = append(left, c)
		}
	}
	for _, w := range open {
		if len(open) == 1 && len(left) == 1 {
			out[w].candidate = left[0]
		}
		out[w].among = len(left)
	}
	return out
}

// fromMiddle is how far a hint is from the middle of a candidate.
func fromMiddle(middles []r3.Vec) func(int, r3.Vec) float64 {
	return func(c int, hint r3.Vec) float64 { return r3.Norm(r3.Sub(middles[c], hint)) }
}

// closestPair is the hinted wanted object and the unused candidate that lie
// nearest to each other, -1 where none are in reach.
func closestPair(wanted []cell.Wanted, dealt []matched, far func(int, r3.Vec) float64, used []bool) (w, c int) {
	w, c = -1, -1
	best := float64(hintReach)
	for i := range wanted {
		if wanted[i].Near == nil || dealt[i].candidate >= 0 {
			continue
		}
		for j := range used {
			if d := far(j, *wanted[i].Near); !used[j] && d < best {
				w, c, best = i, j, d
			}
		}
	}
	return w, c
}

// refusal says why a wanted object got no candidate; none and scan are the words
// for the case that nothing like it was seen.
func (m matched) refusal(w cell.Wanted, none, scan string) Refusal {
	r := Refusal{Name: w.Name, Kind: Kind(w.Kind), Near: w.Near, Candidates: m.among, Reason: none, ScanNext: scan}
	switch {
	case w.Near != nil:
		r.Reason = fmt.Sprintf("within %d mm of near_mm: %s", hintReach, none)
	case m.among == 1:
		r.Reason = "one place fits, and more than one wanted object has no near_mm: which of them it is cannot be told"
		r.ScanNext = "nothing: give near_mm for each of them in cell.yaml"
	case m.among > 1:
		r.Reason = fmt.Sprintf("%d places fit equally well", m.among)
		r.ScanNext = "nothing: give near_mm in cell.yaml to say which one is meant"
	}
	return r
}

// ofKind lists the wanted objects of one kind, in their order.
func ofKind(wanted []cell.Wanted, k Kind) []cell.Wanted {
	var out []cell.Wanted
	for _, w := range wanted {
		if Kind(w.Kind) == k {
			out = append(out, w)
		}
	}
	return out
}

// add takes in what was found of one kind: under the names of cell.yaml where
// those are wanted, numbered by azimuth otherwise. none and scan say what was
// not seen where a wanted one is missing.
func (f *Findings) add(objects []Object, wanted []cell.Wanted, where func(*Object) r3.Vec, none, scan string) {
	middles := make([]r3.Vec, len(objects))
	for i := range objects {
		middles[i] = middle(&objects[i])
	}
	for w, m := range match(wanted, len(middles), fromMiddle(middles)) {
		if m.candidate < 0 {
			f.Refused = append(f.Refused, m.refusal(wanted[w], none, scan))
			continue
		}
		objects[m.candidate].Name = wanted[w].Name
	}
	nameAround(objects, where)
	f.Objects = append(f.Objects, objects...)
}

// middle is the middle of what was seen of an object.
func middle(o *Object) r3.Vec {
	var sum r3.Vec
	area := 0.0
	for i := range o.Faces {
		sum = r3.Add(sum, r3.Scale(o.Faces[i].Area, o.Faces[i].Centre))
		area += o.Faces[i].Area
	}
	if area == 0 {
		return o.Pose.T
	}
	return r3.Scale(1/area, sum)
}
