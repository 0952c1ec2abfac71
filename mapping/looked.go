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
	g, err := sight.New(c.Robot.Reach(), c.Scene.UnseenVoxel)
	if err != nil {
		return nil, &fault.Error{File: c.Path("cell.yaml"), Where: "scene.unseen_voxel_mm", Rule: err.Error(),
			Remedy: "write a coarser voxel, or check the robot's lengths"}
	}
	return g, nil
}

// crossStill marks what the rays of a still scan crossed: from its one eye to
// just before each voxel. Its points need not come in lines, so none can vouch
// for its neighbour; but what stands alone is out of the voxels already.
func crossStill(g *sight.Grid, voxels []Voxel, noise Noise) {
	for i := range voxels {
		v := &voxels[i]
		deep := norm(r3.Sub(v.Bounds.Max, v.Bounds.Min))/2 + growSigmas*noise.Sigma(v.Range)
		if clear := v.Range - deep; clear > 0 {
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

// cross marks what the rays since the last time crossed.
func (l *looked) cross(g *sight.Grid) {
	if g != nil {
		l.line.Cross(g)
	}
	l.line.Reset()
}

// stand marks where the arm stands now.
func (l *looked) stand(g *sight.Grid, p *placer) {
	if g != nil {
		l.arm.Stand(g, &p.body, p.bodySlack)
	}
}
