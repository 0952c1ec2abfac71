package reach

import (
	"errors"
	"math"
	"strings"
	"testing"

	"cellwall/mapping/fault"
)

func TestProgramsAreRead(t *testing.T) {
	p, err := ReadProgram(strings.NewReader("\ufeffname, motion,j1,j2,j3,j4,j5,j6,x,y,z,qw,qx,qy,qz\n"+
		"# home\nhome,joint,0,-90,90,0,0,0,,,,,,,\nover,line,,,,,,,800,0,900,0,0,1,0\n"), "moves.csv", sixAxis())
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Rows) != 2 || p.Rows[0].Motion != Joint || p.Rows[1].Motion != Line || p.Rows[1].Line != 4 {
		t.Errorf("rows %+v", p.Rows)
	}
	if d := math.Abs(p.Rows[0].Joints[1] + math.Pi/2); d > 1e-12 {
		t.Errorf("joint 2 is off by %g rad", d)
	}
	if p.Rows[1].Pose.T.Z != 900 || p.Rows[1].Pose.R[0][0] != -1 {
		t.Errorf("pose %+v", p.Rows[1].Pose)
	}
}

func TestWrongProgramsAreNamed(t *testing.T) {
	const head = "name,motion,j1,j2,j3,j4,j5,j6\n"
	const both = "name,motion,j1,j2,j3,j4,j5,j6,x,y,z,qw,qx,qy,qz\n"
	for _, c := range []struct {
		text, says string
		line       int
	}{
		{"", "empty", 0},
		{head, "no rows", 0},
		{head + "# only a remark\n", "no rows", 0},
		{head + "a,arc,0,0,0,0,0,0\n", `"arc" is not known`, 2},
		{head + "a,,0,0,0,0,0,0\n", `"" is not known`, 2},
		{head + ",joint,0,0,0,0,0,0\n", "no name", 2},
		{head + "a,joint,0,0,0,0,0\n", "7 columns", 2},
		{head + "a,joint,0,0,0,0,0,x\n", "not a number", 2},
		{head + "a,joint,0,0,0,0,0,NaN\n", "not a number", 2},
		{head + "a,joint,0,0,0,0,0,1e300\n", "not a number", 2},
		{head + "a,joint,0,0,0,0,0,\n", "neither", 2},
		{head + "a,joint,0,0,0,0,0,0\nb,joint,180,0,0,0,0,0\n", "joint 1 at 180 deg", 3},
		{"name,motion,j1,j2,j3,j4,j5\na,joint,0,0,0,0,0\n", "lacks some of the joints", 1},
		{"name,j1,j2,j3,j4,j5,j6\na,0,0,0,0,0,0\n", "lacks name or motion", 1},
		{"name,motion,j1,x,y,z,qw,qx,qy,qz\na,joint,0,0,0,0,1,0,0,0\n", "lacks some of the joints", 1},
		{"name,motion\na,joint\n", "lacks some of the joints", 1},
		{"name,motion,x,y,z,qw,qx,qy,qz,config\na,joint,0,0,0,1,0,0,0,up\n", "\"up\" is not understood", 2},
		{"name,motion,x,y,z,qw,qx,qy,qz,config\na,joint,0,0,0,1,0,0,0,j7>0\n", "names no joint", 2},
		{"name,motion,x,y,z,qw,qx,qy,qz,config\na,joint,0,0,0,1,0,0,0,j3>x\n", "gives no angle", 2},
		{"name,motion,j1,j2,j3,j4,j5,j6,config\na,joint,0,0,0,0,0,0,j3>0\n", "nothing to choose", 2},
		{"name,motion,j1,j2,j3,j4,j5,j6,j7\n", "j7", 1},
		{"name,motion,j1,j2,j3,j4,j5,j6,j6\n", "twice", 1},
		{"name,motion,j1,j2,j3,j4,j5,j6,x,y\n", "not all", 1},
		{both + "a,joint,0,0,0,0,0,0,,,,,,,\nb,line,,,,,,,0,0,900,1,1,0,0\n", "quaternion", 3},
		{both + "a,joint,0,0,0,0,0,0,1,,,,,,\n", "neither", 2},
	} {
		_, err := ReadProgram(strings.NewReader(c.text), "moves.csv", sixAxis())
		var f *fault.Error
		if !errors.As(err, &f) {
			t.Errorf("%q: %v is no fault", c.text, err)
			continue
		}
		if !strings.Contains(f.Error(), c.says) || f.Line != c.line || f.File != "moves.csv" || f.Remedy == "" {
			t.Errorf("%q: %v, want %q on line %d", c.text, f, c.says, c.line)
		}
	}
}

// Whatever a file holds is a program or a fault, never a panic.
func FuzzProgram(f *testing.F) {
	f.Add("name,motion,j1,j2,j3,j4,j5,j6\na,joint,0,0,0,0,0,0\n")
	f.Add("name,motion,j1,j2,j3,j4,j5,j6,x,y,z,qw,qx,qy,qz\na,joint,0,0,0,0,0,0,,,,,,,\nb,line,,,,,,,800,0,900,0,0,1,0\n")
	f.Add("name,motion,j1\n\"")
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ReadProgram(strings.NewReader(text), "moves.csv", sixAxis())
		var bad *fault.Error
		if err != nil && !errors.As(err, &bad) {
			t.Fatalf("%v is no fault", err)
		}
		if err == nil && (len(p.Rows) == 0 || p.Rows[0].Joints == nil && p.Rows[0].Pose == nil) {
			t.Fatalf("a program without a start: %+v", p)
		}
	})
}
