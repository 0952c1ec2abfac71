package drawing

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestInk(t *testing.T) {
	k := newInk(100, 50)
	k.line(r2.Vec{X: 10.5, Y: 20.5}, r2.Vec{X: 30.5, Y: 20.5})
	k.take(r2.NewBox(60, 10, 65, 15))
	for _, c := range []struct {
		box   r2.Box
		lines int
		free  bool
	}{
		{r2.NewBox(12, 20, 15.9, 22), 4, true},
		{r2.NewBox(12, 22, 16, 25), 0, true},
		{r2.NewBox(64, 14, 70, 20), 0, false},
		{r2.NewBox(95, 40, 105, 45), 0, false},
	} {
		if lines, free := k.under(c.box); free != c.free || free && lines != c.lines {
			t.Errorf("%v: %d lines, free %v, want %d, %v", c.box, lines, free, c.lines, c.free)
		}
	}
	if lines, letters := k.crossed(r2.Vec{X: 20, Y: 10}, r2.Vec{X: 20, Y: 30}); lines != 1 || letters {
		t.Errorf("across the line: %d, %v", lines, letters)
	}
	if _, letters := k.crossed(r2.Vec{X: 50, Y: 12}, r2.Vec{X: 80, Y: 12}); !letters {
		t.Error("across the lettering: nothing noticed")
	}
}
