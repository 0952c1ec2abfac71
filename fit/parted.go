package fit

import (
	"math"

	"cellwall/mapping/geom"
)

// Pieces of a top may be apart where something stands on it and hides what is
// between. Where rays went through its plane between them, it is not one top but
// two at one height: between most of the smaller one's squares and their nearest of
// the larger one, over openWay of what of the way shows neither and no fewer squares
// than openSquares, for what hides some of the way leaves no ray there.
const (
	openWay     = 0.5
	openSquares = 3
)

// undivided parts the pieces of a level face, the largest first, where rays went
// through between them.
func (s *survey) undivided(group []int) [][]int {
	if len(group) == 1 {
		return [][]int{group}
	}
	largest := &s.surfaces[group[0]]
	frame := largest.Plane.Frame(largest.Centre)
	region := projectOn(frame, largest.Outline)
	for _, i := range group[1:] {
		region = region.with(projectOn(frame, s.surfaces[i].Outline))
	}
	t := s.newSheet(frame, region, group).raster(region)
	var out [][]int
	var seen [][]int // squares of each
	for _, i := range group {
		mine := s.squaresOf(i, frame, t)
		k := 0
		for k < len(out) && t.parts(seen[k], mine, openWay) {
			k++
		}
		if k == len(out) {
			out, seen = append(out, nil), append(seen, nil)
		}
		out[k], seen[k] = append(out[k], i), append(seen[k], mine...)
	}
	return out
}

// squaresOf are the squares that hold a surface's voxels.
func (s *survey) squaresOf(i int, frame geom.Pose, t *raster) []int {
	inverse, has := frame.Inverse(), map[int]bool{}
	var out []int
	for _, v := range s.surfaces[i].Voxels {
		p := inverse.Apply(s.cloud.Voxels[v].Mean)
		x, y := t.square(p.X, 0), t.square(p.Y, 1)
		if at := y*t.nx + x; !has[at] {
			has[at] = true
			out = append(out, at)
		}
	}
	return out
}

// square is the index along an axis of the square at x.
func (t *raster) square(x float64, axis int) int {
	return min(max(int((x-t.region.lo[axis])/rasterPitch), 0), [2]int{t.nx, t.ny}[axis]-1)
}

// parts tells whether rays went through between most of the squares b and their
// nearest of a, over more than a share of what of the way shows neither.
func (t *raster) parts(a, b []int, share float64) bool {
	n := 0
	for _, j := range b {
		nearest, least := a[0], math.Inf(1)
		for _, i := range a {
			if d := t.apart(i, j); d < least {
				nearest, least = i, d
			}
		}
		if open, way := t.openBetween(nearest, j); open >= openSquares && float64(open) > share*float64(way) {
			n++
		}
	}
	return 2*n > len(b)
}

// apart is the distance between two squares, in squares.
func (t *raster) apart(i, j int) float64 {
	return math.Hypot(float64(i%t.nx-j%t.nx), float64(i/t.nx-j/t.nx))
}

// openBetween counts the squares on the way from i to j through which rays went, and
// which stopped none; and those that show no face there: most of the way to a square
// far inside a face leads over that face.
func (t *raster) openBetween(i, j int) (open, way int) {
	steps := int(math.Ceil(t.apart(i, j)))
	for k := 1; k < steps; k++ {
		f := float64(k) / float64(steps)
		x := math.Round(float64(i%t.nx) + f*float64(j%t.nx-i%t.nx))
		y := math.Round(float64(i/t.nx) + f*float64(j/t.nx-i/t.nx))
		at := int(y)*t.nx + int(x)
		if t.score(at) > 0 {
			open++
		}
		if !t.flat[at] {
			way++
		}
	}
	return open, way
}
