package mapping

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// someTable holds n points near one metre from the base; whole is what the
// moments of all of them must be.
func someTable(n int, seed uint64) (t *table, whole geom.Moments) {
	rng := rand.New(rand.NewPCG(seed, 1))
	t = newTable()
	for i := range n {
		p := r3.Vec{X: 900 + 100*rng.Float64(), Y: 80 * rng.Float64(), Z: 3 * rng.NormFloat64()}
		t.add(p, r3.Vec{Z: 1}, 700+400*rng.Float64(), int64(i))
		whole.Add(p, 1)
	}
	return t, whole
}

func momentsOf(t *table) (m geom.Moments) {
	for i := range t.n {
		if s := t.at(i); s.n > 0 {
			v := s.voxel()
			m.Merge(v.Moments)
		}
	}
	return m
}

func same(t *testing.T, what string, got, want geom.Moments) {
	t.Helper()
	if got.N != want.N || r3.Norm(r3.Sub(got.Mean, want.Mean)) > 1e-9 {
		t.Errorf("%s: %g points round %v, want %g round %v", what, got.N, got.Mean, want.N, want.Mean)
	}
	for i := range want.Scatter {
		if math.Abs(got.Scatter[i]-want.Scatter[i]) > 1e-11*(want.Scatter[0]+want.Scatter[5]) {
			t.Errorf("%s: scatter %v, want %v", what, got.Scatter, want.Scatter)
			return
		}
	}
}

// Cutting a scan into voxels, merging pieces and folding levels lose nothing:
// the moments of the whole come out as if the points had been added one by one.
func TestTablesKeepTheMomentsOfAllPoints(t *testing.T) {
	a, whole := someTable(20000, 1)
	b, more := someTable(7000, 2)
	same(t, "one table", momentsOf(a), whole)
	a.merge(b)
	whole.Merge(more)
	same(t, "two merged", momentsOf(a), whole)
	for level := range 3 {
		a = a.folded(level)
		same(t, "folded", momentsOf(a), whole)
	}
}

func TestVoxelsAreFoundAgain(t *testing.T) {
	a, _ := someTable(20000, 3)
	seen := map[key]bool{}
	for i := range a.n {
		k := a.at(i).key
		if seen[k] {
			t.Fatalf("voxel %x is there twice", k)
		}
		seen[k] = true
		if a.find(k) != a.at(i) || a.get(k) != a.at(i) {
			t.Fatalf("voxel %x is not found", k)
		}
	}
	if a.find(keyAt(0, r3.Vec{X: -5000})) != nil {
		t.Error("a voxel is found where no point lies")
	}
}

func TestVoxelSaysFromWhereItWasSeen(t *testing.T) {
	tab := newTable()
	tab.add(r3.Vec{X: 1000.2, Y: 0.1, Z: 0.3}, r3.Vec{X: -1}, 1000, 0)
	tab.add(r3.Vec{X: 1000.6, Y: 1.1, Z: -0.3}, r3.Vec{Z: 1}, 1200, 1)
	if tab.n != 1 {
		t.Fatalf("%d voxels, want 1", tab.n)
	}
	v := tab.at(0).voxel()
	if r3.Norm(r3.Sub(v.Toward, r3.Unit(r3.Vec{X: -1, Z: 1}))) > 1e-12 || v.Range != 1100 || v.Edge != 10 {
		t.Errorf("seen along %v from %g mm in a voxel of %g mm", v.Toward, v.Range, v.Edge)
	}
	if d := r3.Norm(r3.Sub(v.Bounds.Min, r3.Vec{X: 1000.2, Y: 0.1, Z: -0.3})); d > 1e-5 {
		t.Errorf("bounds start at %v", v.Bounds.Min)
	}
	if d := r3.Norm(r3.Sub(v.Bounds.Max, r3.Vec{X: 1000.6, Y: 1.1, Z: 0.3})); d > 1e-5 {
		t.Errorf("bounds end at %v", v.Bounds.Max)
	}
}

// Points measured from near are kept, as long as they are few: to 1.8 m, also where
// a thin scan's voxels are folded into wider ones.
func TestVoxelsKeepPointsFromNear(t *testing.T) {
	for _, x := range []struct {
		from float64
		kept int
	}{{800, 5}, {1700, 5}, {1900, 0}} {
		tab := newTable()
		for i := range 5 {
			tab.add(r3.Vec{X: 100 + 0.3*float64(i), Y: 2, Z: 3}, r3.Vec{Z: 1}, x.from, int64(i))
		}
		if _, got := tab.size(); got != x.kept {
			t.Errorf("of five points measured from %g mm %d are kept, want %d", x.from, got, x.kept)
		}
		if _, got := tab.folded(levelFor(x.from)).size(); got != x.kept {
			t.Errorf("from %g mm, folded: %d are kept, want %d", x.from, got, x.kept)
		}
	}
}

func BenchmarkTableAdd(b *testing.B) {
	rng := rand.New(rand.NewPCG(5, 5))
	tab := newTable()
	i := int64(0)
	x := 0.0
	for b.Loop() {
		x = math.Mod(x+4, 3000)
		tab.add(r3.Vec{X: x, Y: float64(i/750%1000) * 8, Z: rng.Float64()}, r3.Vec{Z: 1}, 2500, i)
		i++
	}
}
