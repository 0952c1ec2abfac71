package surface

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// cube is six faces about the origin as sweeps see them that are each off by a
// shift and a turn of their own.
func cube(r *rand.Rand, sweeps int, shift, turn float64) []*refined {
	type motion struct{ by, about, eye r3.Vec }
	vec := func(s float64) r3.Vec {
		return r3.Vec{X: s * r.NormFloat64(), Y: s * r.NormFloat64(), Z: s * r.NormFloat64()}
	}
	motions := make([]motion, sweeps)
	for i := range motions {
		eye := r3.Add(r3.Vec{X: 600, Z: 800}, vec(200))
		motions[i] = motion{vec(shift), vec(turn / r3.Norm(eye)), eye}
	}
	var out []*refined
	for k := range 6 {
		n := [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}[k/2]
		at := r3.Scale(1500*float64(2*(k%2)-1), n)
		f := &refined{frame: geom.Plane{Normal: n, Offset: r3.Dot(n, at)}.Frame(at)}
		for s, m := range motions {
			g := sight{scan: int32(s)}
			for i := range 64 {
				p := f.frame.Apply(r3.Vec{X: 100 * (float64(i%8) - 3.5), Y: 100 * (float64(i/8) - 3.5)})
				p = r3.Add(p, r3.Add(m.by, r3.Cross(m.about, r3.Sub(p, m.eye))))
				p = r3.Add(p, r3.Scale(0.05*r.NormFloat64(), n))
				g.add(&spot{Moments: geom.Moments{N: 1, Mean: p}, eye: m.eye, noise: 0.0025}, 1/0.0025, 0.0025)
			}
			f.sights = append(f.sights, g)
		}
		f.design = make([]design, sweeps)
		out = append(out, f)
	}
	return out
}

// The sway that the sweeps were drawn with comes out, over thirty cells.
func TestCompareFindsHowSweepsDiffer(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 0))
	const cells, shift, turn = 30, 0.2, 0.4
	var s, u float64
	for range cells {
		got, _ := compare(cube(r, 5, shift, turn), declared(0.1), false, 5)
		s += got.shift / cells
		u += got.turn / cells
	}
	// Twelve shifts a cell: a variance from 360 is good to 7.5 %.
	if math.Abs(s/(shift*shift)-1) > 0.25 || math.Abs(u/(turn*turn)-1) > 0.25 {
		t.Errorf("shift %.3f, turn %.3f mm, want %g and %g", math.Sqrt(s), math.Sqrt(u), shift, turn)
	}
}

// A declared accuracy counts for what sweeps do not show of it.
func TestDeclaredAccuracyStays(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 0))
	_, far := compare(cube(r, 7, 0.05, 0.05), declared(1), true, 7)
	if total := far.shift + far.armShift; total < 0.8 || total > 1.1 {
		t.Errorf("shift and arm together %.3f mm2, want about the 1 that was declared", total)
	}
	if far.shift > 0.3 {
		t.Errorf("sweeps that agree to 0.05 mm are said to differ by %.2f", math.Sqrt(far.shift))
	}
	_, near := compare(cube(r, 7, 0.2, 0.2), declared(0.2), true, 7)
	if near.armShift > 0.5*near.shift {
		t.Errorf("sweeps that differ as declared leave %.3f mm2 to the arm, beside %.3f", near.armShift, near.shift)
	}
}

func TestCompareWithoutEvidence(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 0))
	one := cube(r, 1, 0.2, 0.2)
	if _, got := compare(one, declared(0.3), true, 1); got != declared(0.3) {
		t.Errorf("one sweep: %+v, want what was declared", got)
	}
	if _, got := compare(one, declared(0.2), false, 1); got != declared(0.2) {
		t.Errorf("one sweep, nothing declared: %+v, want what is usual", got)
	}
	// Two sweeps that agree by chance, on a cell of which nothing was declared.
	if _, got := compare(cube(r, 2, 0, 0), declared(0.02), false, 2); got.shift < 0.005 || got.shift > 0.04 {
		t.Errorf("two sweeps without any difference are said to sway by %.3f mm", math.Sqrt(got.shift))
	}
}

func TestLikeliest(t *testing.T) {
	got := likeliest(0.1, func(v float64) float64 { return math.Pow(math.Log(v/3.7), 2) })
	if math.Abs(got/3.7-1) > 0.05 {
		t.Errorf("least at %g, want 3.7", got)
	}
}
