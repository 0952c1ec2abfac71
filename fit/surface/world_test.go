package surface

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// A small world of its own, so that the tests of this package know the truth:
// flat rectangles and cylinders, looked at by a line scanner that is carried
// along a path. Noise grows with the square of the range and is correlated along
// a profile; every sweep is off by a rigid motion of its own.

type quad struct{ corner, u, v r3.Vec }

// rod is the outside of a cylinder, without ends.
type rod struct {
	foot, axis     r3.Vec
	radius, length float64
}

type world struct {
	quads []quad
	rods  []rod
}

// block is the six faces of an upright box, turned by yaw about its centre.
func block(centre, size r3.Vec, yaw float64) []quad {
	r := geom.Exp(r3.Vec{Z: yaw})
	x, y, z := r3.Scale(size.X, r.Axis(0)), r3.Scale(size.Y, r.Axis(1)), r3.Vec{Z: size.Z}
	lo := r3.Sub(centre, r3.Scale(0.5, r3.Add(x, r3.Add(y, z))))
	return []quad{
		{lo, x, y}, {lo, y, z}, {lo, x, z},
		{r3.Add(lo, z), x, y}, {r3.Add(lo, x), y, z}, {r3.Add(lo, y), x, z},
	}
}

func (q quad) plane() geom.Plane {
	n := r3.Unit(r3.Cross(q.u, q.v))
	return geom.Plane{Normal: n, Offset: r3.Dot(n, q.corner)}
}

func (q quad) hit(o, d r3.Vec) float64 {
	n := r3.Cross(q.u, q.v)
	den := r3.Dot(n, d)
	if den == 0 {
		return math.Inf(1)
	}
	s := r3.Dot(n, r3.Sub(q.corner, o)) / den
	p := r3.Sub(r3.Add(o, r3.Scale(s, d)), q.corner)
	a, b := r3.Dot(p, q.u)/r3.Norm2(q.u), r3.Dot(p, q.v)/r3.Norm2(q.v)
	if s <= 0 || a < 0 || a > 1 || b < 0 || b > 1 {
		return math.Inf(1)
	}
	return s
}

func (r rod) hit(o, d r3.Vec) float64 {
	w := r3.Sub(o, r.foot)
	dp := r3.Sub(d, r3.Scale(r3.Dot(d, r.axis), r.axis))
	wp := r3.Sub(w, r3.Scale(r3.Dot(w, r.axis), r.axis))
	a, b, c := r3.Norm2(dp), r3.Dot(dp, wp), r3.Norm2(wp)-r.radius*r.radius
	if b*b < a*c || a == 0 {
		return math.Inf(1)
	}
	s := (-b - math.Sqrt(b*b-a*c)) / a
	if h := r3.Dot(r3.Add(w, r3.Scale(s, d)), r.axis); s <= 0 || h < 0 || h > r.length {
		return math.Inf(1)
	}
	return s
}

func (w world) hit(o, d r3.Vec) float64 {
	s := math.Inf(1)
	for _, q := range w.quads {
		s = min(s, q.hit(o, d))
	}
	for _, r := range w.rods {
		s = min(s, r.hit(o, d))
	}
	return s
}

// look is a sweep: the scanner's eye goes from From to To, its central ray along
// Ahead, its line along Line.
type look struct {
	from, to, ahead, line r3.Vec
	profiles, rays        int
	fan                   float64 // full angle, rad
}

// scanner is what the simulated one is like.
type scanner struct {
	atMetre float64 // noise, mm at 1 m
	memory  float64 // correlation of the noise from one ray to the next
	pose    float64 // one sigma of a sweep's position; its attitude errs by that over the eye's distance
	seed    uint64
	mixed   float64   // share of the rays that answer from between two depths further apart than mixedJump
	keep    *[]r3.Vec // where the points go as well, if anywhere
}

// mixedJump is how far the next ray must lie for the laser's spot to be mixed of
// both, mm: edges are dropped before, a surface that is grazed is not.
const mixedJump = 25

// scan looks at the world, sweep by sweep, and merges the points into voxels.
func (sc scanner) scan(w world, looks ...look) *mapping.Cloud {
	rng := rand.New(rand.NewPCG(sc.seed, 77))
	c := &mapping.Cloud{Noise: mapping.Noise{AtMetre: sc.atMetre, Given: true}, PoseSigma: sc.pose}
	for i, l := range looks {
		c.Scans = append(c.Scans, string(rune('a'+i)))
		c.Voxels = append(c.Voxels, sc.sweep(w, l, int32(i), rng)...)
	}
	return c
}

type voxelKey struct{ edge, x, y, z int32 }

func (sc scanner) sweep(w world, l look, scan int32, rng *rand.Rand) []mapping.Voxel {
	mid := r3.Scale(0.5, r3.Add(l.from, l.to))
	gauss := func(sd float64) r3.Vec {
		return r3.Vec{X: sd * rng.NormFloat64(), Y: sd * rng.NormFloat64(), Z: sd * rng.NormFloat64()}
	}
	shift, turn := gauss(sc.pose), geom.Exp(gauss(sc.pose/r3.Norm(mid)))
	at := map[voxelKey]*mapping.Voxel{}
	ahead, line := r3.Unit(l.ahead), r3.Unit(l.line)
	for k := range l.profiles {
		eye := r3.Add(l.from, r3.Scale((float64(k)+rng.Float64())/float64(l.profiles), r3.Sub(l.to, l.from)))
		var e float64
		for j := range l.rays {
			d := along(ahead, line, l, j)
			e = sc.memory*e + math.Sqrt(1-sc.memory*sc.memory)*rng.NormFloat64()
			r := w.hit(eye, d)
			if math.IsInf(r, 1) || r > 5000 {
				continue
			}
			if sc.mixed > 0 {
				r = sc.mix(rng, r, w.hit(eye, along(ahead, line, l, j+1)))
			}
			p := r3.Add(eye, r3.Scale(r+e*sc.atMetre*r*r/1e6, d))
			p = r3.Add(mid, r3.Add(shift, turn.Apply(r3.Sub(p, mid))))
			put(at, p, r3.Scale(-1, d), r, scan)
			if sc.keep != nil {
				*sc.keep = append(*sc.keep, p)
			}
		}
	}
	return inFileOrder(at)
}

// along is the direction of ray j of a look.
func along(ahead, line r3.Vec, l look, j int) r3.Vec {
	s, c := math.Sincos(l.fan * (float64(j)/float64(l.rays-1) - 0.5))
	return r3.Add(r3.Scale(c, ahead), r3.Scale(s, line))
}

// mix is the range of a ray whose neighbour lies at next.
func (sc scanner) mix(rng *rand.Rand, r, next float64) float64 {
	share, at := rng.Float64(), rng.Float64()
	if jump := next - r; share < sc.mixed && math.Abs(jump) > mixedJump && next < 5000 {
		return r + at*jump
	}
	return r
}

// put adds a point to its voxel, finer the nearer it was measured.
func put(at map[voxelKey]*mapping.Voxel, p, toward r3.Vec, r float64, scan int32) {
	edge := int32(20)
	if r < 500 {
		edge = 5
	} else if r < 1000 {
		edge = 10
	}
	f := func(x float64) int32 { return int32(math.Floor(x / float64(edge))) }
	k := voxelKey{edge, f(p.X), f(p.Y), f(p.Z)}
	v := at[k]
	if v == nil {
		v = &mapping.Voxel{Scan: scan, Edge: float32(edge), Bounds: geom.NoBounds()}
		at[k] = v
	}
	v.Toward = r3.Add(v.Toward, toward)
	v.Range += (r - v.Range) / (v.N + 1)
	v.Add(p, 1)
	v.Bounds.Extend(p)
}

func inFileOrder(at map[voxelKey]*mapping.Voxel) []mapping.Voxel {
	keys := make([]voxelKey, 0, len(at))
	for k, v := range at {
		v.Toward = r3.Unit(v.Toward)
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b voxelKey) int {
		return cmp.Or(cmp.Compare(a.edge, b.edge), cmp.Compare(a.z, b.z), cmp.Compare(a.y, b.y), cmp.Compare(a.x, b.x))
	})
	out := make([]mapping.Voxel, len(keys))
	for i, k := range keys {
		out[i] = *at[k]
	}
	return out
}

// cloudOf makes a voxel of 5 mm of every point, all seen by one sweep from the
// direction toward, a metre off.
func cloudOf(pts []r3.Vec, toward r3.Vec, sigma float64) *mapping.Cloud {
	c := &mapping.Cloud{Scans: []string{"a"}, Noise: mapping.Noise{AtMetre: sigma, Given: true}}
	for _, p := range pts {
		c.Voxels = append(c.Voxels, mapping.Voxel{Moments: geom.Moments{N: 1, Mean: p}, Edge: 5, Toward: toward, Range: 1000})
	}
	return c
}

// found is the surface that fits the rectangle best: coplanar to it and with its
// centre inside; nil where there is none.
func found(all []Surface, q quad) *Surface {
	var best *Surface
	truth := q.plane()
	for i := range all {
		s := &all[i]
		p := r3.Sub(s.Centre, q.corner)
		a, b := r3.Dot(p, q.u)/r3.Norm2(q.u), r3.Dot(p, q.v)/r3.Norm2(q.v)
		if s.Cylinder != nil || a < 0 || a > 1 || b < 0 || b > 1 || math.Abs(truth.Distance(s.Centre)) > 2.5 ||
			math.Abs(r3.Dot(truth.Normal, s.Plane.Normal)) < 0.98 {
			continue
		}
		if best == nil || s.Area > best.Area {
			best = s
		}
	}
	return best
}

// off is how far a surface is from the truth at its centre, mm, and by what
// angle, degrees.
func off(s *Surface, q quad) (mm, deg float64) {
	truth := q.plane()
	cross := r3.Norm(r3.Cross(truth.Normal, s.Plane.Normal))
	return math.Abs(truth.Distance(s.Centre)), math.Asin(min(cross, 1)) * 180 / math.Pi
}
