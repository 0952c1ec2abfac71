package fit

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"cellwall/fixtures"
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// room is a small invented world for the tests of this package: boxes and
// round bars, looked at by sweeps of an upright laser line.
type room struct {
	shapes []fixtures.Shape
	seed   uint64
	noise  float64 // mm at 1 m
	keeps  bool    // the last point before a jump, as mapping does; else it is dropped like a mixed one
}

func newRoom(seed uint64) *room { return &room{seed: seed, noise: 0.3} }

// box adds a box by its least corner and size in the frame baseFromIt.
func (w *room) box(baseFromIt geom.Pose, x, y, z, sx, sy, sz float64) {
	mid := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: x + sx/2, Y: y + sy/2, Z: z + sz/2}}
	w.shapes = append(w.shapes, fixtures.Box{Box: geom.Box{Pose: baseFromIt.Mul(mid), Size: r3.Vec{X: sx, Y: sy, Z: sz}}})
}

// sweep is a swing of a scanner on a circle about the base's Z axis.
type sweep struct {
	radius, height, pitch float64 // of the eye; of the line's middle ray, positive up
	from, to              float64 // azimuth
	fan                   float64 // full angle of the line
	look                  float64 // how far the scanner is turned off the radius
	far                   float64 // greatest range
}

// swings is what a newcomer does: four turns of joint 1 at several postures.
var swings = []sweep{
	{radius: 500, height: 900, pitch: -0.1, from: -3, to: 3, fan: 1.4, far: 3500},
	{radius: 600, height: 1300, pitch: -0.7, from: -3, to: 3, fan: 1.4, far: 3500},
	{radius: 450, height: 1500, pitch: 0.2, from: -3, to: 3, fan: 1.4, far: 3500},
	{radius: 550, height: 600, pitch: 0.1, from: -3, to: 3, fan: 1.4, look: 0.5, far: 3500},
	{radius: 550, height: 700, pitch: -0.1, from: -3, to: 3, fan: 1.4, look: -0.5, far: 3500},
}

// toward is the part of the swings that faces an azimuth, with the lines of a
// scanner in earnest: 7 mrad from line to line.
func toward(azimuth float64) (sweeps []sweep, profiles, points int) {
	for _, s := range swings {
		s.from, s.to = azimuth-1.2, azimuth+1.2
		sweeps = append(sweeps, s)
	}
	return sweeps, 340, 320
}

// look makes a cloud of the sweeps, as mapping would: points at jumps of depth
// dropped, the rest merged into voxels sweep by sweep.
func (w *room) look(sweeps []sweep, profiles, points int) *mapping.Cloud {
	rng := rand.New(rand.NewPCG(w.seed, 7))
	c := &mapping.Cloud{Noise: mapping.Noise{AtMetre: w.noise, Given: true}, PoseSigma: 0.1}
	for i, s := range sweeps {
		c.Scans = append(c.Scans, numbered("sweep", i+1))
		off := r3.Vec{X: 0.1 * rng.NormFloat64(), Y: 0.1 * rng.NormFloat64(), Z: 0.1 * rng.NormFloat64()}
		c.Voxels = append(c.Voxels, w.swing(rng, int32(i), s, off, profiles, points)...)
	}
	return c
}

type place struct {
	edge    float64
	x, y, z int
}

func (w *room) swing(rng *rand.Rand, scan int32, s sweep, off r3.Vec, profiles, points int) []mapping.Voxel {
	voxels := map[place]*mapping.Voxel{}
	ranges := make([]float64, points)
	for i := range profiles {
		azimuth := s.from + (s.to-s.from)*float64(i)/float64(profiles-1)
		sin, cos := math.Sincos(azimuth)
		eye := r3.Vec{X: s.radius * cos, Y: s.radius * sin, Z: s.height}
		dirs := fanOut(azimuth+s.look, s.pitch, s.fan, points)
		for k, d := range dirs {
			ranges[k] = w.cast(eye, d, s.far)
		}
		for k := range dirs {
			if !w.smooth(ranges, k) {
				continue
			}
			r := ranges[k] + w.noise*math.Pow(ranges[k]/1000, 2)*rng.NormFloat64()
			merge(voxels, scan, r3.Add(eye, off), r3.Add(r3.Add(eye, off), r3.Scale(r, dirs[k])))
		}
	}
	return inOrder(voxels)
}

func fanOut(azimuth, pitch, fan float64, points int) []r3.Vec {
	dirs := make([]r3.Vec, points)
	for k := range dirs {
		up, level := math.Sincos(pitch + fan*(float64(k)/float64(points-1)-0.5))
		sin, cos := math.Sincos(azimuth)
		dirs[k] = r3.Vec{X: level * cos, Y: level * sin, Z: up}
	}
	return dirs
}

func (w *room) cast(eye, dir r3.Vec, far float64) float64 {
	best := math.Inf(1)
	var normal r3.Vec
	for _, s := range w.shapes {
		if t, n, ok := s.Hit(eye, dir); ok && t < best {
			best, normal = t, n
		}
	}
	if best > far || -r3.Dot(normal, dir) < 0.2 { // nothing returns beyond 78 degrees
		return math.Inf(1)
	}
	return best
}

// smooth tells whether point k runs on from points at about its depth: from two
// on either side, or from one on each.
func (w *room) smooth(r []float64, k int) bool {
	if math.IsInf(r[k], 0) {
		return false
	}
	near := func(n int) bool { return n >= 0 && n < len(r) && math.Abs(r[n]-r[k]) < 0.03*r[k] }
	if w.keeps {
		return near(k-1) && near(k-2) || near(k+1) && near(k+2)
	}
	apart := func(n int) bool { return n >= 0 && n < len(r) && !near(n) }
	return !apart(k-1) && !apart(k+1)
}

func merge(voxels map[place]*mapping.Voxel, scan int32, eye, p r3.Vec) {
	ray := r3.Sub(eye, p)
	r := r3.Norm(ray)
	e := 10.0
	if r > 1200 {
		e = 20
	}
	at := place{e, int(math.Floor(p.X / e)), int(math.Floor(p.Y / e)), int(math.Floor(p.Z / e))}
	v := voxels[at]
	if v == nil {
		v = &mapping.Voxel{Scan: scan, Edge: float32(e), Bounds: geom.NoBounds()}
		voxels[at] = v
	}
	v.Add(p, 1)
	v.Range += (r - v.Range) / v.N
	v.Toward = r3.Add(v.Toward, r3.Scale(1/r, ray))
	v.Bounds.Extend(p)
}

func inOrder(voxels map[place]*mapping.Voxel) []mapping.Voxel {
	keys := make([]place, 0, len(voxels))
	for k := range voxels {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b place) int {
		return cmp.Or(cmp.Compare(a.edge, b.edge), cmp.Compare(a.z, b.z), cmp.Compare(a.y, b.y), cmp.Compare(a.x, b.x))
	})
	out := make([]mapping.Voxel, 0, len(keys))
	for _, k := range keys {
		v := voxels[k]
		v.Toward = r3.Unit(v.Toward)
		out = append(out, *v)
	}
	return out
}
