package mount

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"cellwall/mapping"
	"cellwall/mapping/align"
	"cellwall/mapping/cell"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// targets finds the cell's targets among the points of the scans that saw them.
type targets struct {
	cell  *cell.Cell
	raw   *mapping.Raw
	shape []align.Shape // as last found
}

func newTargets(c *cell.Cell, raw *mapping.Raw) *targets {
	return &targets{cell: c, raw: raw, shape: make([]align.Shape, len(c.Targets))}
}

// look finds every target in the points as m places them. The first time it is
// searched for, later within gate (mm) of where it was.
func (t *targets) look(m Mount, cuts []cut, gate float64, first bool) ([]align.Shape, error) {
	for i := range t.cell.Targets {
		target := &t.cell.Targets[i]
		points := t.points(m, cuts, target)
		s := &t.shape[i]
		if first && !search(target, points, s) {
			return nil, &fault.Error{File: t.cell.Path("cell.yaml"), Where: fmt.Sprintf("targets[%d]", i),
				Rule:   fmt.Sprintf("no %s stands out in the scans of target %q", target.Shape, target.Name),
				Remedy: "scan it from nearer, and let little else be in those scans"}
		}
		s.Points = nil
		settle(s, points, gate)
	}
	return t.shape, nil
}

// points are those of the scans that saw the target, part by part.
func (t *targets) points(m Mount, cuts []cut, target *cell.Target) []align.Patch {
	var out []align.Patch
	for i := range t.raw.Scans {
		scan := &t.raw.Scans[i]
		if !slices.Contains(target.Scans, scan.Name) {
			continue
		}
		m.each(scan, func(line int, f *flange, at, base r3.Vec) {
			out = append(out, align.Patch{
				Part: cuts[i].first + cuts[i].of[line], Moments: geom.Moments{N: 1, Mean: base},
				Rough: t.raw.Noise.Sigma(r3.Norm(r3.Sub(at, t.cell.Scanner.Eye))), Drift: m.drift(f, at, base),
			})
		})
	}
	return thinned(out)
}

// enough points of a target: noise is then far below what postures differ by.
const enough = 4000

// thinned keeps every so many-th point where there are more than enough.
func thinned(points []align.Patch) []align.Patch {
	step := (len(points) + enough - 1) / enough
	if step < 2 {
		return points
	}
	kept := points[:0]
	for i := 0; i < len(points); i += step {
		kept = append(kept, points[i])
	}
	return kept
}

// Draws of a search: with one point in five on the target, four on it are drawn
// by chance one time in 625; this many miss it one time in e^6 (Hartley and
// Zisserman, Multiple View Geometry, 4.7.1). A few points tell one draw's worth.
const (
	draws   = 4000
	judged  = 500
	byShare = 0.1 // of the points a target must hold to stand out
)

// search finds the target by random sample consensus (Fischler and Bolles, Comm.
// ACM 24 (1981) 381), the seed being fixed.
func search(target *cell.Target, points []align.Patch, s *align.Shape) bool {
	const corners = 4
	if len(points) < 10*corners {
		return false
	}
	rng := rand.New(rand.NewPCG(1, uint64(len(points))))
	gate := 10.0
	if target.Radius > 0 {
		gate = 0.2 * target.Radius
	}
	best := 0
	for range draws {
		var p [corners]r3.Vec
		for k := range p {
			p[k] = points[rng.IntN(len(points))].Mean
		}
		try, ok := through(target, p)
		if !ok {
			continue
		}
		held := 0
		for i := 0; i < len(points); i += 1 + len(points)/judged {
			if math.Abs(off(&try, points[i].Mean)) < gate {
				held++
			}
		}
		if held > best {
			best, *s = held, try
		}
	}
	return float64(best) > byShare*float64(len(points)/(1+len(points)/judged))
}

// through is the shape through four points: a sphere whose radius comes near
// the target's, or the plane of the first three.
func through(target *cell.Target, p [4]r3.Vec) (align.Shape, bool) {
	if target.Radius == 0 {
		n := r3.Cross(r3.Sub(p[1], p[0]), r3.Sub(p[2], p[0]))
		if r3.Norm(n) < 1 {
			return align.Shape{}, false
		}
		n = r3.Unit(n)
		return align.Shape{Plane: geom.Plane{Normal: n, Offset: r3.Dot(n, p[0])}, Centre: p[0]}, true
	}
	a, b := mat.NewDense(3, 3, nil), mat.NewVecDense(3, nil)
	for k := range 3 {
		d := r3.Sub(p[k+1], p[0])
		a.SetRow(k, []float64{2 * d.X, 2 * d.Y, 2 * d.Z})
		b.SetVec(k, r3.Norm2(d))
	}
	var x mat.VecDense
	if x.SolveVec(a, b) != nil {
		return align.Shape{}, false
	}
	c := r3.Vec{X: x.AtVec(0), Y: x.AtVec(1), Z: x.AtVec(2)}
	r := r3.Norm(c)
	return align.Shape{Radius: target.Radius, Centre: r3.Add(p[0], c)}, math.Abs(r-target.Radius) < 0.3*target.Radius
}

// off is how far p lies off the shape, mm.
func off(s *align.Shape, p r3.Vec) float64 {
	if s.Radius > 0 {
		return r3.Norm(r3.Sub(p, s.Centre)) - s.Radius
	}
	return s.Plane.Distance(p)
}

// settle fits the shape to the points within the gate, a few times, and keeps
// those.
func settle(s *align.Shape, points []align.Patch, gate float64) {
	if s.Radius > 0 {
		gate = min(gate, s.Radius/4)
	}
	for range 5 {
		s.Points = s.Points[:0]
		var m geom.Moments
		var pull r3.Vec
		var spread geom.Sym3
		for i := range points {
			d := off(s, points[i].Mean)
			if math.Abs(d) > gate {
				continue
			}
			s.Points = append(s.Points, points[i])
			m.Add(points[i].Mean, 1)
			if s.Radius > 0 {
				n := r3.Unit(r3.Sub(points[i].Mean, s.Centre))
				pull = r3.Add(pull, r3.Scale(d, n))
				spread = spread.Plus(geom.Outer(1, n))
			}
		}
		if len(s.Points) < 10 {
			return
		}
		if s.Radius == 0 {
			s.Plane, _ = m.Plane()
			s.Centre = m.Mean
			continue
		}
		a := mat.NewSymDense(3, []float64{spread[0], spread[1], spread[2], 0, spread[3], spread[4], 0, 0, spread[5]})
		var c mat.Cholesky
		var x mat.VecDense
		if c.Factorize(a) && c.SolveVecTo(&x, mat.NewVecDense(3, []float64{pull.X, pull.Y, pull.Z})) == nil {
			s.Centre = r3.Add(s.Centre, r3.Vec{X: x.AtVec(0), Y: x.AtVec(1), Z: x.AtVec(2)})
		}
	}
}
