//go:build reference

package arm_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os/exec"
	"testing"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// kdlChain builds the chain from the same rows with Orocos KDL and prints, for
// every posture, the flange's rotation rows and position. Standard rows are
// KDL's Frame.DH, modified ones its Frame.DH_Craig1989, which take the same
// four numbers; lengths stay in mm.
const kdlChain = `
import json, sys
import PyKDL as kdl
job = json.load(sys.stdin)
turn = kdl.Joint(kdl.Joint.RotZ)
chain = kdl.Chain()
if job["modified"]:
    # KDL turns at the root of a segment, a modified row in its middle: the
    # fixed part of row i belongs to the segment before it.
    rows = job["rows"]
    chain.addSegment(kdl.Segment(kdl.Joint(kdl.Joint.Fixed), kdl.Frame.DH_Craig1989(rows[0][0], rows[0][1], rows[0][2], rows[0][3])))
    for r in rows[1:]:
        chain.addSegment(kdl.Segment(turn, kdl.Frame.DH_Craig1989(*r)))
    chain.addSegment(kdl.Segment(turn, kdl.Frame.Identity()))
else:
    for r in job["rows"]:
        chain.addSegment(kdl.Segment(turn, kdl.Frame.DH(*r)))
solver = kdl.ChainFkSolverPos_recursive(chain)
out = []
for q in job["q"]:
    a = kdl.JntArray(len(q))
    for i, v in enumerate(q):
        a[i] = v
    f = kdl.Frame()
    if solver.JntToCart(a, f) < 0:
        sys.exit("KDL refused the posture")
    out.append([f.M[i, j] for i in range(3) for j in range(3)] + [f.p[0], f.p[1], f.p[2]])
json.dump(out, sys.stdout)
`

// TestFlangeAgainstKDL compares 500 random postures per arm with Orocos KDL 1.5
// (Debian python3-pykdl).
func TestFlangeAgainstKDL(t *testing.T) {
	const python = "/usr/bin/python3" // Debian's own, which sees Debian's modules
	if err := exec.Command(python, "-c", "import PyKDL").Run(); err != nil {
		t.Skip("PyKDL is absent: install python3-pykdl")
	}
	rng := rand.New(rand.NewPCG(3, 4))
	for _, a := range []*arm.Arm{puma(), pumaModified(), sevenAxis(), offsetArm(rng)} {
		var qs [][]float64
		for range 500 {
			q := make([]float64, len(a.Joints))
			for i := range q {
				q[i] = (rng.Float64() - 0.5) * 4 * math.Pi
			}
			qs = append(qs, q)
		}
		for k, want := range askKDL(t, python, a, qs) {
			got := a.Flange(qs[k])
			p := [3]float64{got.T.X, got.T.Y, got.T.Z}
			for i := range 3 {
				if math.Abs(p[i]-want[9+i]) > 1e-9 {
					t.Fatalf("%s at %v: position %v, KDL %v", a.Name, qs[k], p, want[9:])
				}
				for j := range 3 {
					if math.Abs(got.R[i][j]-want[3*i+j]) > 1e-12 {
						t.Fatalf("%s at %v: R %v, KDL %v", a.Name, qs[k], got.R, want[:9])
					}
				}
			}
		}
	}
}

// TestSolveAgainstKDL asks KDL for the poses of random postures, solves for them
// from 0.3 rad away, and asks KDL again where the solutions lead.
func TestSolveAgainstKDL(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import PyKDL").Run(); err != nil {
		t.Skip("PyKDL is absent: install python3-pykdl")
	}
	rng := rand.New(rand.NewPCG(5, 6))
	for _, a := range []*arm.Arm{puma(), pumaModified(), sevenAxis()} {
		var qs, solved [][]float64
		for range 500 {
			q := make([]float64, len(a.Joints))
			for i := range q {
				q[i] = (rng.Float64() - 0.5) * 2 * math.Pi
			}
			qs = append(qs, q)
		}
		want := askKDL(t, python, a, qs)
		for k, w := range want {
			from := append([]float64(nil), qs[k]...)
			for i := range from {
				from[i] += 0.6 * (rng.Float64() - 0.5)
			}
			target := geom.Pose{R: geom.Rot{{w[0], w[1], w[2]}, {w[3], w[4], w[5]}, {w[6], w[7], w[8]}}, T: r3.Vec{X: w[9], Y: w[10], Z: w[11]}}
			q, err := a.Solve(target, from)
			if err != nil {
				t.Fatalf("%s at %v: %v", a.Name, qs[k], err)
			}
			solved = append(solved, q)
		}
		for k, got := range askKDL(t, python, a, solved) {
			for i := range got {
				if math.Abs(got[i]-want[k][i]) > 1e-6 { // mm, and far less in the rotation
					t.Fatalf("%s at %v: solved to %v, where KDL is %v, not %v", a.Name, qs[k], solved[k], got, want[k])
				}
			}
		}
	}
}

// offsetArm has no zero in any row.
func offsetArm(rng *rand.Rand) *arm.Arm {
	a := &arm.Arm{Name: "offset", Convention: arm.Standard}
	for range 6 {
		j := row(rng.Float64(), rng.Float64(), 180*rng.Float64())
		j.Theta = rng.Float64()
		a.Joints = append(a.Joints, j)
	}
	return a
}

func askKDL(t *testing.T, python string, a *arm.Arm, qs [][]float64) [][]float64 {
	t.Helper()
	var rows [][4]float64
	for _, j := range a.Joints {
		rows = append(rows, [4]float64{j.A, j.Alpha, j.D, j.Theta})
	}
	cmd := exec.Command(python, "-c", kdlChain)
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	go func() {
		defer in.Close()
		json.NewEncoder(in).Encode(map[string]any{"modified": a.Convention == arm.Modified, "rows": rows, "q": qs})
	}()
	raw, err := cmd.Output()
	if err != nil {
		t.Fatalf("KDL: %v", err)
	}
	var out [][]float64
	if err := json.Unmarshal(raw, &out); err != nil {
		t.Fatal(err)
	}
	return out
}
