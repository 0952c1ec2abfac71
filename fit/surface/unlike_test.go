package surface

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The sweeps of the little shop were drawn with 0.3 mm; four of them, of which
// not all meet, tell that to within a factor of two.
func TestUnlikeSeesHowFarSweepsDiffer(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	w, _ := shop()
	var logs float64
	const cells = 3
	for seed := range uint64(cells) {
		c := scanner{atMetre: 0.1, memory: 0.5, pose: 0.3, seed: 20 + seed}.scan(w, looksAtShop()...)
		got, ok := unlike(arrange(c))
		if !ok {
			t.Fatal("too few nodes")
		}
		logs += math.Log(got/0.3) / cells
	}
	if f := math.Exp(logs); f < 0.5 || f > 2 {
		t.Errorf("on average %.2f times what was drawn", f)
	}
}

func TestUnlikeOfOneSweep(t *testing.T) {
	w, _ := shop()
	c := scanner{atMetre: 0.1, seed: 1}.scan(w, looksAtShop()[0])
	if got, ok := unlike(arrange(c)); ok {
		t.Errorf("one sweep differs from itself by %g", got)
	}
}

func TestPatchMustBeFlat(t *testing.T) {
	for _, c := range []struct {
		sigma float64 // of the points; noise says 0.3
		want  bool
	}{{0.3, true}, {3, false}} {
		var p sweepPatch
		for _, s := range spotsOf(sheetOf(80, 10, c.sigma, 5), r3.Vec{Z: 1}, 0.3) {
			p.add(&s)
		}
		if got := p.flat(); got != c.want {
			t.Errorf("%g mm thick: flat %v", c.sigma, got)
		}
	}
}
