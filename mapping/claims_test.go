package mapping_test

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/mapping/mappingtest"
	"cellwall/mapping/sight"

	"gonum.org/v1/gonum/spatial/r3"
)

// window is a fan of 81 rays turned past a wall at X = 1500 with a gap, 500 mm wide
// about Y = 0, in which the scanner says beyond of the ray along a direction.
func window(beyond func(eye, along r3.Vec, t float64) string) string {
	var b strings.Builder
	for k := range 95 {
		t := 0.02 * float64(k)
		sin, cos := math.Sincos((speed*t - 30) * math.Pi / 180)
		eye := r3.Vec{X: (500 + eyeZ) * cos, Y: (500 + eyeZ) * sin, Z: 300}
		for i := range 81 {
			up, out := math.Sincos(0.01*float64(i) - 0.4)
			along := r3.Vec{X: out * cos, Y: out * sin, Z: up}
			hit := r3.Add(eye, r3.Scale((1500-eye.X)/along.X, along))
			if math.Abs(hit.Y) < 250 {
				b.WriteString(beyond(eye, along, t))
			} else {
				b.WriteString(line(hit, t))
			}
		}
	}
	return b.String()
}

// Where a ray gives no return, or one from beyond the scanner's range, nothing is
// known unless cell.yaml says that nothing is there; then that is kept apart.
func TestNoReturnTellsWhatTheCellSays(t *testing.T) {
	for name, beyond := range map[string]func(eye, along r3.Vec, t float64) string{
		"none": func(_, _ r3.Vec, t float64) string {
			return strings.Replace(line(r3.Vec{X: math.NaN()}, t), "NaN", "nan", -1)
		},
		"far": func(eye, along r3.Vec, t float64) string { return line(r3.Add(eye, r3.Scale(3500, along)), t) },
	} {
		dir := folder(t, window(beyond))
		for _, says := range []string{"", "  no_return: unknown\n", "  no_return: nothing-in-range\n"} {
			g := sightOf(t, dir, says)
			// 240 mm from the eye and beside the arm's own way; 130 mm is nearer than its range.
			at := func(d float64) [3]int {
				s, c := math.Sincos(0.25)
				return g.Lattice().At(r3.Vec{X: 400 + d*c, Z: 300 + d*s})
			}
			wall := g.Lattice().At(r3.Vec{X: 400 + 240*math.Cos(0.5), Y: -240 * math.Sin(0.5), Z: 360})
			claimed, taken := g.Claimed(sight.NewBits(g.Lattice()))
			trusted := strings.Contains(says, "nothing")
			if taken != trusted {
				t.Fatalf("%s, %q: claims are taken: %v", name, says, taken)
			}
			if g.Crossed().Has(at(240)) || !g.Crossed().Has(wall) {
				t.Errorf("%s, %q: the gap is crossed %v, and before the wall %v", name, says, g.Crossed().Has(at(240)), g.Crossed().Has(wall))
			}
			if trusted && (!claimed.Has(at(240)) || claimed.Has(at(130))) {
				t.Errorf("%s: claimed at 240 mm: %v, at 130 mm: %v", name, claimed.Has(at(240)), claimed.Has(at(130)))
			}
		}
	}
}

func sightOf(t *testing.T, dir, says string) *sight.Grid {
	t.Helper()
	path := filepath.Join(dir, "cell.yaml")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	changed := strings.Replace(string(text), "  noise_mm", says+"  noise_mm", 1)
	if err := os.WriteFile(path, []byte(changed), 0o666); err != nil {
		t.Fatal(err)
	}
	defer os.WriteFile(path, text, 0o666)
	return mappingtest.Merge(t, mappingtest.Open(t, dir)).Sight
}
