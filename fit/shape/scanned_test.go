package shape

import (
	"math"
	"math/rand/v2"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// extruded is the closed prism over a polygon that is given counter-clockwise
// and star-shaped about its first corner.
func extruded(outline [][2]float64, height float64) []geom.Triangle {
	at := func(i int, z float64) r3.Vec {
		p := outline[i%len(outline)]
		return r3.Vec{X: p[0], Y: p[1], Z: z}
	}
	var out []geom.Triangle
	for i := range outline {
		out = append(out,
			geom.Triangle{at(i, 0), at(i+1, 0), at(i+1, height)},
			geom.Triangle{at(i, 0), at(i+1, height), at(i, height)})
		if i > 0 && i+1 < len(outline) {
			out = append(out,
				geom.Triangle{at(0, height), at(i, height), at(i+1, height)},
				geom.Triangle{at(0, 0), at(i+1, 0), at(i, 0)})
		}
	}
	return out
}

// angle is an angle plate with legs of two lengths: no turn takes it into itself.
func angle() []geom.Triangle {
	return extruded([][2]float64{{20, 20}, {20, 160}, {0, 160}, {0, 0}, {110, 0}, {110, 20}}, 90)
}

// block and bar are what their names say.
func block(x, y, z float64) []geom.Triangle {
	return extruded([][2]float64{{0, 0}, {x, 0}, {x, y}, {0, y}}, z)
}

func bar(radius, length float64) []geom.Triangle {
	var ring [][2]float64
	for k := range 60 {
		s, c := math.Sincos(float64(k) * 2 * math.Pi / 60)
		ring = append(ring, [2]float64{radius * c, radius * s})
	}
	return extruded(ring, length)
}

// placed is the facets at a pose.
func placed(facets []geom.Triangle, p geom.Pose) []geom.Triangle {
	out := make([]geom.Triangle, len(facets))
	for i, f := range facets {
		for k := range f {
			out[i][k] = p.Apply(f[k])
		}
	}
	return out
}

// stage is what the tests scan: facets, over a table at z = 0.
type stage struct {
	facets []geom.Triangle
	noise  float64 // one sigma, mm
	shift  float64 // of a sweep as a whole, mm, one sigma
	turn   float64 // rad about the origin, one sigma
}

// cloud casts rays from eyes that move along the lines, toward the middle.
func (s stage) cloud(middle r3.Vec, lines [][2]r3.Vec, rng *rand.Rand) *mapping.Cloud {
	c := &mapping.Cloud{Noise: mapping.Noise{AtMetre: s.noise}}
	for k, l := range lines {
		c.Scans = append(c.Scans, string(rune('a'+k)))
		draw := func(sigma float64) r3.Vec {
			return r3.Vec{X: sigma * rng.NormFloat64(), Y: sigma * rng.NormFloat64(), Z: sigma * rng.NormFloat64()}
		}
		off := geom.Pose{R: geom.Exp(draw(s.turn)), T: draw(s.shift)}
		g := grid{cloud: c, scan: int32(k), at: map[[3]int32]int{}}
		const profiles, pixels, fan = 110, 160, 0.75
		for i := range profiles {
			t := float64(i) / (profiles - 1)
			eye := r3.Add(r3.Scale(1-t, l[0]), r3.Scale(t, l[1]))
			look := r3.Unit(r3.Sub(middle, r3.Scale(0.5, r3.Add(l[0], l[1]))))
			across := r3.Unit(r3.Cross(look, r3.Sub(l[1], l[0])))
			for j := range pixels {
				sin, cos := math.Sincos(fan * (float64(j)/(pixels-1) - 0.5))
				d := r3.Add(r3.Scale(cos, look), r3.Scale(sin, across))
				if at, ok := s.hit(eye, d); ok {
					p := r3.Add(eye, r3.Scale(at+s.noise*rng.NormFloat64(), d))
					g.add(off.Apply(p), off.Apply(eye))
				}
			}
		}
		g.close()
	}
	return c
}

// hit is the distance to the first facet, or to the table; not ok where the ray
// misses or grazes.
func (s stage) hit(eye, d r3.Vec) (float64, bool) {
	best, cos := math.Inf(1), 0.0
	if d.Z < 0 {
		best, cos = -eye.Z/d.Z, -d.Z
	}
	for i := range s.facets {
		if at, ok := s.facets[i].Cut(eye, d); ok && at > 0 && at < best {
			best, cos = at, -r3.Dot(s.facets[i].Normal(), d)
		}
	}
	return best, best < 2000 && cos > 0.25
}

// grid gathers the points of a scan into voxels of 5 mm that keep all of them.
type grid struct {
	cloud *mapping.Cloud
	scan  int32
	at    map[[3]int32]int
	cells []cell
}

type cell struct {
	vox    mapping.Voxel
	points []r3.Vec
	eye    r3.Vec
}

func (g *grid) add(p, eye r3.Vec) {
	const edge = 5
	key := [3]int32{int32(math.Floor(p.X / edge)), int32(math.Floor(p.Y / edge)), int32(math.Floor(p.Z / edge))}
	k, ok := g.at[key]
	if !ok {
		k = len(g.cells)
		g.at[key] = k
		g.cells = append(g.cells, cell{vox: mapping.Voxel{Scan: g.scan, Edge: edge, Bounds: geom.NoBounds()}})
	}
	c := &g.cells[k]
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

// everything lists all voxels but the table's.
func everything(c *mapping.Cloud) (out []int32) {
	for i := range c.Voxels {
		if c.Voxels[i].Mean.Z > 3 {
			out = append(out, int32(i))
		}
	}
	return out
}

// around looks at the middle from three sides.
func around(m r3.Vec) [][2]r3.Vec {
	at := func(x, y, z float64) r3.Vec { return r3.Add(m, r3.Vec{X: x, Y: y, Z: z}) }
	return [][2]r3.Vec{
		{at(-200, 350, 350), at(200, 350, 350)},
		{at(350, 150, 380), at(350, -250, 380)},
		{at(-380, -200, 350), at(-250, 200, 350)},
	}
}
