package mapping_test

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/fixtures"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

const deg = math.Pi / 180

// The trial of rough scans: how many random cells, from which seed on.
var (
	roughCells = flag.Int("rough-cells", 2, "random cells in the trial of rough scans")
	roughSeed  = flag.Uint64("rough-seed", 3, "seed of the first of them")
)

// tripod draws a still scan that stands free in the shop and is placed by up to
// 300 mm and 10 degrees off.
func tripod(shop *fixtures.Shop, rng *rand.Rand) fixtures.Still {
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	direction := func() r3.Vec {
		return r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
	}
	for {
		at := r3.Vec{X: in(-2000, 2000), Y: in(-2000, 2000), Z: in(200, 1100)}
		if math.Hypot(at.X, at.Y) < 700 || !shop.Free(at, 200) {
			continue
		}
		st := fixtures.Still{
			Name:         "tripod",
			BaseFromScan: geom.Pose{R: geom.RotFromRPY(in(-2, 2)*deg, in(-2, 2)*deg, in(-math.Pi, math.Pi)), T: at},
			RoughShift:   300, RoughTurn: 10 * deg,
			Step: 0.12 * deg, Noise: in(0.5, 2), Most: 20000,
		}
		turn, shift := r3.Scale(in(0, 9.9)*deg, direction()), r3.Scale(in(0, 299), direction())
		st.Placed = st.BaseFromScan.Perturb([6]float64{shift.X, shift.Y, shift.Z, turn.X, turn.Y, turn.Z})
		return st
	}
}

// Random cells with a tripod each, at the density at which a tripod's scanner has
// a ray every 0.3 degrees. A scan that is placed must be placed right, and its
// 95 % intervals hold the truth; one that is refused is counted.
func TestRoughScansArePlaced(t *testing.T) {
	if testing.Short() {
		t.Skip("casts and maps whole cells")
	}
	var inside, all, refused int
	for seed := *roughSeed; seed < *roughSeed+uint64(*roughCells); seed++ {
		s := fixtures.Random(seed)
		s.Density = 0.15
		shop, err := fixtures.Build(s)
		if err != nil {
			t.Fatal(err)
		}
		st := tripod(shop, rand.New(rand.NewPCG(seed, 7)))
		s.Stills = []fixtures.Still{st}
		dir := t.TempDir()
		if _, err := s.Write(dir); err != nil {
			t.Fatal(err)
		}
		cloud, err := merge(t, dir)
		if err != nil {
			t.Logf("seed %d: %v", seed, err)
			refused++
			continue
		}
		p := &cloud.Placed[0]
		e := p.BaseFromScan.Minus(st.BaseFromScan)
		shift, turn := r3.Vec{X: e[0], Y: e[1], Z: e[2]}, r3.Vec{X: e[3], Y: e[4], Z: e[5]}
		sigma, swing := p.Cov.SigmaT(), p.Cov.SigmaR()
		t.Logf("seed %d: off by %.2f mm, %.4f deg; sigma %.2f mm, %.4f deg; %+v", seed, shift, r3.Scale(1/deg, turn), sigma, r3.Scale(1/deg, swing), p.Fit)
		if r3.Norm(shift) > max(1, 4*r3.Norm(sigma)) || r3.Norm(turn) > max(0.05*deg, 4*r3.Norm(swing)) {
			t.Errorf("seed %d: off by %.2f mm, %.3f deg", seed, shift, r3.Scale(1/deg, turn))
		}
		for _, z := range []float64{shift.X / sigma.X, shift.Y / sigma.Y, shift.Z / sigma.Z, turn.X / swing.X, turn.Y / swing.Y, turn.Z / swing.Z} {
			all++
			if math.Abs(z) < 1.96 {
				inside++
			}
		}
		if n := cloud.PerScan[len(cloud.PerScan)-1]; n.Used < n.Read/4 {
			t.Errorf("seed %d: of the placed scan %+v", seed, n)
		}
	}
	t.Logf("%d of %d intervals hold the truth, %d of %d scans refused", inside, all, refused, *roughCells)
	// Two cells are too few to judge 95 %: three of four is what half as wide
	// intervals would hold.
	if 4*inside < 3*all || 2*refused > *roughCells {
		t.Errorf("%d of %d intervals hold the truth, %d of %d scans are refused", inside, all, refused, *roughCells)
	}
}

// A scan that shows one wall alone cannot be placed, and the error says what is
// open, where in cell.yaml, and what to do.
func TestRoughScanOfOneWallIsRefused(t *testing.T) {
	dir := folder(t, wall())
	var s strings.Builder
	s.WriteString("x y z\n")
	for y := -700.0; y < 700; y += 5 {
		for z := 0.0; z < 900; z += 5 {
			fmt.Fprintf(&s, "2000 %g %g\n", y, z)
		}
	}
	path := filepath.Join(dir, "cell.yaml")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	rough := strings.Replace(string(text), "scans:\n", "scans:\n  - {name: still, points: still.xyz, origin_mm: [0, 0, 300], "+
		"placed: {xyz_mm: [10, 0, 0], rpy_deg: [0, 0, 1]}, rough: {shift_mm: 100, turn_deg: 5}}\n", 1)
	for name, text := range map[string]string{path: rough, filepath.Join(dir, "still.xyz"): s.String()} {
		if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	_, err = merge(t, dir)
	var f *fault.Error
	if !errors.As(err, &f) || f.Line == 0 || !strings.Contains(err.Error(), "scan still: it cannot be placed") {
		t.Fatalf("error %v, want one on the scan's line in cell.yaml", err)
	}
	for _, open := range []string{"a shift along base Y", "a shift along base Z", "a turn about base X"} {
		if !strings.Contains(f.Rule, open) {
			t.Errorf("%q lacks %q", f.Rule, open)
		}
	}
}
