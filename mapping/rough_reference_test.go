//go:build reference

package mapping_test

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
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
still, placed = cloud(given["still"]).voxel_down_sample(20), cloud(given["placed"])
placed.estimate_normals(o3d.geometry.KDTreeSearchParamHybrid(radius=60, max_nn=30))
reg = o3d.pipelines.registration
motion = np.array(given["start"])
for reach, loss in ((60, 30), (20, 5), (5, 1)):
    motion = reg.registration_icp(still, placed, reach, motion,
        reg.TransformationEstimationPointToPlane(reg.TukeyLoss(k=loss)),
        reg.ICPConvergenceCriteria(max_iteration=50)).transformation
json.dump(np.asarray(motion).tolist(), sys.stdout)
`

// The tripods of random cells, as Open3D 0.16 lays them on the map of the arm's
// scans and as we do. It starts 20 mm and half a degree from the truth, well within
// its reach; we from where cell.yaml places them.
func TestRoughScansAgainstOpen3D(t *testing.T) {
	if err := exec.Command(debianPython, "-c", "import open3d").Run(); err != nil {
		t.Skip("Open3D is not installed (Debian: python3-open3d)")
	}
	var ours, theirs []float64
	for _, seed := range []uint64{102, 103, 107, 110, 113} {
		s := fixtures.Random(seed)
		s.Density = 0.15
		shop, err := fixtures.Build(s)
		if err != nil {
			t.Fatal(err)
		}
		rng := rand.New(rand.NewPCG(seed, 7))
		truth := tripod(shop, rng)
		s.Stills = []fixtures.Still{truth}
		dir := t.TempDir()
		if shop, err = s.Write(dir); err != nil {
			t.Fatal(err)
		}
		cloud, err := merge(t, dir)
		if err != nil {
			t.Fatal(err)
		}
		near := truth.BaseFromScan.Perturb([6]float64{12, -12, 11, 0.005, -0.005, 0.005})
		other := open3d(t, cloud, shop.CastStill(0), near)
		ours = append(ours, r3.Norm(r3.Sub(cloud.Placed[0].BaseFromScan.T, truth.BaseFromScan.T)))
		theirs = append(theirs, r3.Norm(r3.Sub(other.T, truth.BaseFromScan.T)))
	}
	t.Logf("off at the scanner, mm: ours %.2f, Open3D's %.2f", ours, theirs)
	slices.Sort(ours)
	slices.Sort(theirs)
	if k := len(ours) / 2; ours[k] > theirs[k] {
		t.Errorf("off by %.2f mm in the median, Open3D by %.2f", ours[k], theirs[k])
	}
}

// open3d lays the points of a still scan, the last of the cloud's, on the voxels of
// the others.
func open3d(t *testing.T, c *mapping.Cloud, still []r3.Vec, start geom.Pose) geom.Pose {
	t.Helper()
	var placed, points [][3]float64
	for i := range c.Voxels {
		if v := &c.Voxels[i]; int(v.Scan) < len(c.Scans)-1 {
			placed = append(placed, [3]float64{v.Mean.X, v.Mean.Y, v.Mean.Z})
		}
	}
	for _, p := range still {
		if p.X == p.X { // it came back
			points = append(points, [3]float64{p.X, p.Y, p.Z})
		}
	}
	in, err := json.Marshal(map[string]any{"still": points, "placed": placed, "start": [4][4]float64{
		{start.R[0][0], start.R[0][1], start.R[0][2], start.T.X},
		{start.R[1][0], start.R[1][1], start.R[1][2], start.T.Y},
		{start.R[2][0], start.R[2][1], start.R[2][2], start.T.Z},
		{3: 1},
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
