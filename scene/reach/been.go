package reach

import (
	"slices"

	"cellwall/scene/distance"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// thinning, mm, is how far both ends of a link move before its place is kept
	// anew. Between two places a capsule of 14 mm, a slim tool, leaves a groove
	// of 14 - sqrt(14^2 - 5^2) = 0.9 mm; with that and finestUnseen a way that was
	// gone once can be gone again.
	thinning = 10
	scallop  = 1 + finestUnseen
)

// been are the places that the arm's own links took up where it scanned from:
// what the arm has been in was clear then, whatever rays saw.
type been struct {
	kept, last []distance.Capsule // of each of the arm's own capsules
	places     []distance.Body
}

// note where the links are, each where it has moved from what was kept. Where
// the arm jumps, as from one scan to the next, it keeps both sides.
func (b *been) note(links []placed) {
	for k := range links {
		c := links[k].body.(distance.Capsule)
		if k == len(b.kept) {
			b.kept, b.last = append(b.kept, c), append(b.last, c)
			b.places = append(b.places, c)
			continue
		}
		if apart(c, b.last[k]) >= thinning && b.last[k] != b.kept[k] {
			b.places = append(b.places, b.last[k])
		}
		if apart(c, b.kept[k]) >= thinning {
			b.kept[k] = c
			b.places = append(b.places, c)
		}
		b.last[k] = c
	}
}

// all are the places, the last ones too.
func (b *been) all() []distance.Body {
	out := slices.Clone(b.places)
	for _, c := range b.last {
		out = append(out, c)
	}
	return out
}

func apart(a, b distance.Capsule) float64 {
	return max(r3.Norm(r3.Sub(a.From, b.From)), r3.Norm(r3.Sub(a.To, b.To)))
}
