package solid

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// halfspaces is a convex body as the planes that bound it, normals outward. Its
// growing is exact: every plane moves, and a plane that supports the body still
// supports it afterwards.
type halfspaces []geom.Plane

// contains tells whether p lies behind every plane moved outward by margin.
func (h halfspaces) contains(p r3.Vec, margin float64) bool {
	for _, pl := range h {
		if pl.Distance(p) > margin+Resolution {
			return false
		}
	}
	return true
}

// holds does so for the corner of b that lies furthest out along each normal.
func (h halfspaces) holds(b geom.Bounds, margin float64) bool {
	for _, pl := range h {
		if pl.Distance(furthest(b, pl.Normal)) > margin+Resolution {
			return false
		}
	}
	return true
}

// corners of the body grown by margin > 0, which holds the point inside. The
// facets of the hull of the planes' poles about that point are the corners
// (polar duality: Preparata and Shamos, Computational Geometry, 7.2). On the
// lattice of the poles two corners closer than about a millionth of the body's
// size become one, and a plane that cuts off less than that is passed over,
// which can only enlarge the body.
func (h halfspaces) corners(inside r3.Vec, margin float64) []r3.Vec {
	poles := make([]r3.Vec, len(h))
	reach := 0.0
	for i, pl := range h {
		poles[i] = r3.Scale(1/(margin-pl.Distance(inside)), pl.Normal)
		reach = max(reach, r3.Norm(poles[i]))
	}
	scale := latticeLimit / 2 / reach
	of := make(map[node]r3.Vec, len(h))
	var nodes []node
	for _, p := range poles {
		q := rounded(r3.Scale(scale, p))
		n := node{int64(q.X), int64(q.Y), int64(q.Z)}
		if _, ok := of[n]; !ok {
			of[n] = p
			nodes = append(nodes, n)
		}
	}
	t := thinHull(nodes)
	out := make([]r3.Vec, len(t.faces))
	for i, f := range t.faces {
		out[i] = r3.Add(inside, meet(of[t.corners[f[0]]], of[t.corners[f[1]]], of[t.corners[f[2]]]))
	}
	return out
}

// meet is the point x with a.x = b.x = c.x = 1.
func meet(a, b, c r3.Vec) r3.Vec {
	bc := r3.Cross(b, c)
	sum := r3.Add(bc, r3.Add(r3.Cross(c, a), r3.Cross(a, b)))
	return r3.Scale(1/r3.Dot(a, bc), sum)
}
