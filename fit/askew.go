package fit

import (
	"math"
	"slices"

	"cellwall/mapping/geom"
	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
)

// How a top is turned is first looked for all around in steps of askewStep, with what
// half of one does to the far ends of its sides allowed for. One is told where all
// others, further off than all that the ends weigh, are askewDoubt times less likely.
const (
	askewStep  = 3 * math.Pi / 180
	askewDoubt = 400
)

// unaskew is the rectangle about the points of a top at whose ends the fewest rows
// speak against it: what hides a part of the top, or was not scanned, lays the least
// rectangle askew. Where another turn would do as well it is that one still, and not
// sure.
func (s *sheet) unaskew(points []r2.Vec) (r flat.Rectangle, sure bool) {
	least := flat.LeastRectangle(points)
	about := func(k int) flat.Rectangle {
		return flat.BoundsAlong(points, r2.Rotate(least.U, float64(k)*askewStep, r2.Vec{}))
	}
	fits, best := make([]float64, int(math.Round(math.Pi/2/askewStep))), 0
	for k := range fits {
		if fits[k], _ = s.fits(about(k)); fits[k] > fits[best] {
			best = k
		}
	}
	for k := range fits {
		off := math.Abs(math.Remainder(float64(k-best)*askewStep, math.Pi/2))
		if off > 2*mostTurn && fits[k] > fits[best]-math.Log(askewDoubt) {
			return least, false
		}
	}
	return about(best), true
}

// around is the sheet of a level frame as far as the ends of a top with these points
// may lie from one another, whichever way it is turned. Rays that ended just behind it
// count for nothing.
func (s *survey) around(level geom.Pose, points []r2.Vec, pieces []int) *sheet {
	reach := 0.0
	for _, p := range points {
		reach = max(reach, r2.Norm(p))
	}
	out := s.newSheet(level, rect{}.grown(reach+bracketReach), pieces)
	out.open = slices.DeleteFunc(out.open, func(p patch) bool { return p.deep < spikes })
	return out
}

// fits is how likely the rows at the ends of a rectangle are, as a logarithm, but for
// a constant, where each end is let lie where it fits them best; and how many rows.
func (s *sheet) fits(r flat.Rectangle) (likely float64, rows int) {
	in := sheet{closed: along(r, s.closed)}
	open := along(r, s.open)
	half := [2]float64{r.Size.X / 2, r.Size.Y / 2}
	for e := range 4 {
		a, out := e/2, float64(2*(e%2)-1)
		q := search{
			axis: a, solid: -out, guess: out * half[a], reach: bracketReach,
			from: 2*rasterPitch - half[1-a], to: half[1-a] - 2*rasterPitch,
		}
		l := q.leanOf(in.rowsOf(q, open))
		l.soft = max(l.soft, askewStep/2*half[1-a])
		_, p := l.best()
		likely, rows = likely+math.Log(p), rows+len(l.rows)
	}
	return likely, rows
}

// along are patches in the axes of a rectangle, each reaching as far all around as on
// average.
func along(r flat.Rectangle, patches []patch) []patch {
	out := slices.Clone(patches)
	for i := range out {
		p := &out[i]
		d := r2.Sub(r2.Vec{X: p.at[0], Y: p.at[1]}, r.Centre)
		p.at = [2]float64{r2.Dot(d, r.U), r2.Cross(r.U, d)}
		half := (p.lo[0] + p.hi[0] + p.lo[1] + p.hi[1]) / 4
		p.lo, p.hi, p.vague = [2]float64{half, half}, [2]float64{half, half}, [2]float64{}
	}
	return out
}
