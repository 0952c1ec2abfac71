package mapping

import (
	"cellwall/mapping/cell"
	"cellwall/mapping/fault"
	"cellwall/mapping/sight"

	"gonum.org/v1/gonum/spatial/r3"
)

// newSight is an empty grid over the robot's reach; nil where none is named.
func newSight(c *cell.Cell) (*sight.Grid, error) {
	if c.Robot == nil {
		return nil, nil
	}
	g, err := sight.New(c.Robot.Reach(), c.Scene.UnseenVoxel, sight.GapOf(c.Scene.LeastObstacle))
	if err == nil && c.Scanner.NothingInRange {
		g.TakeClaims()
	}
	if err != nil {
		return nil, &fault.Error{File: c.Path("cell.yaml"), Where: "scene.unseen_voxel_mm", Rule: err.Error(),
			Remedy: "write a coarser voxel, or check the robot's lengths"}
	}
	return g, nil
}

// crossStill marks what the rays of a still scan crossed: from its one eye to
// just before each voxel, or as far as those to two voxels side by side run within
// the grid's gap. Its points need not come in lines, so none can vouch for its
// neighbour; but what stands alone is out of the voxels already.
func crossStill(g *sight.Grid, voxels []Voxel, noise Noise) {
	for i := range voxels {
		v := &voxels[i]
		deep := norm(r3.Sub(v.Bounds.Max, v.Bounds.Min))/2 + growSigmas*noise.Sigma(v.Range)
		if clear := min(v.Range-deep, v.Range*g.Gap()/float64(v.Edge)); clear > 0 {
			g.Walk(v.Eye(), r3.Sub(v.Eye(), r3.Scale(clear, v.Toward)))
		}
	}
}

// looked gathers what a worker's rays and its arm passed through.
type looked struct {
	line sight.Line
	arm  sight.Sweep
}

func (l *looked) reset() {
	l.line.Reset()
	l.arm.Reset()
}

// miss takes in a ray that did not come back: it tells nothing, and neither do
// the rays beside it.
func (l *looked) miss() { l.line.Rays = append(l.line.Rays, sight.Ray{}) }

// see takes in a ray from eye to the point that lies against toward at range r,
// whatever became of the point: also one on the arm or in an ignored box had a
// clear way. Only a range that the scanner cannot measure tells nothing.
func (l *looked) see(fate Reason, eye, toward r3.Vec, r, sigma float64) {
	if fate == OutOfRange {
		l.miss()
		return
	}
	l.line.Rays = append(l.line.Rays, sight.Ray{
		Eye: eye, Along: r3.Scale(-1/r, toward), Clear: max(0, r-growSigmas*sigma),
	})
}

// claim takes in a ray that did not come back, of which cell.yaml says that then
// nothing is within the scanner's range. What stands nearer than that may give no
// return either.
func (w *worker) claim(eye, along r3.Vec) {
	least, most := w.placer.limits[0], w.placer.limits[1]
	w.looked.line.Rays = append(w.looked.line.Rays, sight.Ray{
		Eye: eye, Along: along, From: least, Clear: most - growSigmas*w.sigma.Sigma(most), Claim: true,
	})
}

// crossBetween marks what the rays since the last time crossed, where the lines
// beside theirs are those of two points of the piece.
func (w *worker) crossBetween(before, behind int) {
	if g := w.scan.sight; g != nil {
		for _, i := range [2]int{before, behind} {
			if move, ok := w.placer.moved(w.piece.stamp(i) - w.scan.cell.Scanner.Latency); ok {
				w.looked.line.Beside = append(w.looked.line.Beside, move)
			}
		}
		w.looked.line.Cross(g)
	}
	w.looked.line.Reset()
}

// crossLaps marks what the rays of a piece with a stamp a point crossed, lap by
// lap: of such points the lines beside theirs are those of a lap before and behind.
func (w *worker) crossLaps() {
	g, lap := w.scan.sight, w.piece.lap()
	rays := w.looked.line.Rays
	for from := 0; g != nil && lap > 0 && from < len(rays); from += lap {
		middle := min(from+lap/2, len(rays)-1)
		if !w.placer.moveTo(w.piece.t[middle] - w.scan.cell.Scanner.Latency) {
			continue
		}
		w.looked.line.Rays = rays[max(from-sight.Vouchers, 0):min(from+lap+sight.Vouchers, len(rays))]
		w.crossBetween(middle-lap, middle+lap)
	}
	w.looked.line.Rays = rays
	w.looked.line.Reset()
}

// stand marks where the arm stands now.
func (l *looked) stand(g *sight.Grid, p *placer) {
	if g != nil {
		l.arm.Stand(g, &p.body, p.bodySlack)
	}
}
