package vise

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping"

	"gonum.org/v1/gonum/spatial/r3"
)

// coarse is the cloud in voxels of another size that kept no points, as mapping
// makes of what was seen from afar.
func coarse(c *mapping.Cloud, edge float64) *mapping.Cloud {
	out := regrouped(c, func(int32) float64 { return edge })
	for i := range out.Voxels {
		out.Voxels[i].First, out.Voxels[i].Kept = 0, 0
	}
	out.Samples = nil
	return out
}

// regrouped is the cloud in voxels of another size for each scan.
func regrouped(c *mapping.Cloud, edge func(scan int32) float64) *mapping.Cloud {
	out := &mapping.Cloud{Scans: c.Scans, Noise: c.Noise, PoseSigma: c.PoseSigma}
	grids := make([]*grid, len(c.Scans))
	for s := range grids {
		grids[s] = newGrid(out, int32(s), edge(int32(s)))
	}
	for i := range c.Voxels {
		v := &c.Voxels[i]
		for _, x := range c.Samples[v.First : v.First+v.Kept] {
			grids[v.Scan].add(r3.Vec{X: float64(x[0]), Y: float64(x[1]), Z: float64(x[2])}, v.Eye())
		}
	}
	for _, g := range grids {
		g.close()
	}
	return out
}

// TestLocateFromAfar: without raw points the faces still carry the datum; where
// voxels are half as large as a jaw's faces it may be refused, but not wrong.
func TestLocateFromAfar(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	b := plain()
	sweeps := threePasses(b)
	mid := b.truth.middle()
	for k := range sweeps {
		sweeps[k].from = r3.Add(mid, r3.Scale(2.1, r3.Sub(sweeps[k].from, mid)))
		sweeps[k].to = r3.Add(mid, r3.Scale(2.1, r3.Sub(sweeps[k].to, mid)))
		sweeps[k].profiles *= 2
	}
	c := b.scan(sweeps, faulty, rand.New(rand.NewPCG(3, 77)))
	for _, edge := range []float64{10, 20} {
		found, refused := Locate(coarse(c, edge), plainWant, benchPlace(b))
		if refused != nil {
			if edge == 10 {
				t.Errorf("refused %+v", *refused)
			}
			continue
		}
		err, sigma := errorsOf(found[0], b)
		for k := range err {
			if math.Abs(err[k]) > 4*sigma[k] {
				t.Errorf("voxels of %g mm: parameter %d is off by %.3g, stated sigma %.3g", edge, k, err[k], sigma[k])
			}
		}
	}
}
