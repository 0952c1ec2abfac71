package mapping

import (
	"context"
	"math"
	"slices"

	"cellwall/mapping/cell"
	"cellwall/mapping/motion"

	"gonum.org/v1/gonum/spatial/r3"
)

// Raw is what the moving scans measured before it is placed: an even choice of
// the points that Merge's filters of single points leave.
type Raw struct {
	Scans []RawScan // those that the robot moved, in the order of cell.yaml
	Noise Noise
}

// RawScan is one moving scan.
type RawScan struct {
	Name  string
	Track *motion.Track
	Lines []Line // in the order of time
}

// Line is one laser line, of which all points have one stamp.
type Line struct {
	Stamp  float64  // s, as the file has it
	Points []r3.Vec // scanner's frame, mm
}

// ReadLines reads the cell's moving scans as Merge does, with the same filters
// and the same errors, and keeps some most points of each, chosen evenly among
// what the scanner saw: the same whatever the number of cores.
func ReadLines(ctx context.Context, c *cell.Cell, most int, progress func(done, total int64)) (*Raw, error) {
	watch := newWatch(c, progress)
	var moving []int
	for i := range c.Scans {
		if c.Scans[i].Moving() {
			moving = append(moving, i)
		}
	}
	scans, err := eachScan(ctx, len(moving), func(ctx context.Context, k int) (*scan, error) {
		s, err := openScan(c, &c.Scans[moving[k]], nil)
		if err != nil {
			return nil, err
		}
		defer s.close()
		s.choice = &choice{most: most, limit: math.MaxUint32}
		if err := s.read(ctx, watch.of(moving[k])); err != nil {
			return nil, err
		}
		return s, s.judge()
	})
	if err != nil {
		return nil, err
	}
	noise, err := estimateNoise(c, scans)
	if err != nil {
		return nil, err
	}
	raw := &Raw{Noise: noise}
	for _, s := range scans {
		raw.Scans = append(raw.Scans, RawScan{s.spec.Name, s.track, s.choice.lines()})
	}
	return raw, nil
}

// stamped is a point as the scanner measured it.
type stamped struct {
	t   float64
	p   r3.Vec
	lot uint32
}

// choice keeps the points that drew the lowest lots, most of them or up to
// twice as many.
type choice struct {
	most  int
	limit uint32 // points whose lot lies above are not kept
	kept  []stamped
}

// take chooses among the next points.
func (c *choice) take(points []stamped) {
	for _, p := range points {
		if p.lot <= c.limit {
			c.kept = append(c.kept, p)
		}
	}
	for len(c.kept) > 2*c.most {
		c.limit /= 2
		c.kept = slices.DeleteFunc(c.kept, func(p stamped) bool { return p.lot > c.limit })
	}
}

// lines puts the points that share a stamp and follow each other into lines.
func (c *choice) lines() []Line {
	var out []Line
	for _, p := range c.kept {
		if n := len(out); n == 0 || out[n-1].Stamp != p.t {
			out = append(out, Line{Stamp: p.t})
		}
		l := &out[len(out)-1]
		l.Points = append(l.Points, p.p)
	}
	c.kept = nil
	return out
}
