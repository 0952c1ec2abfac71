//go:build reference

package distance

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// fclError is how well FCL 0.7's solver of its own (GST_INDEP) is known to
// place a distance, mm: measured against closed forms, it errs by up to 0.009.
const fclError = 0.01

// manyPairs of each two kinds are compared.
const manyPairs = 10 * pairs

func TestManyGapsProveThemselves(t *testing.T) { proveGaps(t, manyPairs) }

// TestDistancesAgainstFCL compares with FCL 0.7 (Debian libfcl-dev), which a
// small program calls that is compiled here. On bodies with flat sides FCL's
// search now and then ends early, by up to centimetres: a pair on which the two
// differ must prove our gap, and stay a rarity.
func TestDistancesAgainstFCL(t *testing.T) {
	program := compileFCL(t)
	r := rand.New(rand.NewPCG(5, 5))
	for i, one := range kinds {
		for _, other := range kinds[i:] {
			var in bytes.Buffer
			var took time.Duration
			drawnPairs, gaps := make([][2]drawn, manyPairs), make([]Gap, manyPairs)
			for k := range gaps {
				a, b := drawPair(t, r, one, other)
				begin := time.Now()
				gaps[k] = Between(a.Body, b.Body)
				took += time.Since(begin)
				drawnPairs[k] = [2]drawn{a, b}
				a.spell(&in)
				b.spell(&in)
			}
			begin := time.Now()
			theirs := askFCL(t, program, &in)
			t.Logf("%s and %s: %v, FCL with its reading %v", one, other, took.Round(time.Millisecond), time.Since(begin).Round(time.Millisecond))
			compareFCL(t, one+" and "+other, drawnPairs, gaps, theirs)
		}
	}
}

func compareFCL(t *testing.T, name string, drawnPairs [][2]drawn, gaps []Gap, theirs []float64) {
	t.Helper()
	differ, worst := 0, 0.0
	for k, g := range gaps {
		d := math.Abs(max(0, g.Distance) - max(0, theirs[k])) // of overlaps FCL gives no depth
		if d <= fclError {
			worst = max(worst, d)
			continue
		}
		differ++
		a, b := &drawnPairs[k][0], &drawnPairs[k][1]
		if slab := a.slab(b, g.Normal); math.Abs(slab-g.Distance) > within {
			t.Errorf("%s: %+v, FCL %g, slab %g", name, g, theirs[k], slab)
		}
		if out := max(a.outside(g.A), b.outside(g.B)); g.Distance > 0 && out > within {
			t.Errorf("%s: %+v, FCL %g, and a point lies %g outside", name, g, theirs[k], out)
		}
		if g.Distance <= 0 && bestSlab(rand.New(rand.NewPCG(1, 1)), a, b) > within {
			t.Errorf("%s: %+v, but they are apart as FCL's %g says", name, g, theirs[k])
		}
	}
	t.Logf("%s: at most %.1e mm between the two; %d pairs where FCL ended early", name, worst, differ)
	if differ > len(gaps)/100 {
		t.Errorf("%s: FCL differs on %d pairs of %d", name, differ, len(gaps))
	}
}

func compileFCL(t *testing.T) string {
	t.Helper()
	if _, err := os.Stat("/usr/include/fcl/fcl.h"); err != nil {
		t.Skip("FCL is absent: install Debian's libfcl-dev")
	}
	program := filepath.Join(t.TempDir(), "fcl")
	args := []string{"-O2", "-I/usr/include/eigen3", "-o", program, "testdata/fcl.cpp", "-lfcl", "-lccd"}
	if out, err := exec.Command("g++", args...).CombinedOutput(); err != nil {
		t.Fatalf("g++: %v\n%s", err, out)
	}
	return program
}

func askFCL(t *testing.T, program string, in *bytes.Buffer) []float64 {
	t.Helper()
	cmd := exec.Command(program)
	cmd.Stdin = in
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("FCL: %v", err)
	}
	var all []float64
	for _, line := range strings.Fields(string(out)) {
		var d float64
		fmt.Sscan(line, &d)
		all = append(all, d)
	}
	return all
}

// spell the body for the program.
func (d *drawn) spell(w *bytes.Buffer) {
	switch {
	case d.kind == "sphere":
		spellPose(w, d.kind, geom.Pose{R: geom.IdentityRot(), T: d.ball.From})
		fmt.Fprintf(w, "%.17g\n", d.ball.Radius)
	case d.kind == "capsule":
		u := r3.Sub(d.ball.To, d.ball.From)
		spellPose(w, d.kind, along(u, r3.Scale(0.5, r3.Add(d.ball.From, d.ball.To))))
		fmt.Fprintf(w, "%.17g %.17g\n", d.ball.Radius, r3.Norm(u))
	case d.kind == "cylinder":
		spellPose(w, d.kind, along(d.bar.Axis, d.bar.Centre))
		fmt.Fprintf(w, "%.17g %.17g\n", d.bar.Radius, d.bar.Height)
	case d.kind == "box":
		b := d.Body.(*Box).box
		spellPose(w, d.kind, b.Pose)
		fmt.Fprintf(w, "%.17g %.17g %.17g\n", b.Size.X, b.Size.Y, b.Size.Z)
	default:
		c := d.mesh.Centroid()
		spellPose(w, "convex", geom.Pose{R: geom.IdentityRot(), T: c})
		fmt.Fprintln(w, len(d.mesh.Vertices))
		for _, v := range d.mesh.Vertices {
			fmt.Fprintf(w, "%.17g %.17g %.17g\n", v.X-c.X, v.Y-c.Y, v.Z-c.Z)
		}
		fmt.Fprintln(w, len(d.mesh.Faces))
		for _, f := range d.mesh.Faces {
			fmt.Fprintln(w, f[0], f[1], f[2])
		}
	}
}

// along is the pose at centre whose Z runs along u.
func along(u, centre r3.Vec) geom.Pose {
	z := r3.Unit(u)
	x := anyAcross(z)
	return geom.Pose{R: geom.RotFromAxes(x, r3.Cross(z, x), z), T: centre}
}

func spellPose(w *bytes.Buffer, kind string, p geom.Pose) {
	fmt.Fprintf(w, "%s ", kind)
	for _, row := range p.R {
		fmt.Fprintf(w, "%.17g %.17g %.17g ", row[0], row[1], row[2])
	}
	fmt.Fprintf(w, "%.17g %.17g %.17g ", p.T.X, p.T.Y, p.T.Z)
}
