package surface

import "testing"

// Scan lines of every cell, five cells apart, on a sheet of 40 x 41 cells with
// room about it; the last line ends half way.
func stripes() (grid, []bool) {
	g := grid{cell: 10, nx: 60, ny: 61}
	on := make([]bool, g.nx*g.ny)
	for y := 10; y <= 50; y += 5 {
		for x := 10; x < 50; x++ {
			on[y*g.nx+x] = y < 50 || x < 30
		}
	}
	return g, on
}

func TestPitchIsThatAcrossTheLines(t *testing.T) {
	g, on := stripes()
	for i, p := range g.pitch(on) {
		switch {
		case !on[i] && p != 0:
			t.Fatalf("cell %d is off and has the pitch %g", i, p)
		case on[i] && (p < 5 || p > 7.1): // along the diagonal, sqrt 2 times as far
			t.Fatalf("cell %d, %d: pitch %g, want 5 to 7", i%g.nx, i/g.nx, p)
		}
	}
}

func TestCloseFillsBetweenLinesAndNoMore(t *testing.T) {
	g, on := stripes()
	closed := g.close(on, make([]float32, len(on)))
	for y := range g.ny {
		for x := range g.nx {
			outside := x < 10 || x >= 50 || y < 10 || y > 50 || y > 46 && x > 36
			inside := x > 10 && x < 49 && y >= 10 && y <= 45 || x > 10 && x < 29 && y >= 10 && y <= 50
			if got := closed[y*g.nx+x]; got && outside || !got && inside {
				t.Fatalf("cell %d, %d closed: %v", x, y, got)
			}
		}
	}
}

// Lines that noise spreads over two cells are closed as thin ones are: far down a
// floor each would otherwise be a face of its own.
func TestCloseFillsBetweenSpreadLines(t *testing.T) {
	g, on := stripes()
	for i := len(on) - g.nx - 1; i >= 0; i-- {
		if on[i] && i%3 > 0 {
			on[i+g.nx] = true
		}
	}
	if _, parts := g.parts(g.close(on, make([]float32, len(on)))); parts != 1 {
		t.Errorf("%d parts, want one", parts)
	}
}

// A door of ten cells in a sheet of every cell stays open, and two sheets of
// every cell eight cells apart stay apart; corners may be rounded by a cell.
func TestCloseLeavesRealGaps(t *testing.T) {
	g := grid{cell: 10, nx: 60, ny: 60}
	on := make([]bool, g.nx*g.ny)
	for y := 10; y < 50; y++ {
		for x := 10; x < 50; x++ {
			door := x >= 15 && x < 25 && y >= 20 && y < 30
			gap := x >= 35 && x < 43
			on[y*g.nx+x] = !door && !gap
		}
	}
	filled := 0
	for i, c := range g.close(on, make([]float32, len(on))) {
		if on[i] && !c {
			t.Fatalf("cell %d, %d is gone", i%g.nx, i/g.nx)
		}
		if c && !on[i] {
			filled++
		}
	}
	if filled > 4 {
		t.Errorf("%d cells of the gaps are filled, want the door's four corners at most", filled)
	}
}
