//go:build reference

package urdf

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// kdlTree walks the file with Python's own XML reader and builds each joint as
// a segment of Orocos KDL: the joint's origin and axis in the parent's frame.
const kdlTree = `
import json, sys
import xml.etree.ElementTree as et
import PyKDL as kdl
job = json.load(sys.stdin)
robot = et.fromstring(job["urdf"])
above = {j.find("child").get("link"): j for j in robot.iter("joint")}
chain, link = [], job["flange"]
while link in above:
    chain.insert(0, above[link])
    link = above[link].find("parent").get("link")
numbers = lambda e, name: [float(v) for v in (e.get(name) if e is not None and e.get(name) else "0 0 0").split()]
out = kdl.Chain()
for j in chain:
    o = j.find("origin")
    f = kdl.Frame(kdl.Rotation.RPY(*numbers(o, "rpy")), kdl.Vector(*[1000*v for v in numbers(o, "xyz")]))
    axis = kdl.Vector(*numbers(j.find("axis"), "xyz")) if j.find("axis") is not None else kdl.Vector(1, 0, 0)
    joint = kdl.Joint(kdl.Joint.Fixed) if j.get("type") == "fixed" else kdl.Joint(j.get("name"), f.p, f.M * axis, kdl.Joint.RotAxis)
    out.addSegment(kdl.Segment(joint, f))
solver = kdl.ChainFkSolverPos_recursive(out)
poses = []
for q in job["q"]:
    a = kdl.JntArray(len(q))
    for i, v in enumerate(q):
        a[i] = v
    f = kdl.Frame()
    assert solver.JntToCart(a, f) == 0
    poses.append([f.M[r, c] for r in range(3) for c in range(3)] + [f.p[i] for i in range(3)])
json.dump(poses, sys.stdout)
`

// randomURDF is a chain with fixed joints in between and axes at any angle.
func randomURDF(rng *rand.Rand, n int) (text string, moving int) {
	v := func(scale float64) string {
		return fmt.Sprintf("%v %v %v", scale*rng.NormFloat64(), scale*rng.NormFloat64(), scale*rng.NormFloat64())
	}
	var s strings.Builder
	s.WriteString("<robot name=\"r\"><link name=\"l0\"/>")
	for i := range n {
		kind := "fixed"
		if i%3 != 0 {
			kind = "revolute"
			moving++
		}
		fmt.Fprintf(&s, `<link name="l%d"/><joint name="j%d" type="%s"><origin xyz="%s" rpy="%s"/><parent link="l%d"/><child link="l%d"/>`, i+1, i, kind, v(0.3), v(1), i, i+1)
		if i%4 != 1 { // else the default axis
			fmt.Fprintf(&s, `<axis xyz="%s"/>`, v(1))
		}
		s.WriteString(`<limit lower="-3" upper="3"/></joint>`)
	}
	return s.String() + "</robot>", moving
}

func TestChainsAgainstKDL(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import PyKDL").Run(); err != nil {
		t.Skip("PyKDL is not installed (Debian: python3-pykdl)")
	}
	rng := rand.New(rand.NewPCG(8, 9))
	for range 5 {
		text, moving := randomURDF(rng, 11)
		job := map[string]any{"urdf": text, "flange": "l11"}
		var qs [][]float64
		for range 50 {
			q := make([]float64, moving)
			for i := range q {
				q[i] = 3 * (2*rng.Float64() - 1)
			}
			qs = append(qs, q)
		}
		job["q"] = qs
		in, err := json.Marshal(job)
		if err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(python, "-c", kdlTree)
		cmd.Stdin = strings.NewReader(string(in))
		raw, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		var want [][12]float64
		if err := json.Unmarshal(raw, &want); err != nil {
			t.Fatal(err)
		}
		a, _, err := Read("r.urdf", []byte(text), "l11")
		if err != nil {
			t.Fatal(err)
		}
		for i, q := range qs {
			got, w := a.Flange(q), want[i]
			if d := r3.Norm(r3.Sub(got.T, r3.Vec{X: w[9], Y: w[10], Z: w[11]})); d > 1e-8 {
				t.Fatalf("at %v the flange is %g mm off", q, d)
			}
			for k := range 9 {
				if math.Abs(got.R[k/3][k%3]-w[k]) > 1e-11 {
					t.Fatalf("at %v the rotation is %v, want %v", q, got.R, w)
				}
			}
		}
	}
}
