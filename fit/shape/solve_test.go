package shape

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestJacobianAgainstDifferences holds the analytic row of a point to central
// differences of its distance, for the pose and for the sweep.
func TestJacobianAgainstDifferences(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	m := NewModel(angle())
	f := &fit{view: &view{model: m}, pose: upright(rng), scans: []int32{0}, sweeps: make([][6]float64, 1), scale: []float64{1}, floor: []float64{1}}
	const step = 1e-5
	for _, s := range m.samples[:60] {
		at := f.pose.Apply(r3.Add(s.at, r3.Scale(0.3, s.normal)))
		distance := func(g *fit) float64 {
			p := point{at: at, toward: f.pose.R.Apply(s.normal)}
			g.seat(&p, g.pose.Inverse(), f.centre(), 5)
			return p.off
		}
		p := point{at: at, toward: f.pose.R.Apply(s.normal)}
		f.seat(&p, f.pose.Inverse(), f.centre(), 5)
		row := p.row(f.centre())
		for k := range row {
			var d [6]float64
			move := func(by float64) (ofPose, ofSweep float64) {
				d[k] = by
				g := *f
				g.pose = f.moved(d)
				h := *f
				h.sweeps = [][6]float64{d}
				return distance(&g), distance(&h)
			}
			up, upSweep := move(step)
			down, downSweep := move(-step)
			for _, n := range []float64{(up - down) / (2 * step), (upSweep - downSweep) / (2 * step)} {
				if math.Abs(n-row[k]) > 1e-4*(1+math.Abs(n)) {
					t.Fatalf("unknown %d: %g, by differences %g", k, row[k], n)
				}
			}
		}
	}
}

// TestSweepsShowInTheCovariance: n sweeps that are each displaced by s leave the
// mean uncertain by s/sqrt(n) (GUM, JCGM 100:2008, 4.2.3), however many points
// they have.
func TestSweepsShowInTheCovariance(t *testing.T) {
	m := NewModel(angle())
	rng := rand.New(rand.NewPCG(2, 2))
	const sweeps, spread = 6, 0.3
	f := &fit{view: &view{model: m, cloud: &mapping.Cloud{}}, pose: geom.Identity(), deff: 1}
	sums := make([]normal, sweeps)
	for s := range sums {
		sums[s] = newNormal()
		off := r3.Vec{X: spread * rng.NormFloat64(), Y: spread * rng.NormFloat64(), Z: spread * rng.NormFloat64()}
		for _, x := range m.samples {
			p := point{at: x.at, normal: x.normal}
			sums[s].take(p.row(m.middle), r3.Dot(x.normal, off), 1/(0.01*0.01))
		}
		f.sweeps = append(f.sweeps, [6]float64{})
	}
	got := f.under(sums, spread)
	for k := range 3 {
		if sigma := math.Sqrt(got.cov[k][k]); math.Abs(sigma*math.Sqrt(sweeps)/spread-1) > 0.05 {
			t.Errorf("sigma %d is %.3f mm, of sweeps that differ by %.2f", k, sigma, spread)
		}
	}
	if rigid := f.under(sums, 0.0005); rigid.log > got.log {
		t.Error("sweeps that differ are taken for equal ones")
	}
}
