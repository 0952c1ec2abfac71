//go:build reference

package register

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os/exec"
	"slices"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// debianPython is the interpreter for which Debian builds its modules.
const debianPython = "/usr/bin/python3"

// open3dICP lays a cloud on another by point-to-plane ICP, first with a wide
// reach, then with a narrow one and a robust loss, as its manual does it.
const open3dICP = `
import json, sys
import numpy as np
import open3d as o3d
given = json.load(sys.stdin)
def cloud(points):
    return o3d.geometry.PointCloud(o3d.utility.Vector3dVector(np.array(points)))
still, placed = cloud(given["still"]), cloud(given["placed"])
placed.estimate_normals(o3d.geometry.KDTreeSearchParamHybrid(radius=60, max_nn=30))
reg = o3d.pipelines.registration
motion = np.array(given["start"])
for reach, loss in ((200, 100), (60, 30), (20, 5), (5, 1)):
    motion = reg.registration_icp(still, placed, reach, motion,
        reg.TransformationEstimationPointToPlane(reg.TukeyLoss(k=loss)),
        reg.ICPConvergenceCriteria(max_iteration=100)).transformation
json.dump(np.asarray(motion).tolist(), sys.stdout)
`

// The same voxels, as Open3D 0.16 lays them and as we do. It starts 20 mm and half
// a degree from the truth, where its basin of convergence surely reaches; we from
// wherever within rough.
func TestAgainstOpen3D(t *testing.T) {
	if err := exec.Command(debianPython, "-c", "import open3d").Run(); err != nil {
		t.Skip("Open3D is not installed (Debian: python3-open3d)")
	}
	room := join([]sheet{floor, wallX, wallY}, crate)
	shown := append(room, facing) // the tripod sees one wall more
	var ours, theirs []float64
	for i := range uint64(7) {
		rng := rand.New(rand.NewPCG(i, 11))
		arm := armScans(3, room, 0.02, rng) // nearly at one, so that the methods tell, not the arm
		away := about(tripodEye, r3.Scale(300*rng.Float64(), r3.Unit(normal3(rng, 1))), r3.Scale(10*deg*rng.Float64(), r3.Unit(normal3(rng, 1))))
		still, eye, back := tripod(shown, away, rng)
		p, err := Place(arm, still, eye, usual, 0)
		if err != nil {
			t.Fatal(err)
		}
		near := about(tripodEye, r3.Scale(20, r3.Unit(normal3(rng, 1))), r3.Scale(0.5*deg, r3.Unit(normal3(rng, 1))))
		other := open3d(t, arm, still, near.Mul(back))
		ours = append(ours, r3.Norm(r3.Sub(p.Motion.Apply(eye), tripodEye)))
		theirs = append(theirs, r3.Norm(r3.Sub(other.Apply(eye), tripodEye)))
	}
	slices.Sort(ours)
	slices.Sort(theirs)
	t.Logf("off at the scanner, mm: ours %.2f, Open3D's %.2f", ours, theirs)
	if k := len(ours) / 2; ours[k] > theirs[k] {
		t.Errorf("off by %.2f mm in the median, Open3D by %.2f", ours[k], theirs[k])
	}
}

// open3d runs Open3D on the voxels' means.
func open3d(t *testing.T, placed []Scan, still Scan, start geom.Pose) geom.Pose {
	t.Helper()
	means := func(scans ...Scan) (out [][3]float64) {
		for _, s := range scans {
			for i := range s.Voxels {
				m := s.Voxels[i].Mean
				out = append(out, [3]float64{m.X, m.Y, m.Z})
			}
		}
		return out
	}
	in, err := json.Marshal(map[string]any{"still": means(still), "placed": means(placed...), "start": [4][4]float64{
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
