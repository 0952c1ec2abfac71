package reach

import (
	"context"

	"cellwall/mapping/cores"
	"cellwall/scene/outline"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// View is the plane that something is drawn in: right and up on the sheet, unit
// vectors of base.
type View struct{ Right, Up r3.Vec }

func (v View) flat(p r3.Vec) r2.Vec { return r2.Vec{X: r3.Dot(v.Right, p), Y: r3.Dot(v.Up, p)} }

const (
	// sweptCell, mm, is the side of the cells that a swept outline is made of.
	sweptCell = 10.0
	// sweptStep, mm, is how far a piece travels from the posture that stands for a
	// stretch of a move. It is drawn that much fatter, so nothing is left out.
	sweptStep = 10.0
)

// Swept is the border of all that the arm sweeps on the moves, seen in each view,
// mm of base.
func (c *Checker) Swept(ctx context.Context, moves []Move, views []View) ([][]outline.Ring, error) {
	far := c.far()
	for _, m := range moves {
		far = max(far, m.by.far())
	}
	parts := make([][]*outline.Cells, shares)
	cores.Until(ctx, shares, func(i int) {
		parts[i] = cells(views, far)
		for _, m := range moves[i*len(moves)/shares : (i+1)*len(moves)/shares] {
			if ctx.Err() != nil {
				return
			}
			m.by.sweptBy(m.way, views, parts[i])
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	out := make([][]outline.Ring, len(views))
	for v := range views {
		all := parts[0][v]
		for _, p := range parts[1:] {
			all.Add(p[v])
		}
		out[v] = all.Rings()
	}
	return out, nil
}

// far is further from base's origin than any piece can be.
func (c *Checker) far() float64 {
	far := 2 * sweptStep
	for f := range c.arm.Joints {
		far += c.spacing(f)
	}
	most := 0.0
	for i := range c.pieces {
		most = max(most, c.pieces[i].far())
	}
	return far + most
}

// cells are figures without content, with room for all within far.
func cells(views []View, far float64) []*outline.Cells {
	out := make([]*outline.Cells, len(views))
	for i := range out {
		out[i] = outline.NewCells(r2.NewBox(-far, -far, far, far), sweptCell)
	}
	return out
}

// sweptBy covers what the moving pieces sweep on a way.
func (c *Checker) sweptBy(w way, views []View, into []*outline.Cells) {
	for i := range len(w.knots) - 1 {
		s := c.sweepOf(w, i)
		for _, k := range c.moving {
			s.cover(k, 0, 1, views, into)
		}
	}
}

func (s *sweep) cover(k int, lo, hi float64, views []View, into []*outline.Cells) {
	mid, half := (lo+hi)/2, (hi-lo)/2
	s.place(mid)
	way := s.travel(&s.at, k, 0, s.turn, half).way
	if way > sweptStep {
		s.cover(k, lo, mid, views, into)
		s.cover(k, mid, hi, views, into)
		return
	}
	s.at.pieces[k].cover(way+s.slack, views, into)
}

// cover covers the piece grown by grow.
func (x *placed) cover(grow float64, views []View, into []*outline.Cells) {
	corners := make([]r2.Vec, len(x.corners))
	for i, v := range views {
		for j, p := range x.corners {
			corners[j] = v.flat(p)
		}
		into[i].Cover(corners, x.radius+grow)
	}
}

// Silhouette is the border of the arm, its base too, where the move comes nearest
// to the scene, in each view.
func (m *Move) Silhouette(views []View) [][]outline.Ring {
	into := cells(views, m.by.far())
	var p posture
	m.by.stand(&p, m.Scene.Q)
	for i := range p.pieces {
		p.pieces[i].cover(0, views, into)
	}
	out := make([][]outline.Ring, len(views))
	for i := range out {
		out[i] = into[i].Rings()
	}
	return out
}
