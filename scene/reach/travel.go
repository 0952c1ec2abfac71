package reach

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// mostCorners is how many a piece has at most: a box's.
const mostCorners = 8

// travel bounds how a piece's core moves over a stretch of a move, seen from
// the frame of the link that it is held against.
type travel struct {
	way  float64             // no point of the core goes further from where it is at mid-stretch, mm
	bend float64             // nor does its velocity change faster, mm per unit of the move squared
	rate [mostCorners]r3.Vec // velocity of the corners at mid-stretch, mm per unit of the move
}

// travel of piece k at the posture p in the middle of a stretch of the half
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
	var t travel
	frame, corners := c.pieces[k].frame, p.pieces[k].corners
	inner := 0.0 // rates of the joints inward of the one at hand
	for i := from; i < frame; i++ {
		inner += math.Abs(turn[i])
	}
	for i := frame - 1; i >= from; i-- {
		axis, radius := p.axes[i], 0.0
		for e, end := range corners {
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

// nearing is the most by which corner e may come nearer to what stands still in
// the direction n over half a stretch.
func (t *travel) nearing(e int, n r3.Vec, half float64) float64 {
	return math.Abs(r3.Dot(n, t.rate[e]))*half + t.bend*half*half/2
}
