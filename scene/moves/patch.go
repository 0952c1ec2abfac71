package moves

import (
	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping/geom"
	"cellwall/mapping/geom/flat"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// patch is a plane face of one map, perhaps carried to where a motion takes it.
type patch struct {
	object  string
	name    string
	plane   geom.Plane
	centre  r3.Vec
	u, v    r3.Vec // the axes of its covariances' turns
	noise   surface.Cov3
	sweep   surface.Cov3
	scans   []int32
	outline []r3.Vec
	area    float64
}

// patches are the faces of an object that tell a motion: plane, and in no larger
// face's plane.
func patches(o *scene.Object) []patch {
	var out []patch
	for i := range o.Faces {
		f := &o.Faces[i]
		if f.Cylinder == nil && !laidInto(f, o.Faces) {
			out = append(out, patchOf(o.Name, f))
		}
	}
	return out
}

// laidInto tells whether a face was too small to tell its plane and was said to
// lie in that of a larger one: then it says nothing that the larger does not.
func laidInto(f *fit.Face, all []fit.Face) bool {
	for i := range all {
		if g := &all[i]; g.Plane == f.Plane && g.Area > f.Area {
			return true
		}
	}
	return false
}

func patchOf(object string, f *fit.Face) patch {
	axes := f.Plane.Frame(f.Centre).R
	p := patch{
		object: object, name: f.Name, plane: f.Plane, centre: f.Centre, u: axes.Axis(0), v: axes.Axis(1),
		noise: f.Budget.Noise, sweep: f.Budget.Sweep, scans: f.Scans, outline: f.Outline, area: f.Area,
	}
	if f.Budget == (surface.Budget{}) { // fitted with others at once, as a vise's are: they err as one body
		p.sweep = f.Cov
	}
	return p
}

// moved is the patch where the motion takes it.
func (p patch) moved(by geom.Pose) patch {
	n := by.R.Apply(p.plane.Normal)
	p.centre = by.Apply(p.centre)
	p.plane = geom.Plane{Normal: n, Offset: r3.Dot(n, p.centre)}
	p.u, p.v = by.R.Apply(p.u), by.R.Apply(p.v)
	out := make([]r3.Vec, len(p.outline))
	for i, c := range p.outline {
		out[i] = by.Apply(c)
	}
	p.outline = out
	return p
}

// seenFrom takes the perturbation that the patch's covariances speak of to the
// one that they make in another frame on the plane: height at its origin, turns
// about its X and Y.
func (p *patch) seenFrom(frame geom.Pose) (j [3][3]float64) {
	r := r3.Sub(frame.T, p.centre)
	x, y := frame.R.Axis(0), frame.R.Axis(1)
	return [3][3]float64{
		{1, r3.Dot(r, p.v), -r3.Dot(r, p.u)},
		{0, r3.Dot(p.u, x), r3.Dot(p.v, x)},
		{0, r3.Dot(p.u, y), r3.Dot(p.v, y)},
	}
}

// ring is the outline in the plane of frame.
func (p *patch) ring(frame geom.Pose) []r2.Vec {
	in := frame.Inverse()
	out := make([]r2.Vec, len(p.outline))
	for i, c := range p.outline {
		q := in.Apply(c)
		out[i] = r2.Vec{X: q.X, Y: q.Y}
	}
	return out
}

// samples is how many places along either side of an outline's box are asked
// whether they are shared: a share is then told to a few per cent.
const samples = 12

// shared is the area, mm^2, that both outlines hold in the plane of frame.
func shared(a, b *patch, frame geom.Pose) float64 {
	if b.area < a.area {
		a, b = b, a
	}
	small, large := a.ring(frame), b.ring(frame)
	lo, hi := box(small)
	var in, both int
	for i := range samples {
		for j := range samples {
			q := r2.Vec{
				X: lo.X + (hi.X-lo.X)*(float64(i)+.5)/samples,
				Y: lo.Y + (hi.Y-lo.Y)*(float64(j)+.5)/samples,
			}
			if !flat.Contains(small, q) {
				continue
			}
			in++
			if flat.Contains(large, q) {
				both++
			}
		}
	}
	if in == 0 {
		return 0
	}
	return a.area * float64(both) / float64(in)
}

func box(ring []r2.Vec) (lo, hi r2.Vec) {
	lo, hi = ring[0], ring[0]
	for _, q := range ring {
		lo = r2.Vec{X: min(lo.X, q.X), Y: min(lo.Y, q.Y)}
		hi = r2.Vec{X: max(hi.X, q.X), Y: max(hi.Y, q.Y)}
	}
	return lo, hi
}
