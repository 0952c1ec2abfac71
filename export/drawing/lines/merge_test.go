package lines

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func st(x0, y0, x1, y1 float64, rank int) Stroke {
	return Stroke{r2.Vec{X: x0, Y: y0}, r2.Vec{X: x1, Y: y1}, rank}
}

func TestMerge(t *testing.T) {
	for _, c := range []struct {
		name          string
		in            []Stroke
		first, second float64
		n             int
	}{
		{"one in two pieces", []Stroke{st(0, 0, 10, 0, 0), st(10, 0, 20, 0, 0)}, 20, 0, 1},
		{"overlapping, the other way round", []Stroke{st(0, 0, 10, 0, 0), st(20, 0, 5, 0, 0)}, 20, 0, 1},
		{"apart on one row", []Stroke{st(0, 0, 10, 0, 0), st(15, 0, 20, 0, 0)}, 15, 0, 2},
		{"visible before hidden", []Stroke{st(0, 0, 30, 0, 1), st(10, 0, 20, 0, 0)}, 10, 20, 3},
		{"hidden wholly covered", []Stroke{st(5, 0.05, 15, 0.05, 1), st(0, 0, 20, 0, 0)}, 20, 0, 1},
		{"side by side", []Stroke{st(0, 0, 10, 0, 0), st(0, 1, 10, 1, 1)}, 10, 10, 2},
		{"nearly parallel, but leaving", []Stroke{st(0, 0, 100, 0, 0), st(0, 0, 100, 2, 1)}, 100, math.Hypot(100, 2), 2},
		{"across the seam of directions", []Stroke{st(0, 0, 100, 0.05, 0), st(20, 0.05, 60, -0.01, 1)}, 100, 0, 1},
	} {
		out := Merge(c.in, 0.2)
		if math.Abs(total(out, 0)-c.first) > 0.1 || math.Abs(total(out, 1)-c.second) > 0.1 || len(out) != c.n {
			t.Errorf("%s: %v", c.name, out)
		}
	}
}

// However a line is cut up, what is drawn of it is the same.
func TestMergeDoesNotDependOnTheCuts(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 100 {
		a, b := r2.Vec{X: 100 * rng.Float64(), Y: 100 * rng.Float64()}, r2.Vec{X: 100 * rng.Float64(), Y: 100 * rng.Float64()}
		var in []Stroke
		last := a
		for i := 1; i <= 10; i++ {
			p := r2.Add(a, r2.Scale(float64(i)/10, r2.Sub(b, a)))
			in = append(in, Stroke{last, p, 0})
			last = p
		}
		rng.Shuffle(len(in), func(i, j int) { in[i], in[j] = in[j], in[i] })
		out := Merge(in, 0.2)
		if want := r2.Norm(r2.Sub(b, a)); len(out) != 1 || math.Abs(total(out, 0)-want) > 1e-6 {
			t.Fatalf("%d strokes of %.3f mm, want one of %.3f", len(out), total(out, 0), want)
		}
	}
}
