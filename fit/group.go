package fit

import (
	"math"

	"cellwall/fit/surface"

	"gonum.org/v1/gonum/spatial/r3"
)

// Pieces of one face agree in direction within sameTurn and in offset, at each
// other's centre, within sameOffset mm, beyond three standard deviations: what
// the pieces of a wall or of a sheet-metal front stand proud of each other
// (common practice).
const (
	sameTurn   = 0.7 * math.Pi / 180
	sameOffset = 4.0
)

// coplanar tells whether two surfaces are pieces of one face, seen from the
// same side.
func coplanar(a, b *surface.Surface) bool {
	if a.Cylinder != nil || b.Cylinder != nil || r3.Dot(a.Plane.Normal, b.Plane.Normal) <= 0 {
		return false
	}
	if tilt(a.Plane.Normal, b.Plane.Normal) > sameTurn+3*(turnSigma(a)+turnSigma(b)) {
		return false
	}
	lever := r3.Norm(r3.Sub(a.Centre, b.Centre))
	return math.Abs(a.Plane.Distance(b.Centre)) < sameOffset+3*(offsetSigma(a)+offsetSigma(b)+lever*turnSigma(a)) ||
		math.Abs(b.Plane.Distance(a.Centre)) < sameOffset+3*(offsetSigma(a)+offsetSigma(b)+lever*turnSigma(b))
}

func offsetSigma(s *surface.Surface) float64 { return math.Sqrt(max(s.Cov[0][0], 0)) }

func turnSigma(s *surface.Surface) float64 { return math.Sqrt(max(s.Cov[1][1], s.Cov[2][2], 0)) }

// groups gathers the pieces of one face among the surfaces listed, largest
// piece first, largest group first.
func (s *survey) groups(of []int) [][]int {
	byArea := sortedBy(of, func(i int) float64 { return -s.surfaces[i].Area })
	used := make(map[int]bool)
	var out [][]int
	for _, i := range byArea {
		if used[i] {
			continue
		}
		group := []int{i}
		for _, j := range byArea {
			if j != i && !used[j] && coplanar(&s.surfaces[i], &s.surfaces[j]) {
				group = append(group, j)
				used[j] = true
			}
		}
		used[i] = true
		out = append(out, group)
	}
	return out
}

// area of a group's pieces, mm^2.
func (s *survey) area(group []int) float64 {
	sum := 0.0
	for _, i := range group {
		sum += s.surfaces[i].Area
	}
	return sum
}

// corners is the outline of all pieces of a group.
func (s *survey) corners(group []int) []r3.Vec {
	var out []r3.Vec
	for _, i := range group {
		out = append(out, s.surfaces[i].Outline...)
	}
	return out
}
