//go:build reference

package surface

import (
	"math"
	"os/exec"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// debianPython is the interpreter for which Debian builds its modules.
const debianPython = "/usr/bin/python3"

// open3dPlanes takes planes off a cloud, the largest first, as Open3D does it:
// RANSAC, then least squares over the inliers.
const open3dPlanes = `
import json, sys
import numpy as np
import open3d as o3d
o3d.utility.random.seed(1)
cloud = o3d.geometry.PointCloud(o3d.utility.Vector3dVector(np.loadtxt(sys.stdin)))
out = []
for _ in range(12):
    if len(cloud.points) < 500:
        break
    plane, inliers = cloud.segment_plane(distance_threshold=2.0, ransac_n=3, num_iterations=2000)
    out.append(list(plane))
    cloud = cloud.select_by_index(inliers, invert=True)
json.dump(out, sys.stdout)
`

// The planes of the little shop, against Open3D 0.16 on the same points: where
// it finds a face at all, we are no further from the truth than it is, and on the
// bench top, which its inlier band tilts, nearer.
func TestPlanesAgainstOpen3D(t *testing.T) {
	if err := exec.Command(debianPython, "-c", "import open3d").Run(); err != nil {
		t.Skip("Open3D is not installed (Debian: python3-open3d)")
	}
	w, names := shop()
	var points []r3.Vec
	c := scanner{atMetre: 0.3, memory: 0.6, seed: 30, keep: &points}.scan(w, looksAtShop()...)
	theirs := planesBy(t, open3dPlanes, points)
	ours := Find(c)
	for name, q := range names {
		s := found(ours, q)
		if s == nil {
			t.Errorf("%s: not found", name)
			continue
		}
		mm, deg := off(s, q)
		other, ok := nearest(theirs, q, s.Centre)
		if !ok {
			t.Logf("%-10s ours off by %.3f mm, %.4f deg; Open3D has none", name, mm, deg)
			continue
		}
		theirMM, theirDeg := off(&Surface{Plane: other, Centre: other.Foot(s.Centre)}, q)
		t.Logf("%-10s ours off by %.3f mm, %.4f deg; Open3D's by %.3f mm, %.4f deg", name, mm, deg, theirMM, theirDeg)
		// Noise alone may favour either, by what ours is uncertain.
		if mm > theirMM+2*math.Sqrt(s.Cov[0][0]) || deg > theirDeg+2*math.Sqrt(s.Cov[1][1]+s.Cov[2][2])*180/math.Pi {
			t.Errorf("%s: further from the truth than Open3D", name)
		}
		if name == "bench top" && deg > theirDeg {
			t.Errorf("the bench top is tilted more than Open3D's")
		}
	}
}

// nearest is the plane that lies nearest to the face at a place, if one lies on
// it at all.
func nearest(planes []geom.Plane, q quad, at r3.Vec) (best geom.Plane, ok bool) {
	truth := q.plane()
	least := 3.0 // mm
	for _, pl := range planes {
		if d := math.Abs(pl.Distance(truth.Foot(at))); d < least && math.Abs(r3.Dot(pl.Normal, truth.Normal)) > parallel {
			best, least, ok = pl, d, true
		}
	}
	return best, ok
}
