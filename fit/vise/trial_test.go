package vise

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

func drawBench(rng *rand.Rand) *bench {
	pick := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	pose := geom.Pose{
		R: geom.RotFromRPY(pick(-0.03, 0.03), pick(-0.03, 0.03), pick(-math.Pi, math.Pi)),
		T: r3.Vec{X: pick(800, 1400), Y: pick(-400, 400), Z: pick(500, 900)},
	}
	return benchVise(pose, pick(90, 200), pick(30, 60), pick(25, 70), pick(25, 70), pick(12, 150))
}

func TestTrial(t *testing.T) {
	n, _ := strconv.Atoi(os.Getenv("TRIALS"))
	fl := flaws{noise: 0.3, shift: 0.3, turn: 0.0005, declared: 0.3}
	if os.Getenv("FLAWS") == "noise" {
		fl = flaws{noise: 0.3}
	}
	if os.Getenv("FLAWS") == "all" {
		fl.spikes, fl.dropEdges, fl.alongLine = 0.01, true, 0.7
	}
	var z [8]float64
	var e [8]float64
	in, done := 0, 0
	var spent time.Duration
	for i := range n {
		rng := rand.New(rand.NewPCG(uint64(i), 7))
		b := drawBench(rng)
		c := b.scan(threePasses(b), fl, rng)
		w := Want{Width: b.truth.size[width], Height: b.truth.height, Depth: 0, Fixed: "far"}
		if i%2 == 0 {
			w.Width, w.Height = 0, 0
		}
		start := time.Now()
		found, refused := Locate(c, w, benchPlace(b))
		spent += time.Since(start)
		if refused != nil {
			t.Logf("%d refused: %+v (open %.0f)", i, *refused, b.truth.size[opening])
			continue
		}
		l := found[0]
		done++
		d := l.Pose.Minus(b.truth.pose)
		rinv := b.truth.pose.R.T()
		cov := l.Cov.Turned(rinv)
		dt := rinv.Apply(r3.Vec{X: d[0], Y: d[1], Z: d[2]})
		dr := rinv.Apply(r3.Vec{X: d[3], Y: d[4], Z: d[5]})
		errs := [8]float64{dt.X, dt.Y, dt.Z, dr.X, dr.Y, dr.Z, l.Opening.Value - b.truth.size[opening], l.Width.Value - b.truth.size[width]}
		sig := [8]float64{6: l.Opening.Sigma, 7: l.Width.Sigma}
		for k := range 6 {
			sig[k] = math.Sqrt(cov[k][k])
		}
		bad := false
		for k := range errs {
			e[k] += errs[k] * errs[k]
			z[k] += errs[k] * errs[k] / sig[k] / sig[k]
			if k < 7 && math.Abs(errs[k]) < 1.96*sig[k] {
				in++
			}
			bad = bad || math.Abs(errs[k]) > 4*sig[k]
		}
		if bad || len(found) > 1 || testing.Verbose() && n < 5 {
			t.Logf("%d (%d found) errors %.3f sig %.3f", i, len(found), errs, sig)
		}
	}
	for k := range e {
		t.Logf("%d rms %.4f  z rms %.2f", k, math.Sqrt(e[k]/float64(done)), math.Sqrt(z[k]/float64(done)))
	}
	t.Logf("coverage %.3f, %v each", float64(in)/float64(7*done), spent/time.Duration(n))
}
