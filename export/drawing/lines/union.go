package lines

import (
	"math"

	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// A body's convex pieces abut and overlap; where they do, the edge of a piece
// is not an edge of the body. That shows in how the body fills a small circle
// round the edge: wholly where the edge runs inside, by half where it lies in a
// face that goes on in the next piece.

// probes is how many points of the circle are asked; odd multiples of a half
// step, so that none lies in the faces themselves.
const probes = 16

// reach is the radius of the circle, mm: more than rounding, less than the
// thinnest thing that a drawing of a cell shows.
const reach = 1.0

// piece is a solid with its surface and its extent in base.
type piece struct {
	solid.Solid
	mesh   solid.Mesh
	bounds geom.Bounds
}

// beside are the pieces, other than the one at index own, that reach it.
func beside(pieces []piece, own int) []piece {
	var out []piece
	for i, p := range pieces {
		if i != own && overlap(p.bounds, pieces[own].bounds, reach) {
			out = append(out, p)
		}
	}
	return out
}

// along are those of the pieces that reach the edge.
func along(pieces []piece, e edge) []piece {
	at := geom.NoBounds()
	at.Extend(e.a)
	at.Extend(e.b)
	var out []piece
	for _, p := range pieces {
		if overlap(p.bounds, at, reach) {
			out = append(out, p)
		}
	}
	return out
}

func overlap(a, b geom.Bounds, gap float64) bool {
	return a.Min.X <= b.Max.X+gap && b.Min.X <= a.Max.X+gap &&
		a.Min.Y <= b.Max.Y+gap && b.Min.Y <= a.Max.Y+gap &&
		a.Min.Z <= b.Max.Z+gap && b.Min.Z <= a.Max.Z+gap
}

// swallowed tells whether the edge of piece own is no edge of the body at p,
// for some other piece goes on there.
func swallowed(p r3.Vec, e edge, own piece, others []piece) bool {
	if len(others) == 0 {
		return false
	}
	x := r3.Unit(r3.Add(e.u, e.v)) // out of the solid
	y := r3.Cross(r3.Unit(r3.Sub(e.b, e.a)), x)
	filled, changes := 0, 0
	var first, last bool
	for i := range probes {
		s, c := math.Sincos((float64(i) + 0.5) * 2 * math.Pi / probes)
		q := r3.Add(p, r3.Add(r3.Scale(reach*c, x), r3.Scale(reach*s, y)))
		in := own.Contains(q, 0) || within(q, others)
		if in {
			filled++
		}
		if i == 0 {
			first = in
		} else if in != last {
			changes++
		}
		last = in
	}
	if first != last {
		changes++
	}
	half := changes == 2 && filled >= probes/2-1 && filled <= probes/2+1
	return filled == probes || half && !e.smooth
}

func within(q r3.Vec, pieces []piece) bool {
	for _, p := range pieces {
		if p.Contains(q, 0) {
			return true
		}
	}
	return false
}
