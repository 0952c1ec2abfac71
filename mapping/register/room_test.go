package register

import (
	"math"
	"math/rand/v2"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

const deg = math.Pi / 180

// sheet is a rectangle from corner along u and v, mm, that is seen from the side to
// which u x v points.
type sheet struct{ corner, u, v r3.Vec }

func xyz(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }

// box is the four sides and the top of a box that stands at lo.
func box(lo, size r3.Vec) []sheet {
	x, y, z := xyz(size.X, 0, 0), xyz(0, size.Y, 0), xyz(0, 0, size.Z)
	return []sheet{
		{lo, x, z}, {r3.Add(lo, y), z, x}, {lo, z, y}, {r3.Add(lo, x), y, z}, {r3.Add(lo, z), x, y},
	}
}

// The pieces of which the rooms of these tests are made.
var (
	floor  = sheet{xyz(-1000, -1200, 0), xyz(3000, 0, 0), xyz(0, 2800, 0)}
	wallX  = sheet{xyz(2000, -1200, 0), xyz(0, 0, 1800), xyz(0, 2800, 0)}
	wallY  = sheet{xyz(-1000, 1600, 0), xyz(3000, 0, 0), xyz(0, 0, 1800)}
	facing = sheet{xyz(-1000, -1200, 0), xyz(0, 0, 1800), xyz(3000, 0, 0)} // parallel to wallY
	crate  = box(xyz(900, 500, 0), xyz(600, 450, 700))
)

func join(parts ...[]sheet) []sheet {
	var out []sheet
	for _, p := range parts {
		out = append(out, p...)
	}
	return out
}

// seenFrom is a scan of the sheets, as points moved by error and with noise along
// the ray, in voxels of 20 mm. Sheets do not hide one another.
func seenFrom(eye r3.Vec, of []sheet, error geom.Pose, noise float64, rng *rand.Rand) Scan {
	const step, edge = 20.0, 20.0
	type sum struct {
		geom.Moments
		toward r3.Vec
		far    float64
	}
	at := map[cell]int{}
	var sums []sum
	for _, s := range of {
		if r3.Dot(r3.Cross(s.u, s.v), r3.Sub(eye, s.corner)) <= 0 {
			continue
		}
		lu, lv := r3.Norm(s.u), r3.Norm(s.v)
		for a := step / 2; a < lu; a += step {
			for b := step / 2; b < lv; b += step {
				p := r3.Add(s.corner, r3.Add(r3.Scale(a/lu, s.u), r3.Scale(b/lv, s.v)))
				toward := r3.Unit(r3.Sub(eye, p))
				p = error.Apply(r3.Add(p, r3.Scale(noise*rng.NormFloat64(), toward)))
				c := cellAt(r3.Add(p, xyz(6, 6, 6)), edge)
				k, ok := at[c]
				if !ok {
					k = len(sums)
					at[c] = k
					sums = append(sums, sum{})
				}
				sums[k].Add(p, 1)
				sums[k].toward = r3.Add(sums[k].toward, error.R.Apply(toward))
				sums[k].far += r3.Norm(r3.Sub(eye, p))
			}
		}
	}
	out := Scan{Sigma: func(float64) float64 { return noise }}
	for i := range sums {
		s := &sums[i]
		out.Voxels = append(out.Voxels, Voxel{Moments: s.Moments, Edge: edge, Toward: r3.Unit(s.toward), Range: s.far / s.N})
	}
	return out
}

// armScans are sweeps of the sheets from near the base, each off as a whole by a
// shift of sigma along each axis and a turn of as much over a metre.
func armScans(n int, of []sheet, sigma float64, rng *rand.Rand) []Scan {
	var out []Scan
	for k := range n {
		eye := xyz(400+100*float64(k), -200+150*float64(k), 900)
		e := about(eye, normal3(rng, sigma), normal3(rng, sigma/1000))
		out = append(out, seenFrom(eye, of, e, 0.5, rng))
	}
	return out
}

func normal3(rng *rand.Rand, sigma float64) r3.Vec {
	return xyz(sigma*rng.NormFloat64(), sigma*rng.NormFloat64(), sigma*rng.NormFloat64())
}

var tripodEye = xyz(-600, 300, 1400)
