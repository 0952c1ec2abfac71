//go:build reference

package moves

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"slices"
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

// The mill's move between two maps, as Open3D 0.16 tells it from both maps' points
// on the mill, cut out by the truth, from a start 9 mm and half a degree off; and
// as we do, from nothing.
func TestMovesAgainstOpen3D(t *testing.T) {
	if err := exec.Command(debianPython, "-c", "import open3d").Run(); err != nil {
		t.Skip("Open3D is not installed (Debian: python3-open3d)")
	}
	var ours, theirs []float64
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
		at := truth.Apply(m.Datum.T)
		off := func(p geom.Pose) float64 { return r3.Norm(r3.Sub(p.Apply(m.Datum.T), at)) }
		start := truth.Mul(a).Perturb([6]float64{5, -6, 4, .005, -.005, .005}).Mul(a.Inverse())
		ours = append(ours, off(m.Pose))
		theirs = append(theirs, off(open3d(t, onMill(before, s.Mill, a), onMill(after, later.Mill, b), start)))
	}
	t.Logf("off at the datum, mm: ours %.2f, Open3D's %.2f", ours, theirs)
	if len(ours) < 3 {
		t.Fatalf("only %d moves were told", len(ours))
	}
	slices.Sort(ours)
	slices.Sort(theirs)
	if k := len(ours) / 2; ours[k] > theirs[k] {
		t.Errorf("off by %.2f mm in the median, Open3D by %.2f", ours[k], theirs[k])
	}
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
func onMill(c *mapping.Cloud, m fixtures.Mill, body geom.Pose) [][3]float64 {
	var out [][3]float64
	in := body.Inverse()
	for i := range c.Voxels {
		p := c.Voxels[i].Mean
		q := in.Apply(p)
		if q.X > -60 && q.X < m.Depth+60 && q.Y > -m.Width/2-60 && q.Y < m.Width/2+60 && q.Z > 120 {
			out = append(out, [3]float64{p.X, p.Y, p.Z})
		}
	}
	return out
}

func open3d(t *testing.T, old, new [][3]float64, start geom.Pose) geom.Pose {
	t.Helper()
	r := start.R
	in, err := json.Marshal(map[string]any{"old": old, "new": new, "start": [4][4]float64{
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
	p := geom.Pose{T: r3.Vec{X: m[0][3], Y: m[1][3], Z: m[2][3]}}
	for i := range 3 {
		copy(p.R[i][:], m[i][:3])
	}
	return p
}
