package reach

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// travel bounds how a capsule's core moves over a stretch of a move, seen from
// the frame of the link that it is held against.
type travel struct {
	way  float64   // no point of the core goes further from where it is at mid-stretch, mm
	bend float64   // nor does its velocity change faster, mm per unit of the move squared
	rate [2]r3.Vec // velocity of the two ends at mid-stretch, mm per unit of the move
	ends [2]r3.Vec // where they are
}

// travel of capsule k at the posture p in the middle of a stretch of the half
// length half, while the joints turn at rates turn (rad per unit of the move),
// all at once and evenly. Only joints beyond frame from count.
//
// A point at distance rho from a joint's axis moves by rho times the turn. That
// distance changes only by joints further out, by no more than what those move
// the point: so the radii are bounded from the flange inward. The second
// derivative of a point's place is a sum over pairs of joints i <= j of products
// of their rates and the radius about j, as differentiating
// v = sum rate_j axis_j x (p - o_j) shows.
func (c *Checker) travel(p *posture, k, from int, turn []float64, half float64) travel {
	capsule := p.capsules[k]
	t := travel{ends: [2]r3.Vec{capsule.From, capsule.To}}
	inner := 0.0 // rates of the joints inward of the one at hand
	for i := from; i < c.arm.Capsules[k].Frame; i++ {
		inner += math.Abs(turn[i])
	}
	for i := c.arm.Capsules[k].Frame - 1; i >= from; i-- {
		axis, radius := p.axes[i], 0.0
		for e, end := range t.ends {
			v := r3.Cross(axis.Along, r3.Sub(end, axis.Point))
			radius = max(radius, r3.Norm(v))
			t.rate[e] = r3.Add(t.rate[e], r3.Scale(turn[i], v))
		}
		radius += t.way
		w := math.Abs(turn[i])
		inner -= w
		t.bend += radius * w * (w + 2*inner)
		t.way += radius * w * half
	}
	return t
}

// nearing is the most by which the core may come nearer to what stands still in
// the direction n over half a stretch.
func (t *travel) nearing(n r3.Vec, half float64) [2]float64 {
	var out [2]float64
	for e := range out {
		out[e] = math.Abs(r3.Dot(n, t.rate[e]))*half + t.bend*half*half/2
	}
	return out
}
