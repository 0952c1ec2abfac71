package sight

import (
	"math"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Sweep follows the arm: what its capsules filled was clear. It keeps its memory
// from use to use.
type Sweep struct {
	stood []arm.Capsule // where it was last filled in
	now   []arm.Capsule
}

// Reset forgets where the arm stood.
func (s *Sweep) Reset() { s.stood = s.stood[:0] }

// filled is the share of its capsule's radius that a link surely fills: one of
// square section fills a capsule round it to 1/sqrt(2). Capsules are made to hold
// the arm, so the rest may be air, or what stands beside.
const filled = math.Sqrt2 / 2

// Stand marks the cubes that lie wholly within the links, less slack mm for what
// is not known of where they were. Nothing is filled in while no capsule has moved
// by half a cube.
func (s *Sweep) Stand(g *Grid, body *arm.Body, slack float64) {
	s.now = body.Capsules(s.now)
	if !s.moved(g.lattice.Edge / 2) {
		return
	}
	for _, c := range s.now {
		c.Radius = filled*c.Radius - slack - g.lattice.HalfDiagonal()
		if c.Radius > 0 {
			g.crossed.FillCapsule(g.lattice, c, g.lowest(c))
		}
	}
	s.stood, s.now = s.now, s.stood
}

func (s *Sweep) moved(by float64) bool {
	if len(s.stood) != len(s.now) {
		return true
	}
	for i, a := range s.stood {
		b := s.now[i]
		if max(r3.Norm2(r3.Sub(a.From, b.From)), r3.Norm2(r3.Sub(a.To, b.To))) > by*by {
			return true
		}
	}
	return false
}

// lowest is the first layer of cubes that may be marked for a capsule. Round
// ends of what stands on the base or turns on it reach into the mounting
// surface, at Z = 0, which the arm itself does not.
func (g *Grid) lowest(c arm.Capsule) int {
	if c.Frame > 1 {
		return 0
	}
	return max(0, int(math.Ceil(-g.lattice.Origin.Z/g.lattice.Edge)))
}

// FillCapsule sets the lattice's cubes, from layer lowest along Z on, whose
// centres lie in the capsule, row by row.
func (b Bits) FillCapsule(l Lattice, c arm.Capsule, lowest int) {
	r := r3.Vec{X: c.Radius, Y: c.Radius, Z: c.Radius}
	lo, hi := l.Span(geom.Bounds{Min: r3.Sub(lower(c.From, c.To), r), Max: r3.Add(upper(c.From, c.To), r)})
	for z := max(lo[2], lowest); z <= hi[2]; z++ {
		for y := lo[1]; y <= hi[1]; y++ {
			from, to := along(c, l.Centre([3]int{0, y, z}))
			if from > to {
				continue
			}
			first, last := max(lo[0], int(math.Ceil(from/l.Edge))), min(hi[0], int(math.Floor(to/l.Edge)))
			if first <= last {
				b.Fill(first, last, y, z)
			}
		}
	}
}

func lower(a, b r3.Vec) r3.Vec { return r3.Vec{X: min(a.X, b.X), Y: min(a.Y, b.Y), Z: min(a.Z, b.Z)} }
func upper(a, b r3.Vec) r3.Vec { return r3.Vec{X: max(a.X, b.X), Y: max(a.Y, b.Y), Z: max(a.Z, b.Z)} }

// along is the part of the line from p along X that lies in the capsule, mm from
// p; from exceeds to where none does. The capsule is convex, so the part is what
// lies between the first and the last of its two balls' parts and its mantle's.
func along(c arm.Capsule, p r3.Vec) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	take := func(a, b float64) {
		if a <= b {
			from, to = min(from, a), max(to, b)
		}
	}
	for _, ball := range [2]r3.Vec{c.From, c.To} {
		d := r3.Sub(ball, p)
		if h := c.Radius*c.Radius - d.Y*d.Y - d.Z*d.Z; h >= 0 {
			h = math.Sqrt(h)
			take(d.X-h, d.X+h)
		}
	}
	take(mantle(c, p))
	return from, to
}

// mantle is that of the round bar between the capsule's two ends.
func mantle(c arm.Capsule, p r3.Vec) (from, to float64) {
	d := r3.Sub(c.To, c.From)
	long := math.Sqrt(r3.Norm2(d))
	if long == 0 {
		return 1, 0
	}
	u, e := r3.Scale(1/long, d), r3.Sub(p, c.From)
	s := r3.Dot(e, u)
	// |e + x X - (s + x ux) u|^2 <= r^2
	qa, qb, qc := 1-u.X*u.X, e.X-s*u.X, r3.Norm2(e)-s*s-c.Radius*c.Radius
	from, to = math.Inf(-1), math.Inf(1)
	if qa > 1e-12 {
		disc := qb*qb - qa*qc
		if disc < 0 {
			return 1, 0
		}
		root := math.Sqrt(disc)
		from, to = (-qb-root)/qa, (-qb+root)/qa
	} else if qc > 0 {
		return 1, 0
	}
	if u.X != 0 {
		a, b := -s/u.X, (long-s)/u.X
		from, to = max(from, min(a, b)), min(to, max(a, b))
	} else if s < 0 || s > long {
		return 1, 0
	}
	return from, to
}
