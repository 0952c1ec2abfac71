package reach

import (
	"math"

	"cellwall/mapping/geom"
	"cellwall/mapping/sight"
	"cellwall/scene/outline"
	"cellwall/scene/solid"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// each visits the arcs of the extent in the axis's frame, with the first joint
// turned: how far out and how high, on which side of the axis (0 ahead, 1 back)
// at its angle 0, and from which angle to which. An arc of more than a turn goes
// all round.
func (e *Extent) each(visit func(out, up float64, side int, a arc)) {
	for row := range e.n[1] {
		for i := range e.n[0] {
			out, up := (float64(i)+.5)*extentCell, e.low+(float64(row)+.5)*extentCell
			ahead, back := e.arcs(out, up)
			if ahead != nowhere {
				visit(out, up, 0, ahead)
			}
			if back != nowhere {
				visit(out, up, 1, back)
			}
		}
	}
}

// arcs of a cell of the extent, with the first joint turned.
func (e *Extent) arcs(out, up float64) (ahead, back arc) {
	i := int((up-e.low)/extentCell)*e.n[0] + int(out/extentCell)
	ahead, back = nowhere, nowhere
	if a := e.ahead[i]; a != nowhere {
		ahead = arc{a.from + e.lo, a.to + e.hi}
	}
	if a := e.back[i]; a != nowhere {
		back = arc{a.from + math.Pi + e.lo, a.to + math.Pi + e.hi}
	}
	return ahead, back
}

// Size of an extent: how far out from the first joint's axis, from where to where
// along it, counted from the foot of base's origin (mm), and its volume (mm^3).
type Size struct{ Out, Low, High, Volume float64 }

// Size is an upper bound of what the arm takes up.
func (e *Extent) Size() Size {
	s := Size{Low: math.Inf(1), High: math.Inf(-1)}
	e.each(func(out, up float64, side int, a arc) {
		s.Out = max(s.Out, out+extentCell/2)
		s.Low, s.High = min(s.Low, up-extentCell/2), max(s.High, up+extentCell/2)
		angle := a.wide()
		if ahead, _ := e.arcs(out, up); side == 1 {
			angle = min(angle, 2*math.Pi-ahead.wide())
		}
		s.Volume += angle * out * extentCell * extentCell
	})
	return s
}

// Axis is that of the first joint: the foot of base's origin on it, and its
// direction.
func (e *Extent) Axis() (foot, along r3.Vec) { return e.baseFromAxis.T, e.baseFromAxis.R.Axis(2) }

// wide is how much of a turn the arc takes.
func (a arc) wide() float64 { return min(max(0, a.to-a.from), 2*math.Pi) }

// Outline is the border of the extent in a view, mm of base.
func (e *Extent) Outline(v View) []outline.Ring {
	far := 2 * float64(max(e.n[0], e.n[1])) * extentCell
	cells := outline.NewCells(r2.NewBox(-far, -far, far, far), extentCell)
	put := func(p r3.Vec) r2.Vec {
		return v.flat(e.baseFromAxis.Apply(p))
	}
	along := e.baseFromAxis.R.Axis(2)
	switch {
	case math.Abs(r3.Dot(along, v.Up)) > 1-1e-9: // rows of the extent are rows of the view
		d := e.baseFromAxis.R.T().Apply(v.Right)
		least := math.Atan2(d.Y, d.X)
		e.each(func(out, height float64, _ int, a arc) {
			from, to := a.cosines(least)
			at := put(r3.Vec{Z: height})
			cells.Span(at.Y, at.X+out*from-extentCell, at.X+out*to+extentCell)
		})
	case math.Abs(r3.Dot(along, r3.Cross(v.Right, v.Up))) > 1-1e-9: // from above all rows fall into one
		flat := map[float64][2]arc{}
		e.each(func(out, _ float64, side int, a arc) {
			both, ok := flat[out]
			if !ok {
				both = [2]arc{nowhere, nowhere}
			}
			both[side].take(a.from, a.to)
			flat[out] = both
		})
		for out, both := range flat {
			for _, a := range both {
				walk(cells, put, out, 0, a)
			}
		}
	default:
		e.each(func(out, height float64, _ int, a arc) { walk(cells, put, out, height, a) })
	}
	return cells.Rings()
}

// cosines are the least and the greatest cosine of the arc's angles less zero.
func (a arc) cosines(zero float64) (least, most float64) {
	from, to := a.from-zero, a.to-zero
	least, most = min(math.Cos(from), math.Cos(to)), max(math.Cos(from), math.Cos(to))
	const turn = 2 * math.Pi
	if math.Floor(to/turn) != math.Floor(from/turn) {
		most = 1
	}
	if math.Floor((to+math.Pi)/turn) != math.Floor((from+math.Pi)/turn) {
		least = -1
	}
	return least, most
}

// walk covers an arc in steps of half a cell.
func walk(cells *outline.Cells, put func(r3.Vec) r2.Vec, out, up float64, a arc) {
	if a.from > a.to {
		return
	}
	a.to = min(a.to, a.from+2*math.Pi)
	n := math.Ceil((a.to - a.from) * out / (extentCell / 2))
	for i := range 1 + int(n) {
		s, c := math.Sincos(a.from + float64(i)/max(1, n)*(a.to-a.from))
		cells.Cover([]r2.Vec{put(r3.Vec{X: out * c, Y: out * s, Z: up})}, extentCell/2)
	}
}

// voxel, mm, is the side of the cubes of an extent's solid.
const voxel = 40.0

// Solid is the closed surface of the cubes that the extent touches, outward.
func (e *Extent) Solid() solid.Mesh {
	s := e.Size()
	b := geom.NoBounds()
	for i := range 8 {
		p := r3.Vec{X: s.Out, Y: s.Out, Z: s.High}
		if i&1 != 0 {
			p.X = -p.X
		}
		if i&2 != 0 {
			p.Y = -p.Y
		}
		if i&4 != 0 {
			p.Z = s.Low
		}
		b.Extend(e.baseFromAxis.Apply(p))
	}
	l := sight.Round(b, voxel)
	taken := sight.NewBits(l)
	wide := e.widened(l.HalfDiagonal())
	axisFromBase := e.baseFromAxis.Inverse()
	for z := range l.N[2] {
		for y := range l.N[1] {
			for x := range l.N[0] {
				v := [3]int{x, y, z}
				if wide.holds(axisFromBase.Apply(l.Centre(v)), l.HalfDiagonal()) {
					taken.Set(v)
				}
			}
		}
	}
	return space.SurfaceOf(l, taken)
}

// widened is the extent whose cells hold what any cell within by of them does.
func (e *Extent) widened(by float64) *Extent {
	k := int(math.Ceil(by / extentCell))
	out := *e
	for _, axis := range [2]int{0, 1} {
		from := out
		out = *from.empty()
		for row := range e.n[1] {
			for i := range e.n[0] {
				for d := -k; d <= k; d++ {
					at := [2]int{i, row}
					at[axis] += d
					if at[axis] < 0 || at[axis] >= e.n[axis] {
						continue
					}
					here, there := row*e.n[0]+i, at[1]*e.n[0]+at[0]
					out.ahead[here].take(from.ahead[there].from, from.ahead[there].to)
					out.back[here].take(from.back[there].from, from.back[there].to)
				}
			}
		}
	}
	return &out
}

// holds tells whether something of the extent may be at p, or within by of it
// across the half plane; p is in the axis's frame.
func (e *Extent) holds(p r3.Vec, by float64) bool {
	out, angle := math.Hypot(p.X, p.Y), math.Atan2(p.Y, p.X)
	i, row := int(out/extentCell), int(math.Floor((p.Z-e.low)/extentCell))
	if i >= e.n[0] || row < 0 || row >= e.n[1] {
		return false
	}
	more := math.Pi
	if out > by {
		more = math.Asin(by / out)
	}
	ahead, back := e.ahead[row*e.n[0]+i], e.back[row*e.n[0]+i]
	return ahead.holds(angle, e.lo, e.hi, more) || back.holds(angle-math.Pi, e.lo, e.hi, more)
}

// holds tells whether the angle, whatever full turns it is away, lies within the
// arc once that has been turned by lo to hi, and more either way.
func (a arc) holds(angle, lo, hi, more float64) bool {
	if a.from > a.to {
		return false
	}
	const turn = 2 * math.Pi
	from, to := a.from+lo-more, a.to+hi+more
	return math.Floor((to-angle)/turn) >= math.Ceil((from-angle)/turn)
}
