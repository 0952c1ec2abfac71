package lines

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Stroke is a straight line with its rank: of strokes that lie on each other
// only the one of least rank is drawn.
type Stroke struct {
	A, B r2.Vec
	Rank int
}

// Merge joins strokes that lie on each other within tol and takes away from
// each what one of lesser rank covers: ISO 128-2 lets a visible line go before
// a hidden one. The result is ordered by rank and does not depend on the order
// of strokes of one length.
func Merge(strokes []Stroke, tol float64) []Stroke {
	sorted := slices.Clone(strokes)
	slices.SortStableFunc(sorted, func(a, b Stroke) int {
		return cmp.Compare(r2.Norm(r2.Sub(b.B, b.A)), r2.Norm(r2.Sub(a.B, a.A)))
	})
	var rows []*row
	buckets := make(map[int][]*row)
	for _, s := range sorted {
		r := find(buckets, s, tol)
		if r == nil {
			r = &row{at: s.A, along: r2.Unit(r2.Sub(s.B, s.A))}
			rows = append(rows, r)
			k := bucket(r.along)
			buckets[k] = append(buckets[k], r)
		}
		r.spans = append(r.spans, r.span(s))
	}
	var out []Stroke
	for _, r := range rows {
		out = append(out, r.merged(tol)...)
	}
	slices.SortStableFunc(out, func(a, b Stroke) int { return cmp.Compare(a.Rank, b.Rank) })
	return out
}

// row is a straight line with the strokes that lie on it.
type row struct {
	at, along r2.Vec
	spans     []span
}

type span struct {
	from, to float64
	rank     int
}

// sector is the width of a bucket of directions, rad. Strokes whose directions
// differ by more are joined only where one is shorter than a few tolerances,
// and then it matters little.
const sector = math.Pi / 18

const sectors = 18

func bucket(v r2.Vec) int {
	return int(math.Floor(math.Mod(math.Atan2(v.Y, v.X)+2*math.Pi, math.Pi)/sector)) % sectors
}

// find returns a row on which the stroke lies within tol.
func find(buckets map[int][]*row, s Stroke, tol float64) *row {
	k := bucket(r2.Sub(s.B, s.A))
	for _, d := range [3]int{0, 1, sectors - 1} {
		for _, r := range buckets[(k+d)%sectors] {
			if r.off(s.A) <= tol && r.off(s.B) <= tol {
				return r
			}
		}
	}
	return nil
}

func (r *row) off(p r2.Vec) float64 { return math.Abs(r2.Cross(r.along, r2.Sub(p, r.at))) }

func (r *row) span(s Stroke) span {
	a, b := r2.Dot(r.along, r2.Sub(s.A, r.at)), r2.Dot(r.along, r2.Sub(s.B, r.at))
	return span{min(a, b), max(a, b), s.Rank}
}

// merged is what is drawn of the row: for each rank the union of its spans less
// the union of all lesser ranks. Leftovers shorter than tol are dropped.
func (r *row) merged(tol float64) []Stroke {
	slices.SortStableFunc(r.spans, func(a, b span) int {
		return cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(a.from, b.from))
	})
	var taken []span // disjoint, ascending
	var out []Stroke
	for i := 0; i < len(r.spans); {
		s := r.spans[i]
		for i++; i < len(r.spans) && r.spans[i].rank == s.rank && r.spans[i].from <= s.to+tol; i++ {
			s.to = max(s.to, r.spans[i].to)
		}
		for _, free := range gaps(s, taken) {
			if free.to-free.from > tol || len(taken) == 0 {
				out = append(out, r.stroke(free))
			}
		}
		taken = take(taken, s)
	}
	return out
}

func (r *row) stroke(s span) Stroke {
	return Stroke{r2.Add(r.at, r2.Scale(s.from, r.along)), r2.Add(r.at, r2.Scale(s.to, r.along)), s.rank}
}

// gaps is s less the taken spans.
func gaps(s span, taken []span) []span {
	var out []span
	for _, t := range taken {
		if t.to <= s.from || t.from >= s.to {
			continue
		}
		if t.from > s.from {
			out = append(out, span{s.from, t.from, s.rank})
		}
		s.from = max(s.from, t.to)
	}
	if s.from < s.to {
		out = append(out, s)
	}
	return out
}

// take adds s to the taken spans and keeps them disjoint and ascending.
func take(taken []span, s span) []span {
	var out []span
	for _, t := range taken {
		if t.to < s.from || t.from > s.to {
			out = append(out, t)
			continue
		}
		s.from, s.to = min(s.from, t.from), max(s.to, t.to)
	}
	out = append(out, s)
	slices.SortFunc(out, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	return out
}
