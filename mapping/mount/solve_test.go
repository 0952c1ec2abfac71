package mount_test

import (
	"math"
	"strings"
	"testing"

	"cellwall/fixtures"
	"cellwall/mapping/align"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"
	"cellwall/mapping/mappingtest"
	"cellwall/mapping/mount"

	"gonum.org/v1/gonum/spatial/r3"
)

// invented writes an invented cell at a low density and reads it; the cell's
// file says the mount and the latency that s.Errors make of the true ones.
func invented(t *testing.T, s fixtures.Settings) (*cell.Cell, mount.Mount) {
	t.Helper()
	s.Density = 0.12
	shop, c := mappingtest.Write(t, s)
	return c, mount.Mount{FlangeFromScanner: shop.Truth.FlangeFromScanner, Latency: shop.Truth.Latency}
}

func solve(t *testing.T, c *cell.Cell) *mount.Solution {
	t.Helper()
	s, err := mount.Solve(t.Context(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The truth is the fixture's own; the bounds are those that a mount is worth
// solving for: 0.3 mm, 0.03 degrees, and for the latency, which a slow arm tells
// less well, its own stated interval.
func TestMountOfAnInventedCell(t *testing.T) {
	if testing.Short() {
		t.Skip("solves from some hundred thousand points")
	}
	settings := fixtures.Random(9)
	settings.Errors.MountShift, settings.Errors.MountTurn, settings.Errors.Latency = 2, 0.007, 0.008
	c, truth := invented(t, settings)
	s := solve(t, c)
	d := s.Found.Minus(truth)
	if shift := math.Hypot(d[0], math.Hypot(d[1], d[2])); shift > 0.3 {
		t.Errorf("the scanner's origin is %.3f mm off", shift)
	}
	if turn := math.Hypot(d[3], math.Hypot(d[4], d[5])); turn > 0.03*math.Pi/180 {
		t.Errorf("the scanner is turned by %.4f rad", turn)
	}
	for _, v := range s.Directions {
		if off := v.Along(d); v.Told && math.Abs(off) > 4*v.Sigma {
			t.Errorf("%v is off by %.3f mm with a deviation of %.3f", v.String(), off, v.Sigma)
		}
	}
	if !s.Significant() || s.After > s.Before/2 {
		t.Errorf("the wrong mount is not called so: rms %.2f to %.2f mm", s.Before, s.After)
	}
	if len(s.Outliers) > 0 {
		t.Errorf("outliers %v among sweeps that are alike", s.Outliers)
	}

	// Another start leads to the same end: the scans decide, not what was given.
	c.Scanner.FlangeFromScanner, c.Scanner.Latency = truth.FlangeFromScanner, truth.Latency
	again := solve(t, c)
	for _, v := range again.Directions {
		if off := v.Along(s.Found.Minus(again.Found)); v.Told && math.Abs(off) > 0.3*v.Sigma {
			t.Errorf("%v: %.3f mm between two starts, with a deviation of %.3f", v.String(), off, v.Sigma)
		}
	}
}

// Joint 1 swung twice at postures that look alike tells little else than what
// tilts and shifts the room: all that would turn or lift it as a whole is not
// told, and is left as it was given.
func TestMountNamesWhatIsNotTold(t *testing.T) {
	if testing.Short() {
		t.Skip("solves from some hundred thousand points")
	}
	settings := fixtures.Random(12)
	settings.Skip = []string{"swing-down", "swing-up", "swing-low", "pass-across"}
	settings.Errors.MountShift, settings.Errors.MountTurn = 1, 0.003
	c, _ := invented(t, settings)
	s := solve(t, c)
	if len(s.Untold) == 0 {
		t.Fatal("all is told from one swing and two passes")
	}
	for _, v := range s.Directions {
		if moved := v.Along(s.Change()); !v.Told && math.Abs(moved) > 0.05 {
			t.Errorf("%v is not told, and was changed by %.3f mm", v.String(), moved)
		}
	}
	for _, text := range s.Untold {
		if !strings.Contains(text, "from these sweeps; add ") {
			t.Errorf("%q does not say what to scan next", text)
		}
	}
	unknown := 0
	for _, v := range s.Values() {
		if math.IsInf(v.Sigma, 1) {
			unknown++
		}
	}
	if unknown == 0 {
		t.Error("no value leans on what is not told")
	}
}

// One scan has nothing to agree with.
func TestMountRefusesOneScan(t *testing.T) {
	settings := fixtures.Random(12)
	settings.Skip = []string{"swing-down", "swing-up", "swing-low", "pass-across", "pass-fixed", "pass-moving"}
	c, _ := invented(t, settings)
	if _, err := mount.Solve(t.Context(), c, nil); err == nil || !strings.Contains(err.Error(), "two scans") {
		t.Errorf("error %v, want one that asks for another scan", err)
	}
}

// A mount with its axes mistaken is refused, not mended into another wrong one.
func TestMountRefusesMistakenAxes(t *testing.T) {
	if testing.Short() {
		t.Skip("solves from some hundred thousand points")
	}
	c, _ := invented(t, fixtures.Random(9))
	c.Scanner.FlangeFromScanner.R = c.Scanner.FlangeFromScanner.R.Mul(geom.Exp(r3.Vec{Z: math.Pi / 2}))
	if s, err := mount.Solve(t.Context(), c, nil); err == nil {
		t.Errorf("solved as %v", s.Values())
	}
}

// Derivatives against central differences, by the cell's own arm.
func TestDriftIsTheDerivativeOfAPlace(t *testing.T) {
	settings := fixtures.Random(3)
	c, m := invented(t, settings)
	worst, n := mount.DriftError(t, c, m)
	if n < 100 {
		t.Fatalf("%d points only", n)
	}
	// Joints are interpolated between rows 5 ms apart and the speed is taken over
	// 20 ms: near the ramps' ends, and where one row's slope ends, it differs.
	for k, bound := range [align.Params]float64{1e-6, 1e-6, 1e-6, 1e-3, 1e-3, 1e-3, 12} {
		if worst[k] > bound {
			t.Errorf("derivative by %s is off by %g mm per unit", mount.Parts[k], worst[k])
		}
	}
}
