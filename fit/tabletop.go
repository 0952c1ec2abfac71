package fit

import (
	"math"

	"cellwall/mapping/geom"
	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// tabletop is the rectangle of a level top, as far as it was seen.
type tabletop struct {
	pieces    []int
	top       bound
	frame     geom.Pose // of the sheet: X along the long side, Z up
	turnSigma float64   // of the frame about the top's normal, rad
	turnLeft  float64   // by how much the last round still turned it, rad
	askew     bool      // what was seen of its rim may as well run quite another way
	sheet     *sheet
	extent    rect
	ends      [4]tableEnd // -X, +X, -Y, +Y
}

// tableEnd is where a top ends on one side, and how that end is turned against the
// frame: by a face of the board, rad, with turnSigma 0 where none was seen, or by
// lean.
type tableEnd struct {
	bound
	turn, turnSigma float64
	lean            *lean
	seen, straight  bool
	loose           bool    // no stretch of it was seen from both sides
	from, to        float64 // where it may lie, along its way out from the frame's origin
}

// layOut finds the rectangle of a top: first the one about what was seen that its rim
// speaks least against, then its ends, turning the frame to them.
func (s *survey) layOut(group []int) tabletop {
	t := tabletop{pieces: group, top: s.fused(group)}
	corners := s.corners(group)
	level := t.top.Frame(t.top.Centre)
	points := pointsIn(level, corners)
	r, sure := s.around(level, points, group).unaskew(points)
	t.frame, t.askew = longAlongX(level, r), !sure
	for range layOutRounds {
		s.readEnds(&t, corners)
		t.turnToEnds()
	}
	s.settleEnds(&t)
	if along, across := t.size(0), t.size(1); across.lo+across.hi > along.lo+along.hi {
		t.frame = longAlongX(t.frame, flat.Rectangle{U: r2.Vec{Y: 1}, Size: r2.Vec{X: 1}})
		s.readEnds(&t, corners)
		s.settleEnds(&t)
	}
	return t
}

// readEnds finds the ends of a top in its frame.
func (s *survey) readEnds(t *tabletop, corners []r3.Vec) {
	t.extent = projectOn(t.frame, corners)
	t.sheet = s.newSheet(t.frame, t.extent.grown(bracketReach), t.pieces)
	for e := range t.ends {
		t.ends[e] = s.tableEnd(t, e)
	}
}

// layOutRounds is how often the ends are read: the least rectangle may be off by
// a few degrees, after one round by a hundredth of that.
const layOutRounds = 3

// turnToEnds turns the frame by what its ends say.
func (t *tabletop) turnToEnds() {
	turn, sigma := turnOf(turnsOf(t.ends[:]))
	t.frame.R = geom.Exp(r3.Scale(turn, t.frame.R.Axis(2))).Mul(t.frame.R)
	t.turnSigma, t.turnLeft = sigma, turn
}

// core is what of the rectangle is certainly the top's, whatever its turn: the
// outline of what was seen runs along its voxels, up to a square outside, and rays
// that pass beside one end are none that pass another.
func (t *tabletop) core() rect { return t.extent.grown(-2 * rasterPitch) }

// outward is the direction of end e.
func (t *tabletop) outward(e int) r3.Vec {
	return r3.Scale(float64(2*(e%2)-1), t.frame.R.Axis(e/2))
}

// tableEnd is end e: the face of the board's edge, else the border as the rays
// show it along a stretch of it; where that shows none it is loose.
func (s *survey) tableEnd(t *tabletop, e int) tableEnd {
	if end, ok := s.boardEdge(t, e); ok {
		return end
	}
	q := t.endSearch(e)
	read := t.sheet.rows(q)
	end := tableEnd{lean: q.leanOf(read), loose: true}
	b, ok := t.sheet.borderOf(q, read)
	if ok && b.closed && b.open && b.straight {
		end.bound, end.seen, end.straight, end.loose = t.endAt(e, b.at, b.sigma), true, true, false
	}
	return end
}

// endSearch looks for end e.
func (t *tabletop) endSearch(e int) search {
	a, out := e/2, float64(2*(e%2)-1)
	return search{
		axis: a, solid: -out, guess: t.extent.edge(a, e%2), reach: borderReach,
		from: t.core().lo[1-a], to: t.core().hi[1-a], board: true,
	}
}

// endAt is the bound of end e at a place along its axis of the frame.
func (t *tabletop) endAt(e int, along, sigma float64) bound {
	a := e / 2
	var at [2]float64
	at[a], at[1-a] = along, (t.extent.lo[1-a]+t.extent.hi[1-a])/2
	return edgeBound(t.outward(e), t.frame.Apply(r3.Vec{X: at[0], Y: at[1]}), sigma)
}

// A board's edge is a face that reaches up to its top and runs along a good part
// of the end; boardTop is how far below the top a rounded edge may begin, mm.
const (
	boardTop   = 20
	boardShare = 0.3
)

// boardEdge is the upright face of the board at end e.
func (s *survey) boardEdge(t *tabletop, e int) (tableEnd, bool) {
	a, out := e/2, t.outward(e)
	var middle [2]float64
	middle[a], middle[1-a] = t.extent.edge(a, e%2), (t.extent.lo[1-a]+t.extent.hi[1-a])/2
	mid := t.frame.Apply(r3.Vec{X: middle[0], Y: middle[1]})
	for _, i := range s.everyPlane(out) {
		f := &s.surfaces[i]
		_, up := span(f.Outline, t.frame.R.Axis(2))
		r := projectOn(t.frame, f.Outline)
		b := 1 - a
		along := min(r.hi[b], t.extent.hi[b]) - max(r.lo[b], t.extent.lo[b])
		if math.Abs(up-r3.Dot(t.frame.T, t.frame.R.Axis(2))) > boardTop ||
			math.Abs(crossing(f.Plane, mid, out)) > borderReach/2 || along < boardShare*t.extent.size(b) {
			continue
		}
		return tableEnd{
			bound:     boundOf(f),
			turn:      r3.Dot(r3.Cross(out, f.Plane.Normal), t.frame.R.Axis(2)),
			turnSigma: math.Hypot(math.Sqrt(f.Cov[2][2]), formSigma/along), // about the upright axis
			seen:      true,
			straight:  true,
		}, true
	}
	return tableEnd{}, false
}

// longAlongX turns a level frame to the rectangle: origin at its centre, X along
// its long side toward the base's +X.
func longAlongX(level geom.Pose, r flat.Rectangle) geom.Pose {
	u := r.U
	if r.Size.Y > r.Size.X {
		u = r2.Vec{X: -u.Y, Y: u.X}
	}
	x := level.R.Apply(r3.Vec{X: u.X, Y: u.Y})
	if x.X < 0 {
		x = r3.Scale(-1, x)
	}
	z := level.R.Axis(2)
	return geom.Pose{R: geom.RotFromAxes(x, r3.Cross(z, x), z), T: level.Apply(r3.Vec{X: r.Centre.X, Y: r.Centre.Y})}
}
