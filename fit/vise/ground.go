package vise

import "math"

// What lies level between the jaws, a part or the vise's bed, meets a jaw's face,
// and there a line of the scan may run along it nearer to the face than the face
// is known. A point no higher than what lies before the face is of that, not of
// the face.
const (
	groundStrip = 10.0 // mm along the jaw: a part may be narrower than it
	groundReach = 16.0 // mm before the face: four lines of a close pass
	leastHeight = 3    // points that make a height: a median needs three
)

// ground is how high what lies before a jaw's face is, strip by strip along the
// jaw from the place from on; -Inf where nothing was seen.
type ground struct {
	from    float64
	heights []float64
}

// ground reads the heights before face k, from near mm on to the middle of the gap.
func (f *fit) ground(k face, near float64) ground {
	lo, hi := f.extent(k)
	g := ground{lo.X, make([]float64, int((hi.X-lo.X)/groundStrip)+1)}
	far := min(groundReach, f.size[opening]/2)
	points := make([][]float64, len(g.heights))
	for i, q := range f.seen {
		before := faces[k].normal.Y*q.Y - f.offset(k)
		if s := g.strip(q.X); s >= 0 && q.Z < 0 && before > near && before < far && f.points[i].blur == 0 {
			points[s] = append(points[s], q.Z)
		}
	}
	for s, z := range points {
		g.heights[s] = math.Inf(-1)
		if len(z) >= leastHeight {
			g.heights[s] = median(z)
		}
	}
	return g
}

// strip at x, -1 beside the jaw.
func (g *ground) strip(x float64) int {
	if s := int(math.Floor((x - g.from) / groundStrip)); s < len(g.heights) {
		return s
	}
	return -1
}

// at is the height at x.
func (g *ground) at(x float64) float64 {
	if s := g.strip(x); s >= 0 {
		return g.heights[s]
	}
	return math.Inf(-1)
}
