package surface

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// noisySheet is one sweep's view of a level square of 64 x 64 points whose noise
// has the given correlation from one point of a line to the next.
func noisySheet(memory float64, r *rand.Rand) ([]spot, refined) {
	var spots []spot
	f := refined{frame: level()}
	for y := range 64 {
		e := r.NormFloat64()
		for x := range 64 {
			e = memory*e + math.Sqrt(1-memory*memory)*r.NormFloat64()
			p := r3.Vec{X: 5 * (float64(x) - 31.5), Y: 5 * (float64(y) - 31.5), Z: 0.1 * e}
			spots = append(spots, spot{Moments: geom.Moments{N: 1, Mean: p}, noise: 0.01, toward: r3.Vec{Z: 1}, eye: r3.Vec{Z: 500}})
			f.members = append(f.members, int32(len(spots)-1))
		}
	}
	f.line(spots)
	f.gather(spots)
	f.own[0] = f.planes()[0].at
	f.judge(spots)
	return spots, f
}

// The variance of a mean of noise that is correlated by a from one to the next is
// (1+a)/(1-a) times that of independent noise (the spectrum of an autoregressive
// process at zero; Box and Jenkins, Time Series Analysis, 3.2).
func TestDesignEffectOfCorrelatedNoise(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 0))
	for _, memory := range []float64{0, 0.5, 0.8} {
		want := (1 + memory) / (1 - memory)
		var sum float64
		const runs = 20
		for range runs {
			_, f := noisySheet(memory, r)
			if f.design[0].blocks < 8 {
				t.Fatalf("told from %.1f blocks", f.design[0].blocks)
			}
			sum += f.design[0].measured / runs
		}
		// The greatest of three divisions lies above their mean by about their
		// scatter: sixteen blocks of three parameters are good to 20 %. Of noise that
		// runs on over five points, blocks of sixteen show 7.2 of 9.
		if sum < 0.55*want || sum > 1.5*want {
			t.Errorf("correlation %g: design effect %.2f, want %.2f", memory, sum, want)
		}
	}
}

func TestEffectWeighsTheUsual(t *testing.T) {
	if got := (design{}).effect(); got != 1 {
		t.Errorf("nothing known: %g, want 1", got)
	}
	if got := (design{assumed: 3}).effect(); got != 3 {
		t.Errorf("nothing measured: %g, want the usual 3", got)
	}
	if got := (design{measured: 5, blocks: usualBlocks, assumed: 3}).effect(); got != 4 {
		t.Errorf("as many blocks as usual: %g, want the middle, 4", got)
	}
}

func TestTiling(t *testing.T) {
	for _, size := range [][2]float64{{100, 100}, {1000, 10}, {300, 0}, {0, 0}} {
		tile := tiling{lo: [2]float64{1, 2}, hi: [2]float64{1 + size[0], 2 + size[1]}}
		n := tile.divide(64)
		if n < 1 || n > 130 {
			t.Errorf("%v: %d tiles, want about 64", size, n)
		}
		for _, p := range []vec3{{1, 1, 2}, {1, 1 + size[0], 2 + size[1]}} {
			if i := tile.at(p); i < 0 || i >= n {
				t.Errorf("%v: %v lies in tile %d of %d", size, p, i, n)
			}
		}
	}
}
