package between

import (
	"math"
	"testing"

	"cellwall/mapping"

	"gonum.org/v1/gonum/spatial/r3"
)

// A turn of 1 mrad about the scanner moves what is 500 mm off by 0.5 mm.
func TestCommonGrowsWithTheDistance(t *testing.T) {
	by := &mapping.Aligned{Moves: []mapping.Move{{About: r3.Vec{Z: 800}}}, Common: mapping.Rigid{Shift: 0.1, Turn: 0.001}, Each: mapping.Rigid{Shift: 0.2}}
	s := Common(by, r3.Vec{X: 500, Z: 800}).SigmaT()
	if math.Abs(s.X-0.1) > 1e-9 || math.Abs(s.Y-math.Hypot(0.1, 0.5)) > 1e-9 {
		t.Errorf("sigma %v", s)
	}
	if Each(by).Shift != 0.2 || Each(nil).Shift != 0 || Common(nil, r3.Vec{})[0][0] != 0 {
		t.Error("what was not moved has no spread of its own")
	}
}
