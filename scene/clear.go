package scene

import (
	"math"

	"cellwall/mapping/geom"
	"cellwall/scene/outline"
	"cellwall/scene/solid"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// The states of space, where they are known, say of whole voxels what the lines
// of sight in builder.rays say of single lines: that nothing stands there.

// clearAcross are the places, in the plane of frame, of the clear voxels that
// the plane cuts within the convex hull of ring.
func (b *builder) clearAcross(frame geom.Pose, ring outline.Ring) []r2.Vec {
	var out []r2.Vec
	b.clearVoxels(frame, outline.Hull(ring, 0), 0, func(q r3.Vec, half float64) {
		if math.Abs(q.Z) < half {
			out = append(out, r2.Vec{X: q.X, Y: q.Y})
		}
	})
	return out
}

// beforeClear is how deep behind the plane of frame the piece may reach before
// it meets a clear voxel, at most depth. One that the plane cuts speaks of the
// plane's outline, not of what is behind it.
func (b *builder) beforeClear(frame geom.Pose, piece outline.Ring, depth float64) float64 {
	b.clearVoxels(frame, piece, depth, func(q r3.Vec, half float64) {
		if near := -q.Z - half; near > 0 {
			depth = min(depth, near)
		}
	})
	return depth
}

// clearVoxels visits the clear voxels whose middles, q in frame, lie over the
// ring's inside, and that reach between its plane and depth behind it. half is
// how far a voxel reaches along the plane's normal from its middle.
func (b *builder) clearVoxels(frame geom.Pose, ring outline.Ring, depth float64, visit func(q r3.Vec, half float64)) {
	if b.states == nil || len(ring) < 3 {
		return
	}
	l, n, toPlane := b.states.Lattice, frame.R.Axis(2), frame.Inverse()
	half := l.Edge / 2 * (math.Abs(n.X) + math.Abs(n.Y) + math.Abs(n.Z))
	around := geom.NoBounds()
	for _, p := range ring {
		around.Extend(frame.Apply(r3.Vec{X: p.X, Y: p.Y, Z: half}))
		around.Extend(frame.Apply(r3.Vec{X: p.X, Y: p.Y, Z: -depth - half}))
	}
	sides := ring.Sides()
	b.states.Within(around, space.Clear, func(c [3]int) {
		q := toPlane.Apply(l.Centre(c))
		if q.Z > half || q.Z < -depth-half {
			return
		}
		for _, s := range sides {
			if s.Distance(r2.Vec{X: q.X, Y: q.Y}) > 0 {
				return
			}
		}
		visit(q, half)
	})
}

// mostSwallowed is the share of a solid round loose voxels that may be clear
// space; of more it is split, where it can be.
const mostSwallowed = 0.05

// swallows tells whether the solid takes too much clear space.
func (b *builder) swallows(s solid.Solid) bool {
	if b.states == nil {
		return false
	}
	return b.states.ClearIn([]space.Body{s}, 0) > mostSwallowed*s.Volume()
}

// clearTaken is how much clear space the solids take, grown by margin, m^3; 0
// where the states are not known.
func (b *builder) clearTaken(solids []solid.Solid) float64 {
	if b.states == nil {
		return 0
	}
	bodies := make([]space.Body, len(solids))
	for i, s := range solids {
		bodies[i] = s
	}
	const perMetre = 1e9 // mm^3 in a m^3
	return b.states.ClearIn(bodies, b.margin) / perMetre
}
