package vise

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// An edge of a face lies between the last point on the face and the place where
// the first ray that missed it crossed the face's plane. Strip by strip along
// the edge this brackets it; without such a ray the points may end there because
// the scan did, and nothing is taken from it. Only rays that come over the
// carrier count, from the side on which the target is turned away: others meet
// the target just below the edge, so that there is no jump to see the edge by,
// nor one at which points are mixed, and the target itself tells where it is.

// edge is what one sweep says of one edge: the carrier face ends where the plane
// of another face, the target, cuts it.
type edge struct {
	carrier, target face
	scan            int32
	at              r3.Vec // on the edge, in the fit's frame as the sweep measured it
	sigma           float64
	group           int32
}

// edgeGroup is the edges of one sweep that share a bias: a filter that drops
// points at the rim of what is in front, but not of what is behind, moves all
// edges inward alike, by a part of the bracket. That part, the trim, is much the
// same in all sweeps, and shows where an edge and the face behind it were both
// seen; on opposite edges it cancels.
type edgeGroup struct {
	carrier face
	axis    int // of the target's normal in the jaw frame
	scan    int32
	gap     float64 // width of the brackets, mm
	bias    float64 // how far inside the true edge the found ones lie, beside the trim, mm
}

const (
	stripWide   = 4.0  // mm: two to five lines of a scan at close range
	leastStrips = 3    // an edge shorter than three strips has no scatter to be judged by
	edgeInside  = 12.0 // mm: how far inside and outside an edge its bracket is looked for
	edgeOutside = 5.0
	widestGap   = 6.0 // mm: a wider bracket is a hole in the scan
	behindFace  = 2.0 // mm: a ray that ends this far behind a face's plane has missed the face
	// turnedAway is the cosine to the target's normal up to which a ray passes it: a
	// ray this flat goes 0.1 mm outward while it goes down by behindFace.
	turnedAway   = 0.05
	leastBracket = 0.2 // mm: an edge is no sharper than its rounding
	// usualTrim is how far mixed points and the filters that drop them move an edge
	// inward, in parts of the bracket: by a quarter where they take the last point
	// before every edge, by nothing where they take none. sharedTrim and ownTrim are
	// one sigma of what all sweeps have in common, and of what one group of edges
	// differs by: along a line of the scan there are no mixed points.
	usualTrim  = 0.125
	sharedTrim = 0.125
	ownTrim    = 0.15
	// edgeRound, mm, is one sigma of what each edge's own rounding and the mixed
	// points on it move it: a machined edge is broken by a tenth or two (common
	// practice).
	edgeRound = 0.15
	// strayEdge: an edge further off than this many sigmas is not the one it is
	// taken for (a step in the jaw, a chip on it), and counts the less the
	// further off it is.
	strayEdge = 3.0
)

// carried lists which edges of which faces are used.
var carried = []struct{ carrier, target face }{
	{fixedTop, fixedLeft}, {fixedTop, fixedRight}, {fixedTop, fixedBack}, {fixedTop, fixedFace},
	{movingTop, movingLeft}, {movingTop, movingRight}, {movingTop, movingBack}, {movingTop, movingFace},
	{fixedFace, fixedLeft}, {fixedFace, fixedRight}, {movingFace, movingLeft}, {movingFace, movingRight},
	{fixedBack, fixedLeft}, {fixedBack, fixedRight}, {movingBack, movingLeft}, {movingBack, movingRight},
}

// findEdges brackets the edges under the present pose.
func (f *fit) findEdges() {
	old := f.groups
	f.edges, f.groups = nil, nil
	for _, c := range carried {
		for scan, b := range f.brackets(c.carrier, c.target, true) {
			if e, ok := b.edge(); ok {
				e.carrier, e.target, e.scan = c.carrier, c.target, int32(scan)
				e.at = f.measured(e.at, e.scan)
				f.join(e, b.gap(), old)
			}
		}
	}
}

// join puts the edge in its group.
func (f *fit) join(e edge, gap float64, old []edgeGroup) {
	g := edgeGroup{carrier: kind(e.carrier), axis: axisOf(faces[e.target].normal), scan: e.scan, gap: gap}
	for k := range f.groups {
		if f.groups[k].same(g) {
			e.group = int32(k)
			f.groups[k].gap = max(f.groups[k].gap, g.gap)
			f.edges = append(f.edges, e)
			return
		}
	}
	for k := range old {
		if old[k].same(g) {
			g.bias = old[k].bias
		}
	}
	e.group = int32(len(f.groups))
	f.groups = append(f.groups, g)
	f.edges = append(f.edges, e)
}

func (g edgeGroup) same(h edgeGroup) bool {
	return g.carrier == h.carrier && g.axis == h.axis && g.scan == h.scan
}

// kind is the fixed jaw's face of the same sort: both tops see the same rays.
func kind(f face) face { return f % movingFace }

func axisOf(n r3.Vec) int {
	switch {
	case n.X != 0:
		return 0
	case n.Y != 0:
		return 1
	}
	return 2
}

// measured takes a point of the jaw frame to where the sweep would measure it,
// in the fit's frame.
func (f *fit) measured(q r3.Vec, scan int32) r3.Vec {
	at := r3.Sub(f.pose.Apply(q), f.centre)
	return r3.Add(at, f.shift(&point{at: at, scan: scan}))
}

// edgeBlock is the edge as a point of the target face's plane. While the sizes
// still settle a stray counts less the further off it is; then it is left out.
func (f *fit) edgeBlock(e *edge) *block {
	b := &block{face: e.target, scan: e.scan, group: e.group, waver: noWaver}
	g, _ := f.residual(b)
	off := math.Abs(dot(g, [4]float64{1, e.at.X, e.at.Y, e.at.Z}))
	sigmas := off / math.Hypot(e.sigma, ownTrim*f.groups[e.group].gap)
	weight := 1 / max(1, sigmas*sigmas/(strayEdge*strayEdge))
	if f.strict {
		weight = bisquare(sigmas / (2 * strayEdge))
	}
	b.add(e.at, weight/(e.sigma*e.sigma))
	return b
}
