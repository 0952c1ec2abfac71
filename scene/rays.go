package scene

import (
	"math"
	"slices"

	"cellwall/mapping"
	"cellwall/mapping/geom"
	"cellwall/scene/outline"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// ray is a line of sight: everything between the eye and the point was clear.
type ray struct{ eye, point r3.Vec }

// mostRays is how many lines of sight the depth of a slab is held against. A
// hand's width of clear space behind a plate is crossed by hundreds of them.
const mostRays = 50_000

// someRays takes an even choice of the cloud's lines of sight.
func someRays(cloud *mapping.Cloud) []ray {
	every := 1 + len(cloud.Voxels)/mostRays
	var out []ray
	for i := 0; i < len(cloud.Voxels); i += every {
		v := &cloud.Voxels[i]
		out = append(out, ray{v.Eye(), v.Mean})
	}
	return out
}

const (
	// A ray that passes nearer to the outline's rim says nothing: the rim is
	// known to about a voxel, mm.
	rim = 20
	// One ray may be a stray point's; this many agree on clear space.
	witnesses = 3
)

// mostThrough is how many lines of sight tell which gaps of a face are open.
const mostThrough = 400

// through are the places, in the plane of frame, where lines of sight went
// through the convex hull of ring: from further than skin on one side to further
// than skin on the other.
func (b *builder) through(frame geom.Pose, ring outline.Ring, skin float64) []r2.Vec {
	toPlane := frame.Inverse()
	n, at := frame.R.Axis(2), r3.Dot(frame.R.Axis(2), frame.T)
	hull := outline.Hull(ring, 0)
	sides := hull.Sides()
	var out []r2.Vec
	for _, r := range b.rays {
		e, p := r3.Dot(n, r.eye)-at, r3.Dot(n, r.point)-at
		if min(e, p) > -skin || max(e, p) < skin {
			continue
		}
		q := toPlane.Apply(r3.Add(r.eye, r3.Scale(e/(e-p), r3.Sub(r.point, r.eye))))
		c := r2.Vec{X: q.X, Y: q.Y}
		if !slices.ContainsFunc(sides, func(l outline.Line) bool { return l.Distance(c) > 0 }) {
			out = append(out, c)
		}
	}
	every := 1 + len(out)/mostThrough
	kept := out[:0]
	for i := 0; i < len(out); i += every {
		kept = append(kept, out[i])
	}
	return kept
}

// clearBehind is how deep behind the plane of frame (Z along its normal) the
// piece may reach before it enters space that rays crossed, at most depth.
// Depths up to skin are the plane's own noise.
func (b *builder) clearBehind(frame geom.Pose, piece outline.Ring, depth, skin float64) float64 {
	toPlane := frame.Inverse()
	n, at := frame.R.Axis(2), r3.Dot(frame.R.Axis(2), frame.T)
	sides := piece.Sides()
	for i := range sides {
		sides[i].Offset -= rim
	}
	var crossed []float64
	for _, r := range b.rays {
		if r3.Dot(n, r.eye)-at > -skin && r3.Dot(n, r.point)-at > -skin {
			continue // all in front
		}
		if d, ok := enters(toPlane.Apply(r.eye), toPlane.Apply(r.point), sides, skin); ok && d < depth {
			crossed = append(crossed, d)
		}
	}
	if len(crossed) < witnesses {
		return depth
	}
	slices.Sort(crossed)
	return crossed[witnesses-1]
}

// enters is the least depth below z = -skin that the segment p-q has within the
// sides.
func enters(p, q r3.Vec, sides []outline.Line, skin float64) (depth float64, ok bool) {
	from, to := 0.0, 1.0
	cut := func(dp, dq float64) { // keeps where the distance, linear from dp to dq, is not positive
		switch {
		case dp > 0 && dq > 0:
			from, to = 1, 0
		case dp > 0:
			from = max(from, dp/(dp-dq))
		case dq > 0:
			to = min(to, dp/(dp-dq))
		}
	}
	cut(p.Z+skin, q.Z+skin)
	for _, l := range sides {
		cut(l.Distance(r2.Vec{X: p.X, Y: p.Y}), l.Distance(r2.Vec{X: q.X, Y: q.Y}))
		if from >= to {
			return 0, false
		}
	}
	z := func(t float64) float64 { return p.Z + t*(q.Z-p.Z) }
	return math.Min(-z(from), -z(to)), from < to
}
