package urdf

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/arm"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
)

// puma is the Puma 560 by Craig's rows (d and a in m, alpha in deg):
// petercorke/robotics-toolbox-matlab, models/mdl_puma560akb.m.
var puma = [][3]float64{{0, 0, 0}, {0.2435, 0, -90}, {-0.0934, 0.4318, 0}, {0.4331, -0.0203, 90}, {0, 0, -90}, {0, 0, 90}}

// pumaURDF writes the rows as joints: a row's Rx(alpha) Tx(a) Tz(d) is the
// joint's origin. A fixed joint carries the flange 100 mm out.
func pumaURDF() string {
	var s strings.Builder
	s.WriteString("<?xml version=\"1.0\"?>\n<robot name=\"puma\">\n<!-- made by a test --><link name=\"l0\"/>\n")
	for i, r := range puma {
		d, a, alpha := r[0], r[1], r[2]*math.Pi/180
		fmt.Fprintf(&s, `<joint name="j%d" type="revolute"><origin xyz="%v %v %v" rpy="%v 0 0"/><parent link="l%d"/><child link="l%d"/><axis xyz="0 0 2"/><limit lower="-3" upper="3" velocity="2" effort="1"/></joint>`+"\n",
			i+1, a, -d*math.Sin(alpha), d*math.Cos(alpha), alpha, i, i+1)
		fmt.Fprintf(&s, "<link name=\"l%d\"><visual/></link>\n", i+1)
	}
	s.WriteString("<joint name=\"out\" type=\"fixed\"><origin xyz=\"0 0 0.1\"/><parent link=\"l6\"/><child link=\"flange\"/></joint>\n<link name=\"flange\"/>\n</robot>\n")
	return s.String()
}

func pumaArm() *arm.Arm {
	a := &arm.Arm{Convention: arm.Modified}
	for _, r := range puma {
		a.Joints = append(a.Joints, arm.Joint{D: 1000 * r[0], A: 1000 * r[1], Alpha: r[2] * math.Pi / 180})
	}
	return a
}

func TestPumaMovesAsByItsRows(t *testing.T) {
	got, unplaced, err := Read("puma.urdf", []byte(pumaURDF()), "flange")
	if err != nil || len(unplaced) > 0 {
		t.Fatal(unplaced, err)
	}
	// At q = 0, computed from the published rows: p = (.4115, .1501, .4331) m, R = I.
	if p := got.Flange(make([]float64, 6)).T; r3.Norm(r3.Sub(p, r3.Vec{X: 411.5, Y: 150.1, Z: 533.1})) > 0.05 {
		t.Errorf("flange at %v", p)
	}
	want := pumaArm()
	rng := rand.New(rand.NewPCG(1, 1))
	for range 100 {
		q := make([]float64, 6)
		for i := range q {
			q[i] = 3 * (2*rng.Float64() - 1)
		}
		g, w := got.Flange(q), want.Flange(q).Mul(geom.Pose{R: geom.IdentityRot(), T: r3.Vec{Z: 100}})
		for _, d := range g.Minus(w) {
			if math.Abs(d) > 1e-9 {
				t.Fatalf("at %v: off by %v", q, g.Minus(w))
			}
		}
	}
	if j := got.Joints[2]; j.Min != -3 || j.Max != 3 || j.MaxSpeed != 2 {
		t.Errorf("limits %+v", j)
	}
}

// A tree with shapes on fixed, moving and foreign links.
const shapes = `<robot name="r">
<link name="base"><collision><origin xyz="0 0 0.1"/><geometry><cylinder radius="0.2" length="0.4"/></geometry></collision></link>
<link name="stand"><collision><geometry><sphere radius="0.5"/></geometry></collision></link>
<link name="arm"><collision><origin xyz="0.3 0 0"/><geometry><box size="0.6 0.1 0.1"/></geometry></collision></link>
<link name="tip"><collision><geometry><sphere radius="0.01"/></geometry></collision></link>
<link name="tool"><collision><geometry><sphere radius="0.02"/></geometry></collision></link>
<link name="finger"><collision><geometry><sphere radius="0.03"/></geometry></collision></link>
<joint name="a" type="fixed"><origin xyz="0 0 -1"/><parent link="base"/><child link="stand"/></joint>
<joint name="b" type="revolute"><origin xyz="0 0 0.5"/><parent link="base"/><child link="arm"/><axis xyz="0 0 1"/><limit lower="-1" upper="1"/></joint>
<joint name="c" type="fixed"><origin xyz="0.6 0 0" rpy="0 1.5707963267948966 0"/><parent link="arm"/><child link="tip"/></joint>
<joint name="d" type="fixed"><origin xyz="0 0 0.2"/><parent link="tip"/><child link="tool"/></joint>
<joint name="e" type="prismatic"><parent link="tip"/><child link="finger"/></joint>
</robot>`

func TestShapesFollowTheirFrames(t *testing.T) {
	a, unplaced, err := Read("r.urdf", []byte(shapes), "tip")
	if err != nil {
		t.Fatal(err)
	}
	if len(unplaced) != 1 || unplaced[0] != "finger" {
		t.Errorf("unplaced %q", unplaced)
	}
	// In the base frame at zero, by hand.
	z := func(x, z float64) r3.Vec { return r3.Vec{X: x, Z: z} }
	want := []arm.Capsule{
		{Frame: 0, From: z(0, -100), To: z(0, 300), Radius: 200},
		{Frame: 0, From: z(0, -1000), To: z(0, -1000), Radius: 500},
		{Frame: 1, From: z(0, 500), To: z(600, 500), Radius: 50 * math.Sqrt2},
		{Frame: 1, From: z(600, 500), To: z(600, 500), Radius: 10},
		{Frame: 1, From: z(800, 500), To: z(800, 500), Radius: 20},
	}
	frames := a.Frames([]float64{0}, nil)
	if len(a.Capsules) != len(want) {
		t.Fatalf("capsules %+v", a.Capsules)
	}
	for i, c := range a.Capsules {
		at := frames[c.Frame]
		if c.Frame != want[i].Frame || math.Abs(c.Radius-want[i].Radius) > 1e-9 ||
			r3.Norm(r3.Sub(at.Apply(c.From), want[i].From)) > 1e-9 || r3.Norm(r3.Sub(at.Apply(c.To), want[i].To)) > 1e-9 {
			t.Errorf("capsule %d is %+v, want %+v in base", i, c, want[i])
		}
	}
}

// Every point of a box lies in its capsules, and none of them stands out by more
// than is promised.
func TestBoxCapsulesHoldTheBox(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	for range 200 {
		size := [3]float64{1 + 400*rng.Float64(), 1 + 400*rng.Float64(), 1 + 40*rng.Float64()}
		capsules := boxCapsules(size)
		if least := slices.Min(size[:]); len(capsules) < mostStrips && capsules[0].Radius > least/math.Sqrt2*(1+1e-12) {
			t.Fatalf("the box %v is held by capsules of radius %g", size, capsules[0].Radius)
		}
		for k := range 100 {
			var p [3]float64
			for i := range p {
				p[i] = size[i] * (rng.Float64() - 0.5)
				if k < 8 {
					p[i] = size[i] * (float64(k>>i&1) - 0.5) // the corners
				}
			}
			if !held(capsules, vec(p)) {
				t.Fatalf("%v of the box %v stands outside", p, size)
			}
		}
	}
	if n := len(boxCapsules([3]float64{200, 600, 50})); n != 4 {
		t.Errorf("%d strips", n)
	}
}

func held(capsules []arm.Capsule, p r3.Vec) bool {
	for _, c := range capsules {
		d := r3.Sub(c.To, c.From)
		part := max(0, min(1, r3.Dot(r3.Sub(p, c.From), d)/r3.Dot(d, d)))
		if r3.Norm(r3.Sub(p, r3.Add(c.From, r3.Scale(part, d)))) <= c.Radius*(1+1e-12) {
			return true
		}
	}
	return false
}

func TestFaultsSayWhatIsWrong(t *testing.T) {
	for _, c := range []struct{ old, new, words string }{
		{shapes, "", "r.urdf: it holds no element robot"},
		{"</robot>", "", "r.urdf:13: unexpected EOF"},
		{`<robot name="r">`, "<robot>", "the robot has no name"},
		{shapes, "<urdf/>", "expected element type <robot> but have <urdf>"},
		{`<link name="tip">`, `<link name="arm">`, "r.urdf:5: link arm: another link has this name"},
		{`<parent link="base"/><child link="arm"/>`, `<parent link="bas"/><child link="arm"/>`, `r.urdf:9: joint b: there is no link "bas"`},
		{`<parent link="tip"/><child link="tool"/>`, `<parent link="tip"/><child link="arm"/>`, `r.urdf:11: joint d: the link "arm" has two parents`},
		{`<parent link="base"/><child link="arm"/>`, `<parent link="tip"/><child link="arm"/>`, "the joints form a ring"},
		{`name="b" type="revolute"`, `name="b" type="continuous"`, `r.urdf:9: joint b: a joint of type "continuous" cannot be part`},
		{`name="b" type="revolute"`, `name="b" type="fixed"`, "no joint moves between the root link and the flange"},
		{`<limit lower="-1" upper="1"/>`, "", "joint b: the joint has no limits"},
		{`<limit lower="-1" upper="1"/>`, `<limit lower="1" upper="1"/>`, "joint b.limit: 1 to 1 rad is not a range"},
		{`<axis xyz="0 0 1"/>`, `<axis xyz="0 0 0"/>`, "joint b.axis: the axis has no direction"},
		{`<axis xyz="0 0 1"/>`, `<axis xyz="0 0 1"/><mimic joint="a"/>`, "joint b: a joint that mimics another"},
		{`<origin xyz="0 0 0.5"/>`, `<origin xyz="0 0"/>`, `joint b.origin.xyz: "0 0" is not 3 numbers`},
		{`<origin xyz="0 0 0.5"/>`, `<origin xyz="0 0 ${h}"/>`, `joint b.origin.xyz: "${h}" is not a finite number; write plain numbers; expand macros`},
		{`<sphere radius="0.5"/>`, `<mesh filename="a.stl"/>`, "r.urdf:3: link stand: a collision shape is none of box, cylinder and sphere"},
		{`<sphere radius="0.5"/>`, `<sphere radius="-0.5"/>`, `link stand.sphere.radius: the size "-0.5" is not above 0`},
		{`size="0.6 0.1 0.1"`, `size="0.6 0 0.1"`, `link arm.box.size: the size "0.6 0 0.1" is not above 0`},
	} {
		if !strings.Contains(shapes, c.old) {
			t.Fatalf("%q is not in the file", c.old)
		}
		_, _, err := Read("r.urdf", []byte(strings.Replace(shapes, c.old, c.new, 1)), "tip")
		var f *fault.Error
		if !errors.As(err, &f) || !strings.Contains(f.Error(), c.words) || f.Remedy == "" {
			t.Errorf("%s\n got  %v\n want %s", c.new, err, c.words)
		}
	}
	if _, _, err := Read("r.urdf", []byte(shapes), "tool0"); err == nil || !strings.Contains(err.Error(), `there is no link "tool0"; name one`) {
		t.Errorf("got %v", err)
	}
}

func FuzzURDF(f *testing.F) {
	f.Add(shapes)
	f.Add(pumaURDF())
	f.Fuzz(func(t *testing.T, text string) {
		a, _, err := Read("r.urdf", []byte(text), "tip")
		var bad *fault.Error
		if err != nil && (!errors.As(err, &bad) || bad.Remedy == "") {
			t.Fatalf("%v is no fault with a remedy", err)
		}
		if err == nil && len(a.Joints) == 0 {
			t.Fatal("an arm without joints")
		}
	})
}
