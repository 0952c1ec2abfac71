package reach

import (
	"fmt"
	"math"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"
	"cellwall/scene/distance"

	"gonum.org/v1/gonum/spatial/r3"
)

// piece is a convex part of the arm, or of what it holds, fixed in a frame: all
// that lies within radius of the hull of its corners. A capsule has two corners,
// a box eight and no radius.
type piece struct {
	name    string
	frame   int
	corners []r3.Vec
	radius  float64
	box     *geom.Box // nil for a capsule
}

func capsulePiece(c arm.Capsule, name string) piece {
	return piece{name: name, frame: c.Frame, corners: []r3.Vec{c.From, c.To}, radius: c.Radius}
}

func boxPiece(b geom.Box, frame int, name string) piece {
	corners := b.Corners()
	return piece{name: name, frame: frame, corners: corners[:], box: &b}
}

// linkName is how results call what frame f of an arm of n joints carries.
func linkName(f, n int) string {
	switch f {
	case 0:
		return "base"
	case n:
		return "flange"
	}
	return fmt.Sprintf("link %d", f)
}

// placed is a piece where it stands in base.
type placed struct {
	corners []r3.Vec
	radius  float64
	body    distance.Body
}

// put sets the piece out, reusing the memory of into.
func (p *piece) put(baseFromFrame geom.Pose, into *placed) {
	into.corners, into.radius = into.corners[:0], p.radius
	for _, c := range p.corners {
		into.corners = append(into.corners, baseFromFrame.Apply(c))
	}
	if p.box != nil {
		into.body = distance.NewBox(geom.Box{Pose: baseFromFrame.Mul(p.box.Pose), Size: p.box.Size})
		return
	}
	into.body = distance.Capsule{From: into.corners[0], To: into.corners[1], Radius: p.radius}
}

// far is how far the piece reaches from the origin of its frame.
func (p *piece) far() float64 {
	most := 0.0
	for _, c := range p.corners {
		most = max(most, r3.Norm(c))
	}
	return most + p.radius
}

// off is how far p lies outside of the piece, mm; within it is negative, and no
// deeper than to the nearest side.
func (x *placed) off(p r3.Vec) float64 {
	if b, ok := x.body.(*distance.Box); ok {
		return b.Off(p)
	}
	along, d := r3.Sub(x.corners[1], x.corners[0]), r3.Sub(p, x.corners[0])
	t := 0.0
	if l := r3.Norm2(along); l > 0 {
		t = min(max(r3.Dot(d, along)/l, 0), 1)
	}
	rest := r3.Sub(d, r3.Scale(t, along))
	return math.Sqrt(r3.Norm2(rest)) - x.radius // r3.Norm guards against overflow at five times the cost
}

// thin is half of the least width of the piece.
func (x *placed) thin() float64 {
	if b, ok := x.body.(*distance.Box); ok {
		return b.Thin() / 2
	}
	return x.radius
}

// ball holds the piece.
func (x *placed) ball() (centre r3.Vec, radius float64) {
	for _, c := range x.corners {
		centre = r3.Add(centre, r3.Scale(1/float64(len(x.corners)), c))
	}
	for _, c := range x.corners {
		radius = max(radius, r3.Norm(r3.Sub(c, centre)))
	}
	return centre, radius + x.radius
}
