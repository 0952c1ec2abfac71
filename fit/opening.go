package fit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// minOpening is the least width and height that an arm is put through, mm: a
// wrist is 100 to 150 mm across (common practice).
const minOpening = 200

// borderReach is how far from the raster's rectangle a border is looked for,
// mm: a square, and the reach of a voxel at the cloud's far end.
const borderReach = 3 * rasterPitch

// opening finds the largest rectangle within region through which rays went,
// then each of its borders.
func (s *sheet) opening(region rect) (r rect, borders [2][2]border, ok bool) {
	t := s.raster(region)
	block, ok := t.best()
	if !s.thin {
		block = t.widen(block)
	}
	r = t.rect(block)
	if !ok || r.size(0) < minOpening || r.size(1) < minOpening {
		return r, borders, false
	}
	for range 2 { // the second time with the rows that the first left over
		for a := range 2 {
			lost := false
			for side, solid := range [2]float64{-1, 1} {
				b, found := s.edge(search{
					axis: a, solid: solid, guess: r.edge(a, side), reach: borderReach,
					from: r.lo[1-a] + rasterPitch, to: r.hi[1-a] - rasterPitch, proud: true, lip: true, level: a == 1,
				})
				borders[a][side], lost = b, lost || !found
			}
			if lost && !borders[a][0].closed && !borders[a][1].closed {
				return r, borders, false
			}
		}
		for a := range 2 {
			r.lo[a], r.hi[a] = borders[a][0].at, borders[a][1].at
		}
	}
	return r, borders, r.size(0) >= minOpening && r.size(1) >= minOpening
}

// edge is a border of the opening. Where nothing of the front was seen within
// reach of the last rays, the front is looked for a little further on, and the
// border lies somewhere between. Where none of it was seen there either, the
// border is a bound: closed is false, and the opening may go on. It is false where
// too little went through there to tell even that from the rays.
func (s *sheet) edge(q search) (border, bool) {
	b, ok := s.find(q)
	if !ok { // the last rays went through the last square of the raster
		return border{at: q.guess - q.solid*rasterPitch, sigma: math.Inf(1), open: true}, false
	}
	if b.closed && (!b.open || b.sigma < widestEdge) {
		return b, true
	}
	if b.closed { // both sides were seen, far apart: back to the last rays
		b.at, b.closed = b.at-q.solid*math.Sqrt(3)*b.sigma, false
	}
	q.guess, q.reach = b.at, bracketReach
	hit := slices.DeleteFunc(s.hits(q), func(x float64) bool { return x < 0 }) // what stands before the opening ends it nowhere
	if wide, ok := s.bracketFrom(q, hit); ok && wide.sigma < widestEdge {
		return wide, true
	}
	b.sigma = math.Inf(1)
	return b, true
}

// widestEdge is the sigma from which on an edge of an opening counts as not
// measured, mm: two squares of the raster, uniformly. What an arm reaches through
// is planned to a centimetre or two (common practice).
const widestEdge = 2 * rasterPitch / 3.4641

// openingIn is the opening's rectangle in the datum.
func (m *machine) openingIn(baseFromDatum geom.Pose) *Opening {
	datumFromSheet := baseFromDatum.Inverse().Mul(m.sheet.frame)
	a := datumFromSheet.Apply(r3.Vec{X: m.hole.hi[0], Y: m.hole.lo[1]})
	b := datumFromSheet.Apply(r3.Vec{X: m.hole.lo[0], Y: m.hole.hi[1]})
	return &Opening{
		YMin: a.Y, YMax: b.Y, ZMin: a.Z, ZMax: b.Z,
		Sigma: [4]float64{m.rims[0][1].sigma, m.rims[0][0].sigma, m.rims[1][0].sigma, m.rims[1][1].sigma},
	}
}

// boundedOpening says which edges of the opening are only bounds, nil where all
// four were measured.
func (m *machine) boundedOpening() *Refusal {
	var edges []string
	for a, names := range [2][2]string{{"left", "right"}, {"bottom", "top"}} {
		for side, name := range names {
			if !m.rims[a][side].closed {
				edges = append(edges, name)
			}
		}
	}
	if edges == nil {
		return nil
	}
	where := strings.Join(edges, " and ")
	return &Refusal{
		Name: m.name + " opening", Kind: Enclosure,
		Reason: fmt.Sprintf("where it ends at the %s was not seen: next to the last rays through it nothing of the front was scanned; it is at least %.0f mm wide and %.0f mm high",
			where, m.hole.size(0), m.hole.size(1)),
		ScanNext: fmt.Sprintf("the front beyond the opening's %s, from straight before it", where),
	}
}
