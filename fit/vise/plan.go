package vise

import (
	"math"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// plan is a layer seen from above, pixel by pixel: where points lie in the
// layer, and where rays went through it to something lower. X and Y of its pose
// run along the jaws' axes.
type plan struct {
	pose   geom.Pose // baseFromPlan: origin at the corner of pixel 0, 0
	pixel  float64   // mm
	nx, ny int
	hit    []state
	on     []int32 // summed-area tables, (nx+1) x (ny+1) (Crow, SIGGRAPH 1984)
	passed []int32
}

// state of a pixel.
type state uint8

const (
	unseen  state = iota
	hasTop        // a point lies in the layer
	through       // a ray went through to something lower
)

// span is a rectangle in pixels: x0 <= x < x1, y0 <= y < y1.
type span struct{ x0, y0, x1, y1 int }

const (
	planPixels   = 0.5 // pixels are this part of a patch: half a jaw edge's blur
	belowLayer   = 3.0 // mm: a point this far under the layer was seen through it
	layerPatches = 0.3 // of a patch: half the thickness of a layer
)

// plan draws the layer at the given bearing; nil where no point lies in it.
func (l *layer) plan(v *view, bearing float64) *plan {
	if l.hits == nil {
		l.read(v)
	}
	if len(l.hits.on) == 0 {
		return nil
	}
	s, c := math.Sincos(bearing)
	turn := geom.RotFromAxes(r3.Vec{X: c, Y: s}, r3.Vec{X: -s, Y: c}, r3.Vec{Z: 1})
	p := &plan{pose: geom.Pose{R: l.pose.R.Mul(turn), T: l.pose.T}, pixel: planPixels * v.pitch}
	at := axes{c, s}
	corner := p.frame(l.hits.on, at)
	p.hit = make([]state, p.nx*p.ny)
	p.mark(l.hits.below, at, corner, through)
	p.mark(l.hits.on, at, corner, hasTop)
	p.sum()
	p.pose.T = p.pose.Apply(r3.Vec{X: corner[0], Y: corner[1]})
	return p
}

// axes are turned by the angle of this cosine and sine.
type axes [2]float64

// of expresses a place of the layer in the axes.
func (a axes) of(q [2]float64) [2]float64 {
	return [2]float64{a[0]*q[0] + a[1]*q[1], a[0]*q[1] - a[1]*q[0]}
}

// turned is the same plan with X and Y exchanged: turned by a right angle.
func (p *plan) turned() *plan {
	t := &plan{pixel: p.pixel, nx: p.ny, ny: p.nx, hit: make([]state, len(p.hit))}
	for y := range p.ny {
		for x := range p.nx {
			t.hit[(p.nx-1-x)*t.nx+y] = p.hit[y*p.nx+x]
		}
	}
	t.pose.R = geom.RotFromAxes(p.pose.R.Axis(1), r3.Scale(-1, p.pose.R.Axis(0)), p.pose.R.Axis(2))
	t.pose.T = p.pose.Apply(r3.Vec{X: float64(p.nx) * p.pixel})
	t.sum()
	return t
}

// hits are, in a layer's plane, the points in the layer and the places where the
// rays of lower points crossed it.
type hits struct{ on, below [][2]float64 }

// read gathers the layer's hits, where those of the layer before were.
func (l *layer) read(v *view) {
	reach, thick := l.reach(), layerPatches*v.pitch
	inv := l.pose.R.T()
	l.hits = &v.hits
	l.hits.on, l.hits.below = l.hits.on[:0], l.hits.below[:0]
	for _, i := range v.voxels {
		vox := &v.cloud.Voxels[i]
		d := inv.Apply(r3.Sub(vox.Mean, l.pose.T))
		edge := max(v.pitch, float64(vox.Edge))
		if !v.uses(vox) || d.Z > thick+edge || math.Hypot(d.X, d.Y) > reach+seenPast {
			continue
		}
		ray := inv.Apply(vox.Toward)
		if math.Abs(d.Z) > thick+edge && !l.crossed(d, ray, vox.Range) {
			continue
		}
		steep := v.liesAt(vox.Mean) > level
		v.each(vox, func(p r3.Vec) {
			if v.wide(vox) {
				steep = v.liesAt(p) > level
			}
			q := inv.Apply(r3.Sub(p, l.pose.T))
			switch {
			case math.Abs(q.Z) <= thick:
				if !steep && math.Hypot(q.X, q.Y) < reach {
					l.hits.on = append(l.hits.on, [2]float64{q.X, q.Y})
				}
			case q.Z < -belowLayer && l.crossed(q, ray, vox.Range):
				t := -q.Z / ray.Z
				l.hits.below = append(l.hits.below, [2]float64{q.X + t*ray.X, q.Y + t*ray.Y})
			}
		})
	}
}

// crossed tells whether the ray from q, in the layer's frame, crossed the layer
// within its reach on the way to the scanner.
func (l *layer) crossed(q, ray r3.Vec, rangeMM float64) bool {
	if ray.Z < 0.05 || rangeMM*ray.Z < -q.Z {
		return false
	}
	t := -q.Z / ray.Z
	return math.Hypot(q.X+t*ray.X, q.Y+t*ray.Y) < l.reach()
}

// seenPast is how far outside the reach a ray may end that went through the
// layer, mm: at 45 degrees, that of a bed this much lower.
const seenPast = 200.0

// each calls do with every raw point that the voxel kept, or with its mean.
func (v *view) each(vox *mapping.Voxel, do func(r3.Vec)) {
	if vox.Kept == 0 {
		do(vox.Mean)
		return
	}
	for _, s := range v.cloud.Samples[vox.First : vox.First+vox.Kept] {
		do(r3.Vec{X: float64(s[0]), Y: float64(s[1]), Z: float64(s[2])})
	}
}

// frame lays the pixels over the points, with a rim, and returns the corner of
// the first.
func (p *plan) frame(on [][2]float64, at axes) (corner [2]float64) {
	lo, hi := at.of(on[0]), at.of(on[0])
	for _, q := range on {
		q = at.of(q)
		for k := range 2 {
			lo[k], hi[k] = min(lo[k], q[k]), max(hi[k], q[k])
		}
	}
	rim := ringGap + ringWide + p.pixel
	p.nx = int((hi[0]-lo[0]+2*rim)/p.pixel) + 1
	p.ny = int((hi[1]-lo[1]+2*rim)/p.pixel) + 1
	return [2]float64{lo[0] - rim, lo[1] - rim}
}

// mark sets the state of the pixels that hold one of the points.
func (p *plan) mark(points [][2]float64, at axes, corner [2]float64, as state) {
	for _, q := range points {
		q = at.of(q)
		x, y := int(math.Floor((q[0]-corner[0])/p.pixel)), int(math.Floor((q[1]-corner[1])/p.pixel))
		if x >= 0 && x < p.nx && y >= 0 && y < p.ny {
			p.hit[y*p.nx+x] = as
		}
	}
}

// sum fills the summed-area tables.
func (p *plan) sum() {
	n := p.nx + 1
	p.on, p.passed = make([]int32, n*(p.ny+1)), make([]int32, n*(p.ny+1))
	for y := range p.ny {
		var on, passed int32
		for x := range p.nx {
			switch p.hit[y*p.nx+x] {
			case hasTop:
				on++
			case through:
				passed++
			}
			at := (y+1)*n + x + 1
			p.on[at], p.passed[at] = p.on[at-n]+on, p.passed[at-n]+passed
		}
	}
}

// share is the part of the span's pixels that the table marks.
func (p *plan) share(table []int32, s span) float64 {
	s = span{max(s.x0, 0), max(s.y0, 0), min(s.x1, p.nx), min(s.y1, p.ny)}
	if s.x0 >= s.x1 || s.y0 >= s.y1 {
		return 0
	}
	n := p.nx + 1
	sum := table[s.y1*n+s.x1] - table[s.y0*n+s.x1] - table[s.y1*n+s.x0] + table[s.y0*n+s.x0]
	return float64(sum) / float64((s.x1-s.x0)*(s.y1-s.y0))
}
