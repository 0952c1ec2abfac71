package vise

import (
	"math"
	"math/rand/v2"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// bench is a shop of boxes that the tests scan with a sampler of their own, so
// that the truth is known and nothing is shared with the project's fixtures.
type bench struct {
	boxes []geom.Box
	truth jaws
}

// benchVise lays a vise on a table: jaws, a bed under them, the table's top.
func benchVise(pose geom.Pose, w, h, dFixed, dMoving, gap float64) *bench {
	b := &bench{truth: jaws{pose: pose, height: h}}
	b.truth.size[width], b.truth.size[opening] = w, gap
	b.truth.size[depthFixed], b.truth.size[depthMoving] = dFixed, dMoving
	b.boxes = append(b.boxes, b.truth.box(false), b.truth.box(true))
	mid := (gap + dMoving - dFixed) / 2
	b.put(r3.Vec{Y: mid, Z: -h - 30}, r3.Vec{X: w - 20, Y: gap + dFixed + dMoving + 60, Z: 60})
	b.put(r3.Vec{Y: mid, Z: -h - 80}, r3.Vec{X: 900, Y: 700, Z: 40})
	return b
}

// put adds a box by its centre and size in the jaw frame.
func (b *bench) put(centre, size r3.Vec) {
	b.boxes = append(b.boxes, geom.Box{Pose: geom.Pose{R: b.truth.pose.R, T: b.truth.pose.Apply(centre)}, Size: size})
}

// hit is the distance along the ray to the first box, and the cosine of
// incidence.
func (b *bench) hit(from, d r3.Vec) (dist, cos float64) {
	dist = math.Inf(1)
	for _, x := range b.boxes {
		r := x.Pose.R.T()
		p, v, h := vec(r.Apply(r3.Sub(from, x.Pose.T))), vec(r.Apply(d)), vec(r3.Scale(0.5, x.Size))
		near, far, axis := math.Inf(-1), math.Inf(1), 0
		for k := range 3 {
			t0, t1 := (-h[k]-p[k])/v[k], (h[k]-p[k])/v[k]
			if t0 > t1 {
				t0, t1 = t1, t0
			}
			if t0 > near {
				near, axis = t0, k
			}
			far = min(far, t1)
		}
		if near < far && near > 0 && near < dist {
			dist, cos = near, math.Abs(v[axis])
		}
	}
	return dist, cos
}

// sweep moves the eye along a straight line and looks at a point.
type sweep struct {
	from, to, at r3.Vec
	profiles     int
	pixels       int
	fan          float64
}

// flaws of the bench's scanner.
type flaws struct {
	noise     float64 // one sigma along the ray at 1 m, mm
	alongLine float64 // correlation of neighbouring pixels
	shift     float64 // of a sweep as a whole, mm, one sigma
	turn      float64 // rad about the vise, one sigma
	spikes    float64 // share of points replaced by spikes
	dropped   float64 // share of points lost
	declared  float64
	dropEdges bool
}

// scan makes a cloud as mapping would: voxels of 5 mm with all their samples.
func (b *bench) scan(sweeps []sweep, fl flaws, rng *rand.Rand) *mapping.Cloud {
	c := &mapping.Cloud{Noise: mapping.Noise{AtMetre: fl.noise}, PoseSigma: fl.declared}
	for i, s := range sweeps {
		c.Scans = append(c.Scans, string(rune('a'+i)))
		var off [6]float64
		for k := range 3 {
			off[k], off[3+k] = fl.shift*rng.NormFloat64(), fl.turn*rng.NormFloat64()
		}
		about := b.truth.pose.T
		misplace := func(p r3.Vec) r3.Vec {
			return r3.Add(about, geom.Exp(r3.Vec{X: off[3], Y: off[4], Z: off[5]}).Apply(r3.Sub(p, about)))
		}
		grid := newGrid(c, int32(i), 5)
		for k := range s.profiles {
			b.profile(s, float64(k)/float64(max(s.profiles-1, 1)), fl, rng, func(p, eye r3.Vec) {
				d := r3.Vec{X: off[0], Y: off[1], Z: off[2]}
				grid.add(r3.Add(misplace(p), d), r3.Add(misplace(eye), d))
			})
		}
		grid.close()
	}
	return c
}

// profile casts one line of rays.
func (b *bench) profile(s sweep, t float64, fl flaws, rng *rand.Rand, emit func(p, eye r3.Vec)) {
	eye := r3.Add(r3.Scale(1-t, s.from), r3.Scale(t, s.to))
	middle := r3.Scale(0.5, r3.Add(s.from, s.to))
	look := r3.Unit(r3.Sub(s.at, middle))
	line := r3.Unit(r3.Cross(look, r3.Sub(s.to, s.from)))
	dist, cos := make([]float64, s.pixels), make([]float64, s.pixels)
	dirs := make([]r3.Vec, s.pixels)
	for k := range dirs {
		a := s.fan * (float64(k)/float64(s.pixels-1) - 0.5)
		dirs[k] = r3.Add(r3.Scale(math.Cos(a), look), r3.Scale(math.Sin(a), line))
		dist[k], cos[k] = b.hit(eye, dirs[k])
	}
	walk := rng.NormFloat64()
	for k := range dirs {
		walk = fl.alongLine*walk + math.Sqrt(1-fl.alongLine*fl.alongLine)*rng.NormFloat64()
		if fl.dropped > 0 && rng.Float64() < fl.dropped || dist[k] > 3000 || cos[k] < 0.3 || rng.Float64() > (cos[k]-0.2)*10 {
			continue
		}
		if fl.dropEdges && (k > 0 && dist[k-1] > dist[k]+5 || k+1 < len(dist) && dist[k+1] > dist[k]+5) {
			continue
		}
		r := dist[k] + fl.noise*dist[k]*dist[k]/1e6*walk
		if rng.Float64() < fl.spikes {
			r += 20 * (rng.Float64() - 0.5)
		}
		emit(r3.Add(eye, r3.Scale(r, dirs[k])), eye)
	}
}

// grid gathers the points of one scan into voxels.
type grid struct {
	cloud *mapping.Cloud
	scan  int32
	edge  float64
	at    map[uint64]int
	cells []*gridCell
}

type gridCell struct {
	vox    mapping.Voxel
	points []r3.Vec
	eye    r3.Vec
}

func newGrid(c *mapping.Cloud, scan int32, edge float64) *grid {
	return &grid{cloud: c, scan: scan, edge: edge, at: map[uint64]int{}}
}

func (g *grid) add(p, eye r3.Vec) {
	key := packed([3]int32{int32(math.Floor(p.X / g.edge)), int32(math.Floor(p.Y / g.edge)), int32(math.Floor(p.Z / g.edge))})
	k, ok := g.at[key]
	if !ok {
		k = len(g.cells)
		g.at[key] = k
		g.cells = append(g.cells, &gridCell{vox: mapping.Voxel{Scan: g.scan, Edge: float32(g.edge), Bounds: geom.NoBounds()}})
	}
	c := g.cells[k]
	c.vox.Moments.Add(p, 1)
	c.vox.Bounds.Extend(p)
	c.points = append(c.points, p)
	c.eye = r3.Add(c.eye, eye)
}

func (g *grid) close() {
	for _, c := range g.cells {
		d := r3.Sub(r3.Scale(1/c.vox.N, c.eye), c.vox.Mean)
		c.vox.Toward, c.vox.Range = r3.Unit(d), r3.Norm(d)
		c.vox.First, c.vox.Kept = int32(len(g.cloud.Samples)), int32(len(c.points))
		for _, p := range c.points {
			g.cloud.Samples = append(g.cloud.Samples, mapping.Sample{float32(p.X), float32(p.Y), float32(p.Z)})
		}
		g.cloud.Voxels = append(g.cloud.Voxels, c.vox)
	}
}

// threePasses look at the jaws from the fixed face's side and from both ends,
// as close passes do. The moving jaw's face stays hidden from the first.
func threePasses(b *bench) []sweep {
	at := func(x, y, z float64) r3.Vec { return b.truth.pose.Apply(r3.Vec{X: x, Y: y, Z: z}) }
	o := b.truth.size[opening]
	look := at(0, o/2, -15)
	return []sweep{
		{at(-160, o/2+330, 380), at(160, o/2+330, 380), look, 220, 500, 1.0},
		{at(330, o/2-120, 400), at(330, o/2+160, 400), look, 200, 500, 1.0},
		{at(-330, o/2+200, 420), at(-330, o/2-100, 420), look, 200, 500, 1.0},
	}
}

// benchPlace is the space around the truth, seen from the moving jaw's side
// (the fixed jaw is far).
func benchPlace(b *bench) Place {
	x := r3.Scale(-1, b.truth.pose.R.Axis(1))
	x = r3.Unit(r3.Vec{X: x.X, Y: x.Y})
	z := r3.Vec{Z: 1}
	return Place{
		Frame: geom.Pose{R: geom.RotFromAxes(x, r3.Cross(z, x), z)},
		Box:   geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: b.truth.pose.T}, Size: r3.Vec{X: 900, Y: 900, Z: 600}},
	}
}
