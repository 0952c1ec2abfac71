package cell

import (
	"math"
	"os"
	"strings"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

var remounted = geom.Pose{R: geom.RotFromRPY(0.01, -0.2, 0.03), T: r3.Vec{X: 61.2345, Y: -0.5, Z: 47}}

const (
	remountedXYZ = "[61.235, -0.5, 47]"
	remountedRPY = "[0.57296, -11.45916, 1.71887]"
)

// Whatever way the scanner is written, only its numbers change.
func TestRemountKeepsAllElse(t *testing.T) {
	old := "{xyz_mm: [62, 0, 48], rpy_deg: [0, -90, 0]}"
	mount := "{xyz_mm: " + remountedXYZ + ", rpy_deg: " + remountedRPY + "}"
	for name, c := range map[string]struct{ from, to, want string }{
		"as it stands": {"", "", "  mount: " + mount + "\n  eye_mm: [0, 0, -200]\n  latency_ms: 7.25\n"},
		"comments": {
			"  mount: " + old + "\n", "  mount: " + old + "   # measured: [1, 2]\n",
			"  mount: " + mount + "   # measured: [1, 2]\n",
		},
		"in lines": {
			"  mount: " + old + "\n", "  mount:\n    rpy_deg:   # fixed axes\n      - 0\n      - -90\n      - 0 # yaw\n    xyz_mm: [ 62,0 , 48 ]\n",
			"  mount:\n    rpy_deg:   # fixed axes\n      - 0.57296\n      - -11.45916\n      - 1.71887 # yaw\n    xyz_mm: [ 61.235,-0.5 , 47 ]\n",
		},
		"no latency": {"  latency_ms: 4\n", "", "scanner:\n  latency_ms: 7.25\n  mount: " + mount + "\n"},
		"on one line": {
			"  mount: " + old + "\n  eye_mm: [0, 0, -200]\n  latency_ms: 4\n  range_mm: [150, 3000]\n  noise_mm: 0.3\n  fan_deg: 80\n", "  {noise_mm: 0.3, mount: " + old + "}\n",
			"  {latency_ms: 7.25, noise_mm: 0.3, mount: " + mount + "}\n",
		},
	} {
		text := strings.Replace(fullCell, c.from, c.to, 1)
		cell, err := Open(folder(t, text, fullRobot))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		got, err := cell.Remount(remounted, 0.00725)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if !strings.Contains(string(got), c.want) {
			t.Errorf("%s: the new text is\n%s\nand does not hold\n%s", name, got, c.want)
		}
		from, to := strings.Index(text, "scanner:"), strings.Index(text, "scans:")
		if !strings.HasPrefix(string(got), text[:from]) || !strings.HasSuffix(string(got), text[to:]) {
			t.Errorf("%s: something else than the scanner has changed:\n%s", name, got)
		}
	}
}

// What is read back is what was written, to the last place that matters.
func TestRemountReadsBack(t *testing.T) {
	dir := folder(t, fullCell, fullRobot)
	c, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	text, err := c.Remount(remounted, 0.00725)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(c.Path("cell.yaml"), text, 0o666); err != nil {
		t.Fatal(err)
	}
	again, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	for k, d := range again.Scanner.FlangeFromScanner.Minus(remounted) {
		if math.Abs(d) > [2]float64{1e-3, 1e-6}[k/3] {
			t.Errorf("part %d is %g off", k, d)
		}
	}
	if math.Abs(again.Scanner.Latency-0.00725) > 1e-9 {
		t.Errorf("latency %v", again.Scanner.Latency)
	}
}

// A file that was changed in between is not written over with half of it.
func TestRemountRefusesAFileThatIsNoLongerRight(t *testing.T) {
	c, err := Open(folder(t, fullCell, fullRobot))
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"scanner: [", strings.Replace(fullCell, "[62, 0, 48]", "[62, 0]", 1)} {
		if err := os.WriteFile(c.Path("cell.yaml"), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		if _, err := c.Remount(remounted, 0); err == nil {
			t.Errorf("no error for %q", text)
		}
	}
}
