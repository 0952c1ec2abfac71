package mapping_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/fault"
	"cellwall/mapping/mappingtest"

	"gonum.org/v1/gonum/spatial/r3"
)

// oneJoint is an arm that turns about base Z: the flange stands 500 mm out and
// 300 mm up. The scanner looks along the flange's X: its Z is base X at joint
// angle 0, its X base -Z.
const oneJoint = `format: cellwall.robot/1
name: turntable
convention: dh-standard
joints:
  - {a_mm: 500, alpha_deg: 0, d_mm: 300, theta_deg: 0, min_deg: -170, max_deg: 170}
capsules:
  - {frame: 1, from_mm: [0, 0, 0], to_mm: [150, 0, 0], radius_mm: 30}
`

const (
	speed   = 30.0 // deg/s
	latency = 0.05 // s
	eyeZ    = -100.0
)

// inScanner takes a point of the base frame to the scanner's, at the instant t.
func inScanner(p r3.Vec, t float64) r3.Vec {
	sin, cos := math.Sincos((speed*t - 30) * math.Pi / 180)
	x, y, z := p.X*cos+p.Y*sin-500, -p.X*sin+p.Y*cos, p.Z-300 // in the flange
	return r3.Vec{X: -z, Y: y, Z: x}
}

// folder writes a cell whose one scan, "turn", holds the lines of points, each
// x, y, z and its stamp, and returns its path.
func folder(t *testing.T, points string) string {
	t.Helper()
	dir := t.TempDir()
	motion := "t,j1\n"
	for k := range 41 {
		motion += fmt.Sprintf("%.2f,%.4f\n", 0.05*float64(k), speed*0.05*float64(k)-30)
	}
	for name, text := range map[string]string{
		"robot.yaml": oneJoint, "turn.csv": motion, "turn.xyz": "x y z t\n" + points,
		"cell.yaml": `format: cellwall.cell/1
name: turntable
robot: robot.yaml
scanner:
  mount: {xyz_mm: [0, 0, 0], rpy_deg: [0, 90, 0]}
  eye_mm: [0, 0, -100]
  latency_ms: 50
  range_mm: [200, 3000]
  noise_mm: 0.1
scans:
  - {name: turn, points: turn.xyz, motion: turn.csv}
ignore:
  - {name: cable, xyz_mm: [1500, 0, 1000], size_mm: [100, 100, 100]}
`} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// line is one point as the scanner writes it when it sees p at the instant t.
func line(p r3.Vec, t float64) string {
	q := inScanner(p, t)
	return fmt.Sprintf("%.5f %.5f %.5f %.4f\n", q.X, q.Y, q.Z, t+latency)
}

// wall is the plane x = 2000, seen in profiles 10 ms apart.
func wall() string {
	var s strings.Builder
	for k := 2; k < 190; k++ {
		t := 0.01 * float64(k)
		for z := 0.0; z < 900; z += 4 {
			a := (speed*t - 30) * math.Pi / 180
			s.WriteString(line(r3.Vec{X: 2000, Y: 2000 * math.Tan(a), Z: z}, t))
		}
	}
	return s.String()
}

func merge(t *testing.T, dir string) (*mapping.Cloud, error) {
	t.Helper()
	return mapping.Merge(t.Context(), mappingtest.Open(t, dir), nil)
}

// Every point must come to lie on the wall from which it was seen, at the
// instant that its stamp and the latency name, and know where its eye was.
func TestPointsArePlacedByTheMotion(t *testing.T) {
	cloud, err := merge(t, folder(t, wall()))
	if err != nil {
		t.Fatal(err)
	}
	if n := cloud.Counts; n.Read != 188*225 || n.Used != n.Read {
		t.Errorf("counts %+v, want all of %d used", n, 188*225)
	}
	for i := range cloud.Voxels {
		v := &cloud.Voxels[i]
		if math.Abs(v.Mean.X-2000) > 1e-4 || v.Bounds.Max.X-v.Bounds.Min.X > 1e-3 {
			t.Fatalf("voxel round %v, %g mm deep, is off the wall x = 2000", v.Mean, v.Bounds.Max.X-v.Bounds.Min.X)
		}
		// The eye runs round the base 400 mm out: 100 mm behind the flange.
		eye := v.Eye()
		if math.Abs(math.Hypot(eye.X, eye.Y)-400) > 1 || math.Abs(eye.Z-300) > 1 {
			t.Fatalf("voxel at %v was seen from %v", v.Mean, eye)
		}
	}
}

func TestEveryDropIsCountedUnderItsReason(t *testing.T) {
	var s strings.Builder
	s.WriteString(wall())
	put := func(n int, p r3.Vec, t float64) {
		for k := range n {
			s.WriteString(line(r3.Add(p, r3.Vec{Z: float64(k)}), t))
		}
	}
	at := 1.0 // the arm points along base X: eye at (400, 0, 300), flange at (500, 0, 300)
	for range 7 {
		s.WriteString("nan nan nan 1.05\n0 0 0 1.05\n") // no-return
	}
	put(2, r3.Vec{X: 1000, Z: 300}, 2.2)        // no-motion: the log ends at 2 s
	put(3, r3.Vec{X: 595, Z: 300}, at)          // out of range: 195 mm from the eye, 95 from the scanner
	put(4, r3.Vec{X: 3405, Z: 300}, at)         // out of range: 3005 from the eye, 2905 from the scanner
	put(5, r3.Vec{X: 1540, Y: -40, Z: 960}, at) // ignored
	put(6, r3.Vec{X: 640, Y: 25, Z: 300}, at)   // within the arm's own capsule
	put(1, r3.Vec{X: 1200, Z: 700}, at)         // sparse: alone
	cloud, err := merge(t, folder(t, s.String()))
	if err != nil {
		t.Fatal(err)
	}
	n := cloud.Counts
	for why, want := range map[mapping.Reason]int64{
		mapping.NoReturn: 14, mapping.NoMotion: 2, mapping.OutOfRange: 7, mapping.Ignored: 5,
		mapping.RobotItself: 6, mapping.EdgePoint: 0, mapping.Sparse: 1,
	} {
		if n.Dropped[why] != want {
			t.Errorf("%d points dropped as %s, want %d", n.Dropped[why], why, want)
		}
	}
	if n.Used != 188*225 || n.Read != n.Used+14+2+7+5+6+1 {
		t.Errorf("counts %+v do not add up", n)
	}
	if cloud.PerScan[0] != n {
		t.Errorf("counts of the only scan %+v, of all %+v", cloud.PerScan[0], n)
	}
}

func TestStillScanInMetres(t *testing.T) {
	dir := t.TempDir()
	var s strings.Builder
	s.WriteString("x,y,z\n")
	for y := 0.0; y < 1; y += 0.01 {
		for z := 0.0; z < 1; z += 0.01 {
			fmt.Fprintf(&s, "2,%.3f,%.3f\n", y, z)
		}
	}
	text := `format: cellwall.cell/1
name: tripod
scanner: {noise_mm: 1}
scans:
  - {name: still, points: still.csv, units: m, placed: {xyz_mm: [100, 0, 0], rpy_deg: [0, 0, 90]}, origin_mm: [0, 0, 1400]}
`
	for name, text := range map[string]string{"cell.yaml": text, "still.csv": s.String()} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	cloud, err := merge(t, dir)
	if err != nil {
		t.Fatal(err)
	}
	if cloud.Counts.Used != 10000 {
		t.Fatalf("%+v, want 10000 points used", cloud.Counts)
	}
	for i := range cloud.Voxels {
		v := &cloud.Voxels[i]
		if math.Abs(v.Mean.Y-2000) > 1e-6 || v.Mean.X > 100 || v.Mean.X < -900 {
			t.Fatalf("a wall at x = 2 m turned by 90 degrees lies round %v", v.Mean)
		}
		if d := r3.Norm(r3.Sub(v.Eye(), r3.Vec{X: 100, Z: 1400})); d > 1 {
			t.Fatalf("seen from %v, want the tripod's head", v.Eye())
		}
	}
}

func TestUselessScansAreRefused(t *testing.T) {
	var off, far strings.Builder
	for k := range 100 {
		off.WriteString(line(r3.Vec{X: 2000, Z: float64(k)}, 500))
		far.WriteString(line(r3.Vec{X: 9000, Z: float64(k)}, 1))
	}
	for _, c := range []struct{ name, points, file, want string }{
		{"stamps off the motion", off.String(), "turn.xyz", "never meet the motion"},
		{"all out of range", far.String(), "turn.xyz", "100 are dropped as out-of-range; check range_mm"},
	} {
		_, err := merge(t, folder(t, c.points))
		var f *fault.Error
		if !errors.As(err, &f) || !strings.HasSuffix(f.File, c.file) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one on %s with %q", c.name, err, c.file, c.want)
		}
	}
}

func TestUnknownNoiseIsRefused(t *testing.T) {
	dir := folder(t, line(r3.Vec{X: 2000}, 1)+line(r3.Vec{X: 2000, Z: 3}, 1)+line(r3.Vec{X: 2000, Z: 6}, 1)+line(r3.Vec{X: 2000, Z: 9}, 1))
	text, err := os.ReadFile(filepath.Join(dir, "cell.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	os.WriteFile(filepath.Join(dir, "cell.yaml"), []byte(strings.Replace(string(text), "  noise_mm: 0.1\n", "", 1)), 0o666)
	if _, err := merge(t, dir); err == nil || !strings.Contains(err.Error(), "noise_mm") {
		t.Errorf("error %v, want one that asks for noise_mm", err)
	}
}

func TestWarningsSayWhatIsSuspicious(t *testing.T) {
	var s strings.Builder
	s.WriteString(wall()) // as flat as five decimals, far from the 0.1 mm that cell.yaml gives
	for k := range 188 * 225 / 4 {
		s.WriteString(line(r3.Vec{X: 2000, Z: 0.01 * float64(k)}, 2.5))
	}
	cloud, err := merge(t, folder(t, s.String()))
	if err != nil {
		t.Fatal(err)
	}
	if w := cloud.Warnings; len(w) != 3 || !strings.Contains(w[0], "noise_mm is 0.1, but") ||
		!strings.Contains(w[1], "no pose accuracy is declared") || !strings.Contains(w[2], "scan turn: 10575 of 52875 points are dropped as no-motion") {
		t.Errorf("warnings %q, want one on the noise, one on the accuracy and one on no-motion", w)
	}
}

func TestProgressRunsToTheEnd(t *testing.T) {
	c := mappingtest.Open(t, folder(t, wall()))
	var last, size int64
	_, err := mapping.Merge(t.Context(), c, func(done, total int64) {
		if done < last || total < done {
			t.Errorf("progress %d of %d after %d", done, total, last)
		}
		last, size = done, total
	})
	if err != nil || last != size || size == 0 {
		t.Errorf("ended at %d of %d, error %v", last, size, err)
	}
}

func TestCancelStopsTheWork(t *testing.T) {
	c := mappingtest.Open(t, folder(t, wall()))
	ctx, cancel := context.WithCancel(t.Context())
	cloud, err := mapping.Merge(ctx, c, func(int64, int64) { cancel() })
	if cloud != nil || !errors.Is(err, context.Canceled) {
		t.Errorf("cloud %v, error %v, want nothing and context canceled", cloud != nil, err)
	}
}
