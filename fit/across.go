package fit

import (
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// sameWidth is the share of a top's width that a piece of it shows at least, where
// nothing was seen between it and the others.
const sameWidth = 0.5

// across puts the pieces of tops together that lie further apart than things on them
// explain, for between them nothing at all was seen.
func (s *survey) across(groups [][]int, hints []r3.Vec) [][]int {
	for i := 0; i < len(groups); i++ {
		for j := i + 1; j < len(groups); j++ {
			if s.oneTop(groups[i], groups[j], hints) {
				groups[i] = s.byArea(groups[i], groups[j])
				groups = slices.Delete(groups, j, j+1)
				j = i
			}
		}
	}
	return sortedGroups(groups, s.area)
}

// oneTop tells whether two level faces are one top of which the middle was not seen:
// they lie in one plane and within one rectangle, no ray went through between them,
// and no two hints say that they are two.
func (s *survey) oneTop(a, b []int, hints []r3.Vec) bool {
	of, and := s.area(a), s.area(b)
	if !coplanar(&s.surfaces[a[0]], &s.surfaces[b[0]]) || of+and < minTop || and < smallPiece*of || s.meantApart(a, b, hints) {
		return false
	}
	both := slices.Concat(a, b)
	frame := s.surfaces[a[0]].Plane.Frame(s.surfaces[a[0]].Centre)
	region := projectOn(frame, s.corners(both))
	if math.Hypot(region.size(0), region.size(1)) > math.Sqrt2*math.Hypot(longestTop, deepestTop) || !s.inOneRectangle(a, b) {
		return false
	}
	t := s.newSheet(frame, region, both).raster(region)
	squares := func(group []int) (out []int) {
		for _, i := range group {
			out = append(out, s.squaresOf(i, frame, t)...)
		}
		return out
	}
	return !t.parts(squares(a), squares(b), 0)
}

// inOneRectangle tells whether two level faces lie within one rectangle of a table's
// size, either as wide as that, at whose ends hardly more rows speak against it than
// against a rectangle for each, no more than strays make.
func (s *survey) inOneRectangle(a, b []int) bool {
	t, ta, tb := s.layOut(s.byArea(a, b)), s.layOut(a), s.layOut(b)
	width := min(projectOn(t.frame, s.corners(a)).size(1), projectOn(t.frame, s.corners(b)).size(1))
	against, rows := t.against()
	first, _ := ta.against()
	second, _ := tb.against()
	return t.turned() && t.extent.size(0) <= longestTop && t.extent.size(1) <= deepestTop &&
		width >= sameWidth*t.extent.size(1) && against-first-second <= float64(strayRows(rows))
}

// against is how many of the rows at a top's ends speak against it, of how many.
func (t *tabletop) against() (n float64, rows int) {
	for e := range t.ends {
		if l := t.ends[e].lean; l != nil {
			_, likely := l.best()
			n, rows = n+math.Log(likely)/math.Log(wrongRow), rows+len(l.rows)
		}
	}
	return n, rows
}

// byArea are the pieces of two faces, the largest first.
func (s *survey) byArea(a, b []int) []int {
	return sortedBy(slices.Concat(a, b), func(k int) float64 { return -s.surfaces[k].Area })
}

// pointsIn are the X and Y of points in a frame.
func pointsIn(frame geom.Pose, points []r3.Vec) []r2.Vec {
	inverse, out := frame.Inverse(), make([]r2.Vec, len(points))
	for i, p := range points {
		q := inverse.Apply(p)
		out[i] = r2.Vec{X: q.X, Y: q.Y}
	}
	return out
}

// meantApart tells whether there are hints of which one lies nearer to a and another
// nearer to b.
func (s *survey) meantApart(a, b []int, hints []r3.Vec) bool {
	n := [2]int{}
	for _, h := range hints {
		da, db := r3.Norm(r3.Sub(h, s.surfaces[a[0]].Centre)), r3.Norm(r3.Sub(h, s.surfaces[b[0]].Centre))
		if da < hintReach && da <= db {
			n[0]++
		}
		if db < hintReach && db < da {
			n[1]++
		}
	}
	return n[0] > 0 && n[1] > 0
}
