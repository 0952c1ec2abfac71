package mapping

import (
	"math"

	"cellwall/mapping/arm"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"
	"cellwall/mapping/motion"

	"gonum.org/v1/gonum/spatial/r3"
)

// growSigmas is by how many deviations of the noise, and of the arm's accuracy,
// the arm's own volume is grown, so that what the scanner saw of the arm does
// not stay in the cloud as a shell: one point in 30 000 lies beyond.
const growSigmas = 4

// placer puts points of one scan into the base frame and tells which of them to
// drop. It belongs to one piece.
type placer struct {
	cell   *cell.Cell
	cursor *motion.Cursor // nil for a still scan
	beside *motion.Cursor // looks about while cursor stays

	limits       [2]float64 // least and greatest range, mm
	baseFromScan geom.Pose  // now
	body         arm.Body
	bodySlack    float64 // by how much the arm's accuracy grows its own volume, mm
	ignored      []box
}

// box is an ignored box with its pose turned round once.
type box struct {
	boxFromBase geom.Pose
	half        r3.Vec
}

func newPlacer(s *scan) *placer {
	p := &placer{cell: s.cell}
	if !s.loose {
		p.ignored = make([]box, 0, len(s.cell.Ignore))
		for _, i := range s.cell.Ignore {
			p.ignored = append(p.ignored, box{i.Box.Pose.Inverse(), r3.Scale(0.5, i.Box.Size)})
		}
	}
	if s.cell.Robot != nil {
		p.bodySlack = growSigmas * s.cell.Robot.PoseSigma
	}
	if s.track == nil {
		p.baseFromScan = s.pose
		p.limits = [2]float64{0, math.Inf(1)} // what cell.yaml gives is the wrist scanner's
	} else {
		p.cursor, p.beside = s.track.Cursor(), s.track.Cursor()
		p.limits = s.cell.Scanner.Range
	}
	return p
}

// moveTo sets the arm to where it was at instant t; ok is false where the motion
// says nothing of t. A pose stream does not tell where the arm's links were, so
// only what the flange carries is then known as its own.
func (p *placer) moveTo(t float64) (ok bool) {
	baseFromFlange, q, ok := p.cursor.At(t)
	if !ok {
		return false
	}
	p.baseFromScan = baseFromFlange.Mul(p.cell.Scanner.FlangeFromScanner)
	switch robot := p.cell.Robot; {
	case q != nil:
		p.body = robot.Body(p.cursor.Frames(), p.body)
	case robot != nil:
		p.body = robot.Hand(baseFromFlange, p.body)
	}
	return true
}

// moved is by what the scanner moves, base frame, from where it is now to where
// it is at instant t; ok is false where the motion says nothing of t.
func (p *placer) moved(t float64) (move geom.Pose, ok bool) {
	baseFromFlange, _, ok := p.beside.At(t)
	if !ok {
		return move, false
	}
	return baseFromFlange.Mul(p.cell.Scanner.FlangeFromScanner).Mul(p.baseFromScan.Inverse()), true
}

// drop tells why the point at (base, mm), seen from range r, is not to be used;
// drop is false where nothing speaks against it. sigma is the noise along the
// ray there, mm.
func (p *placer) drop(at r3.Vec, r, sigma float64) (why Reason, drop bool) {
	switch {
	case !(r > 0 && r >= p.limits[0] && r <= p.limits[1]) || !near(at):
		return OutOfRange, true
	case p.ignores(at):
		return Ignored, true
	case p.body.Holds(at, p.bodySlack+growSigmas*sigma):
		return RobotItself, true
	}
	return 0, false
}

// near tells whether p lies within farthest of the base.
func near(p r3.Vec) bool {
	return math.Abs(p.X) < farthest && math.Abs(p.Y) < farthest && math.Abs(p.Z) < farthest
}

func (p *placer) ignores(at r3.Vec) bool {
	for i := range p.ignored {
		b := &p.ignored[i]
		q := b.boxFromBase.Apply(at)
		if math.Abs(q.X) <= b.half.X && math.Abs(q.Y) <= b.half.Y && math.Abs(q.Z) <= b.half.Z {
			return true
		}
	}
	return false
}
