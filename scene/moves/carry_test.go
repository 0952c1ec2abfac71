package moves

import (
	"bytes"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestCarryTakesPointsWhereTheirObjectWent(t *testing.T) {
	w := newWorld(11)
	old := w.mapped(7)
	before := w.mill
	turn := geom.Exp(r3.Vec{Z: .03})
	w.mill = geom.Pose{R: before.R.Mul(turn), T: r3.Add(before.T, r3.Vec{X: 25, Y: -10})}
	c := Compare(old, w.mapped(3), level)
	truth := w.mill.Mul(before.Inverse())
	pick := geom.Pose{R: geom.RotFromRPY(.1, .2, .3), T: r3.Vec{X: 1300, Y: 150, Z: 450}}
	got := c.Carry([]Taught{
		{Name: "pick", Object: "mill", Pose: pick}, {Name: "park", Object: "floor", Pose: pick}, {Name: "lost", Object: "lathe", Pose: pick},
	}, Limits{20, 3})
	if d := truth.Mul(pick).Minus(got[0].Pose); rigid.Against(d, got[0].Cov, 300).Beyond(.9999) || math.Hypot(d[0], d[1]) > 1 {
		t.Errorf("the corrected point is off by %v", d)
	}
	shift, _ := got[0].Expanded()
	if got[0].Status() != "corrected" || !got[0].Check() || shift < .1 || shift > 1.5 {
		t.Errorf("%s, check %v, u95 %.2f mm", got[0].Status(), got[0].Check(), shift)
	}
	// The floor holds no slide along itself, so nothing follows for a point on it.
	if got[1].Status() != "not-corrected" || !strings.Contains(got[1].Why, "a slide") {
		t.Errorf("%+v", got[1])
	}
	if got[2].Status() != "not-corrected" || !got[2].Check() || got[2].Pose != pick {
		t.Errorf("%+v", got[2])
	}
}

func TestPointsOfAStillObjectStayAsTaught(t *testing.T) {
	w := newWorld(12)
	old := w.mapped(7)
	pick := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 1300, Z: 450}}
	got := Compare(old, w.mapped(3), level).Carry([]Taught{{Name: "pick", Object: "mill", Pose: pick}}, Limits{1, 3})[0]
	if shift, _ := got.Expanded(); got.Status() != "as-taught" || got.Pose != pick || got.Check() || !(shift > 0) {
		t.Errorf("%+v", got)
	}
}

// A place is flagged where it is corrected by more than one limit or known to worse than
// the other, with the direction that little tells.
func TestCarriedPlacesAreFlagged(t *testing.T) {
	m := Move{Name: "mill", Moved: true, Motion: rigid.Motion{Pose: rigid.About(r3.Vec{}, r3.Vec{Z: 4}, r3.Vec{}), Cov: geom.Cov6{{.01}, {1: 9}, {2: .01}}}}
	m.Weak = []Weak{{rigid.Direction{Slide: y}, Edges}}
	c := &Comparison{Level: level, Moves: []Move{m}}
	for _, k := range []struct {
		limits Limits
		flags  int
	}{{Limits{5, 7}, 0}, {Limits{3, 7}, 1}, {Limits{5, 1}, 1}, {Limits{3, 1}, 2}} {
		got := c.Carry([]Taught{{Name: "pick", Object: "mill", Pose: geom.Identity()}}, k.limits)
		if len(got[0].Flags) != k.flags || got[0].Check() != (k.flags > 0) {
			t.Errorf("%+v: %q", k.limits, got[0].Flags)
		}
		var b bytes.Buffer
		if err := WriteCarried(&b, got); err != nil || strings.Contains(b.String(), "along base Y") != (k.limits.Known == 1) {
			t.Errorf("%+v: %v %s", k.limits, err, b.String())
		}
	}
}

// What is written is read again, in either manner of attitude.
func TestCarriedPointsAreTaughtPointsAgain(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, inRPY := range []bool{false, true} {
		p := Taught{Name: "a, b", Object: "mill", InRPY: inRPY, Pose: geom.Pose{
			R: geom.Exp(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64()}), T: r3.Vec{X: 100 * rng.NormFloat64(), Y: -1e-9},
		}}
		var b bytes.Buffer
		if err := WriteCarried(&b, []Carried{{Taught: p, Pose: p.Pose}}); err != nil {
			t.Fatal(err)
		}
		head, row, _ := strings.Cut(b.String(), "\n")
		n := strings.Index(head, ",status")
		path := filepath.Join(t.TempDir(), "p.csv")
		text := head[:n] + "\n" + row[:strings.Index(row, ",as-taught")] + "\n"
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		got, err := OpenTaught(path)
		if err != nil || len(got) != 1 || got[0].Name != "a, b" || got[0].InRPY != inRPY {
			t.Fatal(got, err)
		}
		for i, d := range got[0].Pose.Minus(p.Pose) {
			if math.Abs(d) > 1e-4 {
				t.Errorf("component %d comes back %g off", i, d)
			}
		}
		if strings.Contains(text, "-0.0000,") {
			t.Errorf("a plain nought is written as %s", text)
		}
	}
}

func TestWrongTaughtPoints(t *testing.T) {
	for text, says := range map[string]string{
		"name,object,x,y,z,qw,qx,qy,qz\na,mill,1,2,3,1,1,0,0\n":   "p.csv:2: qw: quaternion",
		"name,object,x,y,z\na,mill,1,2,3\n":                       "no attitude",
		"name,object,x,y,z,qw,roll\na,mill,1,2,3,1,0\n":           "no attitude, or two",
		"name,object,x,y,z,roll,pitch,yaw\na,,1,2,3,0,0,0\n":      "p.csv:2: object",
		"name,object,x,y,z,roll,pitch,yaw\na,mill,1,2,3,0,,0\n":   "p.csv:2: pitch",
		"name,object,x,y,zz,roll,pitch,yaw\na,mill,1,2,3,0,0,0\n": "p.csv:1: z",
	} {
		path := filepath.Join(t.TempDir(), "p.csv")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := OpenTaught(path)
		var f *fault.Error
		if !errors.As(err, &f) || f.Remedy == "" || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want %s", text, err, says)
		}
	}
}
