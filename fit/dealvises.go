package fit

import (
	"fmt"
	"math"

	"cellwall/fit/vise"
	"cellwall/mapping/cell"

	"gonum.org/v1/gonum/spatial/r3"
)

// dealtVise is which of those that fit a wanted vise is, or why none.
type dealtVise struct {
	is      *vise.Located
	refused *Refusal
}

// dealVises deals what fits each wanted vise, so that no place gets two names.
// Those with a hint take the nearest, the closest pair first; one without takes
// what is left if that is a single one and nobody else would have it.
func dealVises(wanted []cell.Wanted, fits [][]vise.Located) []dealtVise {
	d := visesDealt{wanted, fits, make([]dealtVise, len(wanted))}
	for d.closest() {
	}
	left := make([][]*vise.Located, len(wanted))
	for w := range wanted {
		if d.out[w].is == nil {
			left[w] = d.left(w)
		}
	}
	for w := range wanted {
		if d.out[w].is != nil || len(fits[w]) == 0 {
			continue
		}
		refuse := func(reason, next string, among int) {
			d.out[w].refused = &Refusal{Name: wanted[w].Name, Kind: Vise, Near: wanted[w].Near, Reason: reason, ScanNext: next, Candidates: among}
		}
		switch n := len(left[w]); {
		case n == 0:
			refuse(fmt.Sprintf("the only vise that fits is already %s", d.holder(&fits[w][0])), "nothing: give near_mm for each of them in cell.yaml", 1)
		case n > 1:
			refuse(fmt.Sprintf("%d vises fit what is wanted", n), "nothing: give near_mm, a point near the wanted one", n)
		case shared(left, w):
			refuse("one vise fits, and more than one wanted vise has no near_mm: which of them it is cannot be told", "nothing: give near_mm for each of them in cell.yaml", 1)
		default:
			d.out[w].is = left[w][0]
		}
	}
	return d.out
}

type visesDealt struct {
	wanted []cell.Wanted
	fits   [][]vise.Located
	out    []dealtVise
}

// closest deals the closest pair of a hint and what fits; false where none is left.
func (d *visesDealt) closest() bool {
	best, at := math.Inf(1), -1
	var is *vise.Located
	for w := range d.wanted {
		if d.wanted[w].Near == nil || d.out[w].is != nil {
			continue
		}
		for _, l := range d.left(w) {
			if far := r3.Norm(r3.Sub(l.Middle(), *d.wanted[w].Near)); far < best {
				best, at, is = far, w, l
			}
		}
	}
	if at >= 0 {
		d.out[at].is = is
	}
	return at >= 0
}

// left are those that fit wanted vise w and have no name yet.
func (d *visesDealt) left(w int) (out []*vise.Located) {
	for i := range d.fits[w] {
		if l := &d.fits[w][i]; d.holder(l) == "" {
			out = append(out, l)
		}
	}
	return out
}

// holder is the name that the place has, "" for none.
func (d *visesDealt) holder(l *vise.Located) string {
	for w := range d.out {
		if is := d.out[w].is; is != nil && onePlace(is, l) {
			return d.wanted[w].Name
		}
	}
	return ""
}

// shared tells whether what is left for w is left for another, too.
func shared(left [][]*vise.Located, w int) bool {
	for k := range left {
		for _, l := range left[k] {
			if k != w && onePlace(l, left[w][0]) {
				return true
			}
		}
	}
	return false
}

// onePlace tells whether two fits, of different sizes perhaps, are of one vise: the
// jaws of two would overlap.
func onePlace(a, b *vise.Located) bool {
	return r3.Norm(r3.Sub(a.Middle(), b.Middle())) < min(a.Width.Value, b.Width.Value)/2
}
