package fit

import (
	"cmp"
	"math"
	"slices"

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
// same side: the smaller lies in the plane of the larger, as far as that is
// known there.
func coplanar(a, b *surface.Surface) bool {
	if a.Cylinder != nil || b.Cylinder != nil || r3.Dot(a.Plane.Normal, b.Plane.Normal) <= 0 {
		return false
	}
	if tilt(a.Plane.Normal, b.Plane.Normal) > sameTurn+3*(turnSigma(a)+turnSigma(b)) {
		return false
	}
	if a.Area < b.Area {
		a, b = b, a
	}
	return math.Abs(a.Plane.Distance(b.Centre)) < slackOf(a, b)
}

// slackOf is how far the smaller of two pieces of one face, b, may lie off the
// plane of the larger, as far as that is known there.
func slackOf(a, b *surface.Surface) float64 {
	lever := r3.Norm(r3.Sub(a.Centre, b.Centre))
	return sameOffset + 3*(offsetSigma(a)+offsetSigma(b)+lever*turnSigma(a))
}

func offsetSigma(s *surface.Surface) float64 { return math.Sqrt(max(s.Cov[0][0], 0)) }

func turnSigma(s *surface.Surface) float64 { return math.Sqrt(max(s.Cov[1][1], s.Cov[2][2], 0)) }

// groups gathers the pieces of one face among the surfaces listed, at most gap mm
// from the largest of them or from one another, largest piece first, largest
// face first.
func (s *survey) groups(of []int, gap float64) [][]int {
	left := sortedBy(of, func(i int) float64 { return -s.surfaces[i].Area })
	var out [][]int
	for len(left) > 0 {
		group := []int{left[0]}
		left = left[1:]
		for again := true; again; {
			again = false
			var rest []int
			for _, j := range left {
				if coplanar(&s.surfaces[group[0]], &s.surfaces[j]) && s.nearAny(group, j, gap) {
					group = append(group, j)
					again = true
				} else {
					rest = append(rest, j)
				}
			}
			left = rest
		}
		out = append(out, sortedBy(group, func(i int) float64 { return -s.surfaces[i].Area }))
	}
	return sortedGroups(out, s.area)
}

// piecesOf is surface i and the free pieces of the same face, wherever they are.
func (s *survey) piecesOf(i int) []int {
	group := []int{i}
	for _, j := range s.free(func(f *surface.Surface) bool { return coplanar(&s.surfaces[i], f) }) {
		if j != i {
			group = append(group, j)
		}
	}
	return group
}

// nearAny tells whether surface j comes within gap of a piece of the group, by
// the rectangles about them.
func (s *survey) nearAny(group []int, j int, gap float64) bool {
	frame := s.surfaces[group[0]].Plane.Frame(s.surfaces[group[0]].Centre)
	r := projectOn(frame, s.surfaces[j].Outline)
	for _, i := range group {
		if projectOn(frame, s.surfaces[i].Outline).gapTo(r) <= gap {
			return true
		}
	}
	return false
}

// sortedGroups sorts groups by area, the largest first.
func sortedGroups(groups [][]int, area func([]int) float64) [][]int {
	slices.SortStableFunc(groups, func(a, b []int) int { return cmp.Compare(area(b), area(a)) })
	return groups
}

// How far the pieces of one face may be apart, mm: a wall runs on behind what
// stands before it; a door may be wider than a person is tall; things that lie
// on a table or hang on a fence are smaller.
const (
	wallGap  = 5000
	doorGap  = 2500
	thingGap = 300
)

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

// takeGroup gives o the pieces of one face: name, name-2, … A piece too small to
// tell its own plane as well as the largest does is said to lie in its plane; not
// a scrap that does not tell whether it does.
func (s *survey) takeGroup(o *Object, name string, group []int) {
	n := 0
	for _, i := range group {
		if s.taken[i] {
			continue
		}
		n++
		label := name
		if n > 1 {
			label = numbered(name, n)
		}
		f := s.take(label, i)
		if f.Area < smallPiece*s.surfaces[group[0]].Area && !f.Faint() && coplanar(&s.surfaces[group[0]], &f.Surface) {
			f.Surface = inPlaneOf(&s.surfaces[group[0]], f.Surface)
		}
		o.Faces = append(o.Faces, f)
	}
}

// smallPiece is the share of the largest piece's area below which a piece's own
// plane says less of it than the largest piece's does: turns are known in
// proportion to the area and better.
const smallPiece = 0.1

// inPlaneOf is the surface p laid into the plane of a larger piece of its face.
func inPlaneOf(larger *surface.Surface, p surface.Surface) surface.Surface {
	p.Plane = larger.Plane
	p.Centre = p.Plane.Foot(p.Centre)
	p.Outline = slices.Clone(p.Outline)
	for i := range p.Outline {
		p.Outline[i] = p.Plane.Foot(p.Outline[i])
	}
	p.Holes = slices.Clone(p.Holes)
	for h := range p.Holes {
		p.Holes[h] = slices.Clone(p.Holes[h])
		for i := range p.Holes[h] {
			p.Holes[h][i] = p.Plane.Foot(p.Holes[h][i])
		}
	}
	frame := p.Plane.Frame(p.Centre)
	from := boundOf(larger)
	p.Cov = from.seenFrom(frame)
	from.Cov = larger.Budget.Noise
	p.Budget.Noise = from.seenFrom(frame)
	from.Cov = larger.Budget.Sweep
	p.Budget.Sweep = from.seenFrom(frame)
	from.Cov = larger.Budget.Arm
	p.Budget.Arm = from.seenFrom(frame)
	from.Cov = larger.Budget.Mount
	p.Budget.Mount = from.seenFrom(frame)
	return p
}
