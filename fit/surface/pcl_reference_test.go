//go:build reference

package surface

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os/exec"
	"slices"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// pclPlanes takes planes off a cloud, the largest first, with PCL's tool: RANSAC,
// then least squares in double precision over the inliers that it writes.
const pclPlanes = `
import json, os, subprocess, sys, tempfile
import numpy as np
p = np.loadtxt(sys.stdin)
d = tempfile.mkdtemp()
f = lambda n: os.path.join(d, n)
out = []
for _ in range(6):
    if len(p) < 500:
        break
    head = "VERSION 0.7\nFIELDS x y z\nSIZE 4 4 4\nTYPE F F F\nCOUNT 1 1 1\nWIDTH %d\nHEIGHT 1\nVIEWPOINT 0 0 0 1 0 0 0\nPOINTS %d\nDATA ascii" % (len(p), len(p))
    np.savetxt(f("in.pcd"), p, fmt="%.4f", header=head, comments="")
    subprocess.run(["pcl_sac_segmentation_plane", f("in.pcd"), f("on.pcd"), "-thresh", "2", "-max_it", "1000"], check=True, stdout=subprocess.DEVNULL)
    subprocess.run(["pcl_convert_pcd_ascii_binary", f("on.pcd"), f("text.pcd"), "0"], check=True, stdout=subprocess.DEVNULL)
    on = np.loadtxt(f("text.pcd"), skiprows=11)[:, :3]
    c = on.mean(0)
    n = np.linalg.svd(on - c, full_matrices=False)[2][2]
    out.append([*n, -n @ c])
    p = p[np.abs((p - c) @ n) > 2]
json.dump(out, sys.stdout)
`

// Three clouds of the little shop, thin enough for a minute's work: our planes agree
// with those of PCL 1.13 and Open3D 0.16 on the same points to within twice the noise of
// a point, and lie nearer to the truth in the median, in place and in tilt.
func TestPlanesNearerThanOthers(t *testing.T) {
	for _, other := range []struct{ name, package_, probe, script string }{
		{"PCL", "pcl-tools, python3-numpy", "import numpy, shutil; assert shutil.which('pcl_sac_segmentation_plane')", pclPlanes},
		{"Open3D", "python3-open3d", "import open3d", open3dPlanes},
	} {
		t.Run(other.name, func(t *testing.T) {
			if exec.Command(debianPython, "-c", other.probe).Run() != nil {
				t.Skipf("%s is not installed (Debian: %s)", other.name, other.package_)
			}
			var mm, deg, theirMM, theirDeg []float64
			for seed := range uint64(3) {
				w, names := shop()
				looks := looksAtShop()
				for i := range looks {
					looks[i].profiles, looks[i].rays = looks[i].profiles/2, looks[i].rays/3
				}
				var points []r3.Vec
				ours := Find(scanner{atMetre: 0.3, memory: 0.6, seed: 60 + seed, keep: &points}.scan(w, looks...))
				theirs := planesBy(t, other.script, points)
				for _, name := range []string{"floor", "wall", "side", "bench top"} {
					q := names[name]
					s := found(ours, q)
					if s == nil {
						t.Errorf("cloud %d: %s not found", seed, name)
						continue
					}
					pl, ok := nearest(theirs, q, s.Centre)
					if !ok {
						continue
					}
					if d := math.Abs(pl.Distance(s.Centre)); d > 2*s.RMS {
						t.Errorf("cloud %d, %s: %.3f mm apart, a point's noise is %.3f", seed, name, d, s.RMS)
					}
					a, b := off(s, q)
					c, d := off(&Surface{Plane: pl, Centre: pl.Foot(s.Centre)}, q)
					mm, deg, theirMM, theirDeg = append(mm, a), append(deg, b), append(theirMM, c), append(theirDeg, d)
				}
			}
			if len(mm) < 10 {
				t.Fatalf("%d planes in common", len(mm))
			}
			a, b, c, d := middle(mm), middle(theirMM), middle(deg), middle(theirDeg)
			t.Logf("%d planes: ours off by %.4f mm and %.5f deg in the median, theirs by %.4f and %.5f", len(mm), a, c, b, d)
			if a > b || c > d {
				t.Errorf("in the median ours are further from the truth")
			}
		})
	}
}

// middle is the median.
func middle(x []float64) float64 {
	slices.Sort(x)
	return (x[(len(x)-1)/2] + x[len(x)/2]) / 2
}

// planesBy runs a script that takes points and gives planes.
func planesBy(t *testing.T, script string, points []r3.Vec) []geom.Plane {
	t.Helper()
	var in, out, log bytes.Buffer
	for _, p := range points {
		fmt.Fprintf(&in, "%.4f %.4f %.4f\n", p.X, p.Y, p.Z)
	}
	cmd := exec.Command(debianPython, "-c", script)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = &in, &out, &log
	if err := cmd.Run(); err != nil {
		t.Fatalf("%v\n%s", err, log.String())
	}
	var rows [][4]float64
	if err := json.Unmarshal(out.Bytes(), &rows); err != nil {
		t.Fatal(err)
	}
	planes := make([]geom.Plane, len(rows))
	for i, r := range rows {
		planes[i] = geom.Plane{Normal: r3.Vec{X: r[0], Y: r[1], Z: r[2]}, Offset: -r[3]}
	}
	return planes
}
