package fit

import (
	"math/rand/v2"
	"testing"
)

// squaresOf makes a raster of the given scores: 1 through, -1 stopped, 0 unseen.
func squaresOf(scores [][]int) *raster {
	t := &raster{ny: len(scores), nx: len(scores[0])}
	t.region.hi = [2]float64{float64(t.nx) * rasterPitch, float64(t.ny) * rasterPitch}
	n := t.nx * t.ny
	t.through, t.flat, t.proud = make([]bool, n), make([]bool, n), make([]bool, n)
	for y := range scores {
		for x, s := range scores[y] {
			t.through[y*t.nx+x], t.flat[y*t.nx+x] = s > 0, s < 0
		}
	}
	return t
}

// sum of the scores within the squares x0..x1, y0..y1, inclusive.
func (t *raster) sum(x0, x1, y0, y1 int) float64 {
	s := 0.0
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			s += t.score(y*t.nx + x)
		}
	}
	return s
}

func TestBestRectangleAgainstAllRectangles(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	for trial := range 50 {
		scores := make([][]int, 7)
		for y := range scores {
			scores[y] = make([]int, 9)
			for x := range scores[y] {
				scores[y][x] = rng.IntN(3) - 1
			}
		}
		r := squaresOf(scores)
		want := 0.0
		for y0 := range r.ny {
			for y1 := y0; y1 < r.ny; y1++ {
				for x0 := range r.nx {
					for x1 := x0; x1 < r.nx; x1++ {
						want = max(want, r.sum(x0, x1, y0, y1))
					}
				}
			}
		}
		best, sum := r.greatest(squares{hi: [2]int{r.nx - 1, r.ny - 1}})
		if got := r.sum(best.lo[0], best.hi[0], best.lo[1], best.hi[1]); sum != got || got != want {
			t.Fatalf("trial %d: the greatest rectangle sums to %g, said to be %g; all of them up to %g", trial, got, sum, want)
		}
	}
}

// A door of 8 by 12 squares and a window of 10 by 7 with a web of two squares
// between: the web costs less than the window's width brings, but an arm that
// goes through both meets it. A stray stopped square in the door parts nothing.
func TestBarPartsDoorFromWindow(t *testing.T) {
	scores := make([][]int, 16)
	for y := range scores {
		scores[y] = make([]int, 24)
		for x := range scores[y] {
			door := x >= 2 && x < 10 && y >= 2 && y < 14
			window := x >= 12 && x < 22 && y >= 4 && y < 11
			if scores[y][x] = -1; door || window {
				scores[y][x] = 1
			}
		}
	}
	scores[7][5] = -1
	for range 2 { // also with rows for columns
		r := squaresOf(scores)
		if both, _ := r.greatest(squares{hi: [2]int{r.nx - 1, r.ny - 1}}); both.hi[0]-both.lo[0] < 12 && both.hi[1]-both.lo[1] < 12 {
			t.Error("the web stands in nobody's way here: the test shows nothing")
		}
		got, ok := r.best()
		if w, h := got.hi[0]-got.lo[0]+1, got.hi[1]-got.lo[1]+1; !ok || w*h != 8*12 {
			t.Errorf("%+v, want the door", got)
		}
		scores = turned(scores)
	}
}

func turned(scores [][]int) [][]int {
	out := make([][]int, len(scores[0]))
	for x := range out {
		for y := range scores {
			out[x] = append(out[x], scores[y][x])
		}
	}
	return out
}

func TestNoRectangleWhereNothingWentThrough(t *testing.T) {
	if r, ok := squaresOf([][]int{{-1, 0, -1}, {0, -1, -1}}).best(); ok {
		t.Errorf("found %+v in a closed sheet", r)
	}
}

// Above the seen part of an opening nothing came back, neither from the sheet nor
// from behind it, while the sheet shows on both sides: the opening goes on there.
// Below, where the sides were not seen either, it does not.
func TestOpeningWidensBetweenItsSides(t *testing.T) {
	r := squaresOf([][]int{
		{0, 0, 0, 0, 0, 0},
		{-1, 1, 1, 1, -1, -1},
		{-1, 1, 1, 1, -1, -1},
		{-1, 0, 0, 0, -1, -1},
		{-1, 0, 0, 0, -1, -1},
		{-1, -1, -1, -1, -1, -1},
	})
	b, ok := r.best()
	if !ok || b != (squares{lo: [2]int{1, 1}, hi: [2]int{3, 2}}) {
		t.Fatalf("the seen part is %+v", b)
	}
	if b = r.widen(b); b != (squares{lo: [2]int{1, 1}, hi: [2]int{3, 4}}) {
		t.Errorf("widened to %+v", b)
	}
}

// A sheet of 40 by 30 squares with a hole, and a stray piece in its plane 20
// squares to the right.
func TestSolidLeavesStrayPiecesOut(t *testing.T) {
	scores := make([][]int, 30)
	for y := range scores {
		scores[y] = make([]int, 64)
		for x := range 40 {
			if scores[y][x] = -1; x > 10 && x < 30 && y > 8 && y < 20 {
				scores[y][x] = 1
			}
		}
	}
	scores[12][62], scores[13][62] = -1, -1
	r := squaresOf(scores).solid()
	if r.lo != [2]float64{0, 0} || r.hi != [2]float64{40 * rasterPitch, 30 * rasterPitch} {
		t.Errorf("the sheet takes up %+v", r)
	}
}

// A sheet of 20 by 30 squares goes on to the left in a strip of three rows, which
// steps down once, up to a gap; and to the right in nothing but a stray piece.
func TestFaceRunsOnInAStrip(t *testing.T) {
	scores := make([][]int, 30)
	for y := range scores {
		scores[y] = make([]int, 64)
		for x := range 50 {
			strip := x < 30 && (x < 15 && y >= 22 && y < 25 || x >= 15 && y >= 25 && y < 28)
			if x >= 30 || strip && x != 4 {
				scores[y][x] = -1
			}
		}
	}
	scores[12][51], scores[12][52] = -1, -1
	r := squaresOf(scores)
	solid := r.solid()
	if solid.lo[0] != 30*rasterPitch {
		t.Fatalf("the strip counts as solid from %g: the test shows nothing", solid.lo[0])
	}
	got := r.attached(solid)
	if got.lo[0] != 5*rasterPitch || got.hi != solid.hi || got.lo[1] != solid.lo[1] {
		t.Errorf("%+v hangs together, of it solid %+v", got, solid)
	}
}
