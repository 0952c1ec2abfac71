//go:build reference

package moves

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"cellwall/fixtures"
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// debianPython is the interpreter for which Debian builds its modules.
const debianPython = "/usr/bin/python3"

// open3dICP lays a cloud on another by point-to-plane ICP with a robust loss and a
// reach that shrinks.
const open3dICP = `
import json, sys
import numpy as np
import open3d as o3d
given = json.load(sys.stdin)
def cloud(points):
    return o3d.geometry.PointCloud(o3d.utility.Vector3dVector(np.array(points)))
old, new = cloud(given["old"]), cloud(given["new"])
new.estimate_normals(o3d.geometry.KDTreeSearchParamHybrid(radius=60, max_nn=30))
reg = o3d.pipelines.registration
motion = np.array(given["start"])
for reach, loss in ((40, 20), (10, 3), (3, 1)):
    motion = reg.registration_icp(old, new, reach, motion,
        reg.TransformationEstimationPointToPlane(reg.TukeyLoss(k=loss)),
        reg.ICPConvergenceCriteria(max_iteration=60)).transformation
json.dump(np.asarray(motion).tolist(), sys.stdout)
`

// others are the programs that lay one cloud on another, each from a start.
var others = []struct {
	name, package_ string
	probe          []string // succeeds where it is installed
	lay            func(t *testing.T, old, new []r3.Vec, start geom.Pose) geom.Pose
}{
	{"Open3D", "python3-open3d", []string{debianPython, "-c", "import open3d"}, open3d},
	{"PCL", "pcl-tools", []string{"sh", "-c", "command -v pcl_icp"}, pcl},
}

// The mill's move between two maps: as we tell it, from nothing, it is nearer to the
// truth in the median than as Open3D 0.16 and PCL 1.13 tell it from both maps' points
// on the mill, cut out by the truth, from a start 9 mm and half a degree off.
func TestMovesNearerThanOthers(t *testing.T) {
	var pairs []mills
	var off []float64
	line := ""
	for _, o := range others {
		t.Run(o.name, func(t *testing.T) {
			if exec.Command(o.probe[0], o.probe[1:]...).Run() != nil {
				t.Skipf("%s is not installed (Debian: %s)", o.name, o.package_)
			}
			if pairs == nil {
				pairs = told(t)
				for _, p := range pairs {
					off = append(off, p.off(p.ours))
				}
				line = fmt.Sprintf("ours %.2f", middle(off))
			}
			var theirs []float64
			for _, p := range pairs {
				theirs = append(theirs, p.off(o.lay(t, p.old, p.new, p.start)))
			}
			t.Logf("off at the datum, mm: ours %.2f, %s's %.2f", off, o.name, theirs)
			line += fmt.Sprintf(", %s's %.2f", o.name, middle(theirs))
			if a, b := middle(off), middle(theirs); a > b {
				t.Errorf("off by %.2f mm in the median, %s by %.2f", a, o.name, b)
			}
		})
	}
	if pairs != nil {
		t.Logf("%d moves, off at the datum in the median, mm: %s", len(pairs), line)
	}
}

// mills are the points on a mill in two maps, and its move.
type mills struct {
	old, new           []r3.Vec // points on the mill, mm, base
	start, ours, truth geom.Pose
	datum              r3.Vec // in the old map
}

// off is how far from the truth the motion takes the datum, mm.
func (p mills) off(m geom.Pose) float64 {
	return r3.Norm(r3.Sub(m.Apply(p.datum), p.truth.Apply(p.datum)))
}

// told are the pairs whose move we tell whole.
func told(t *testing.T) []mills {
	t.Helper()
	var out []mills
	for _, seed := range []uint64{700, 701, 703, 704, 705} {
		s := fixtures.Random(seed)
		s.Density = 0.15
		later := fixtures.Later(s, seed, false)
		a, b := body(t, s), body(t, later)
		truth := b.Mul(a.Inverse())
		old, before := scanned(t, s)
		now, after := scanned(t, later)
		m, ok := Compare(old, now, level).Move("mill")
		if !ok || len(m.Loose) > 0 {
			continue // refused: nothing to compare
		}
		out = append(out, mills{
			old: onMill(before, s.Mill, a), new: onMill(after, later.Mill, b),
			start: truth.Mul(a).Perturb([6]float64{5, -6, 4, .005, -.005, .005}).Mul(a.Inverse()),
			ours:  m.Pose, truth: truth, datum: m.Datum.T,
		})
	}
	if len(out) < 3 {
		t.Fatalf("only %d moves were told", len(out))
	}
	return out
}

// middle is the median.
func middle(x []float64) float64 {
	x = slices.Sorted(slices.Values(x))
	return (x[(len(x)-1)/2] + x[len(x)/2]) / 2
}

// body is the true place of the mill.
func body(t *testing.T, s fixtures.Settings) geom.Pose {
	t.Helper()
	shop, err := fixtures.Build(s)
	if err != nil {
		t.Fatal(err)
	}
	o, _ := shop.Truth.Object("mill")
	return *o.Body
}

// onMill are the cloud's voxels in the mill and on its skin, clear of the floor.
func onMill(c *mapping.Cloud, m fixtures.Mill, body geom.Pose) []r3.Vec {
	var out []r3.Vec
	in := body.Inverse()
	for i := range c.Voxels {
		p := c.Voxels[i].Mean
		q := in.Apply(p)
		if q.X > -60 && q.X < m.Depth+60 && q.Y > -m.Width/2-60 && q.Y < m.Width/2+60 && q.Z > 120 {
			out = append(out, p)
		}
	}
	return out
}

// open3d lays the clouds by the script.
func open3d(t *testing.T, old, new []r3.Vec, start geom.Pose) geom.Pose {
	t.Helper()
	r := start.R
	in, err := json.Marshal(map[string]any{"old": rows(old), "new": rows(new), "start": [4][4]float64{
		{r[0][0], r[0][1], r[0][2], start.T.X}, {r[1][0], r[1][1], r[1][2], start.T.Y}, {r[2][0], r[2][1], r[2][2], start.T.Z}, {3: 1},
	}})
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(debianPython, "-c", open3dICP)
	var wrong bytes.Buffer
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), &wrong
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, wrong.Bytes())
	}
	var m [4][4]float64
	if err := json.Unmarshal(out, &m); err != nil {
		t.Fatal(err)
	}
	return motion(m)
}

// rows are the points' coordinates.
func rows(points []r3.Vec) [][3]float64 {
	out := make([][3]float64, len(points))
	for i, p := range points {
		out[i] = [3]float64{p.X, p.Y, p.Z}
	}
	return out
}

// motion is a homogeneous matrix as a pose.
func motion(m [4][4]float64) geom.Pose {
	p := geom.Pose{T: r3.Vec{X: m[0][3], Y: m[1][3], Z: m[2][3]}}
	for i := range 3 {
		copy(p.R[i][:], m[i][:3])
	}
	return p
}

// pcl lays the clouds with PCL's tool, point to point by Levenberg-Marquardt, by a
// reach that shrinks as Open3D's does: of its ways the nearest, off by 1.6 to 1.8 mm in
// the median as last digits fall (2.7 by its closed form, 1.9 the new map on the old).
// It takes every eighth point of the old map, for time: with every second it was off
// by 2.0. The tool leaves the laid cloud in place of the old one, for the next reach,
// and prints the step, which carries the points to within 2 micrometres of those.
func pcl(t *testing.T, old, new []r3.Vec, start geom.Pose) geom.Pose {
	t.Helper()
	dir := t.TempDir()
	var thin []r3.Vec
	for i := 0; i < len(old); i += 8 {
		thin = append(thin, start.Apply(old[i]))
	}
	pcd(t, filepath.Join(dir, "new.pcd"), new)
	pcd(t, filepath.Join(dir, "old.pcd"), thin)
	whole := start
	for _, reach := range []string{"40", "10", "3"} {
		cmd := exec.Command("pcl_icp", "-n", "1", "-d", reach, "-i", "60", "new.pcd", "old.pcd")
		cmd.Dir = dir
		log, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%v\n%s", err, log)
		}
		_, step, _ := strings.Cut(string(log), "saving result to new.pcd\n")
		var m [4][4]float64
		in := strings.NewReader(step)
		for i := range m {
			for k := range m[i] {
				if _, err := fmt.Fscan(in, &m[i][k]); err != nil {
					t.Fatalf("no step (%v) in\n%s", err, log)
				}
			}
		}
		whole = motion(m).Mul(whole)
	}
	return whole
}

// pcd writes points as a PCD text.
func pcd(t *testing.T, path string, points []r3.Vec) {
	t.Helper()
	var text bytes.Buffer
	fmt.Fprintf(&text, "VERSION 0.7\nFIELDS x y z\nSIZE 4 4 4\nTYPE F F F\nCOUNT 1 1 1\nWIDTH %[1]d\nHEIGHT 1\nVIEWPOINT 0 0 0 1 0 0 0\nPOINTS %[1]d\nDATA ascii\n", len(points))
	for _, p := range points {
		fmt.Fprintf(&text, "%.4f %.4f %.4f\n", p.X, p.Y, p.Z)
	}
	if err := os.WriteFile(path, text.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
}
