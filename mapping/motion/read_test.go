package motion

import (
	"errors"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/arm"
	"cellwall/mapping/fault"
)

func formatted(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// Each file is wrong in one way; the message must hold the words.
func TestFaultsSayWhatIsWrong(t *testing.T) {
	pose := "t,x,y,z,qw,qx,qy,qz\n"
	for _, c := range []struct{ text, words string }{
		{"", "m.csv: it is empty"},
		{"# nothing\n", "it is empty"},
		{"t,j1,j2\n", "it holds no rows"},
		{"1,2,3\n", "m.csv:1: the header \"1,2,3\" is neither"},
		{"j1,j2\n1,2\n", "there is no column t"},
		{"t,j1\n1,2\n", "there is no column j2; write the columns t,j1,j2"},
		{"t,j1,j2,j3\n1,2,3,4\n", `the column "j3" is one too many`},
		{"t,j1,j2,x\n1,2,3,4\n", "there is no column y"},
		{"t,j1,j2,j2\n1,2,3,4\n", `the column "j2" is one too many`},
		{"t,j1,j2\n1,2\n", "m.csv:2: the line has 2 columns, the header 3"},
		{"t,j1,j2\n1,2,\n", `m.csv:2: j2: "" is not a sensible number`},
		{"t,j1,j2\n1,2,nan\n", `m.csv:2: j2: "nan" is not a sensible number`},
		{"t,j1,j2\ninf,2,3\n", `m.csv:2: t: "inf" is not a sensible number`},
		{"t,j1,j2\n1,2,3\n# a pause\n1,2,3\n", "m.csv:4: t: 1 s follows 1 s: the times do not increase"},
		{"t,j1,j2\n1,2,3\n0.5,2,3\n", "m.csv:3: t: 0.5 s follows 1 s"},
		{"t,j1,j2\n1,2,170.5\n", "m.csv:2: j2: 170.5 deg is outside the joint's limits, -170 to 170 deg"},
		{"t,j1,j2\n1,-170.0000001,3\n", "m.csv:2: j1: -170.0000001 deg is outside"},
		{pose + "1,0,0,0,0,0,0,0\n", "m.csv:2: qw,qx,qy,qz: quaternion (0, 0, 0, 0) has length 0, not 1"},
		{pose + "1,0,0,0,1,1,0,0\n", "has length 1.41"},
		{pose[:len(pose)-4] + "\n1,0,0,0,1,0,0\n", "there is no column qz"},
		{"t,j1,j2\n1,\"2,3\n", "m.csv:2: "},
	} {
		_, err := read(strings.NewReader(c.text), "m.csv", twoJoints())
		var f *fault.Error
		if !errors.As(err, &f) || !strings.Contains(f.Error(), c.words) || f.Remedy == "" {
			t.Errorf("%q\n got  %v\n want %s", c.text, err, c.words)
		}
	}
}

func TestJointsNeedARobot(t *testing.T) {
	_, err := read(strings.NewReader("t,j1\n1,2\n"), "m.csv", nil)
	if err == nil || !strings.Contains(err.Error(), "the cell names no robot; name the robot") {
		t.Errorf("got %v", err)
	}
}

func TestOpenNamesAMissingFile(t *testing.T) {
	_, err := Open(filepath.Join(t.TempDir(), "none.csv"), nil)
	if err == nil || !strings.Contains(err.Error(), "none.csv: the file does not exist") {
		t.Errorf("got %v", err)
	}
}

func TestLimitsThemselvesAreAllowed(t *testing.T) {
	a := &arm.Arm{Joints: []arm.Joint{{A: 1, Min: -123.4 * degree, Max: 56.7 * degree}}}
	track(t, "t,j1\n1,-123.4\n2,56.7\n", a)
}

func TestSeparatorsSpacesAndOrder(t *testing.T) {
	for _, text := range []string{
		"\xef\xbb\xbf# log\r\nT; J1; J2\r\n1; 90; 0\r\n",
		"j2\tj1\tt\n0\t90\t1\n",
		"\n\"t\",\"j1\",\"j2\"\n1,90,0\n",
	} {
		pose, q, ok := track(t, text, twoJoints()).Cursor().At(1)
		if !ok || math.Abs(q[0]-math.Pi/2) > 1e-12 || !near(pose.T, r3.Vec{Y: 700}, 1e-9) {
			t.Errorf("%q gave %v, %v", text, pose, q)
		}
	}
}

func FuzzMotion(f *testing.F) {
	f.Add("t,j1,j2\n0,0,0\n1,10,20\n")
	f.Add("t,x,y,z,qw,qx,qy,qz\n10,0,0,0,1,0,0,0\n11,10,20,-30,0.5,0.5,0.5,0.5\n")
	f.Add("# log\r\nt;j1;j2\r\n1;1e3;nan\r\n")
	f.Fuzz(func(t *testing.T, text string) {
		tr, err := read(strings.NewReader(text), "m.csv", twoJoints())
		if err != nil {
			var f *fault.Error
			if !errors.As(err, &f) || f.Remedy == "" {
				t.Fatalf("%v is no fault with a remedy", err)
			}
			return
		}
		c := tr.Cursor()
		for i, at := range tr.times {
			if i > 0 {
				at = (at + tr.times[i-1]) / 2
			}
			pose, _, ok := c.At(at)
			if length := r3.Norm(pose.R.Axis(0)); !ok || math.Abs(length-1) > 1e-9 || math.IsNaN(r3.Norm(pose.T)) {
				t.Fatalf("at %g: %v, %v", at, pose, ok)
			}
		}
	})
}
