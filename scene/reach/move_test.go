package reach

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cellwall/fit"
	"cellwall/mapping/arm"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/reach/guard"
	"cellwall/scene/schema"
	"cellwall/scene/solid"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"gonum.org/v1/gonum/spatial/r3"
)

// mast is an arm of one joint about Z that carries a ball of 50 mm at 1000 mm: all
// its distances follow from the circle.
func mast() *arm.Arm {
	return &arm.Arm{Name: "mast", Joints: []arm.Joint{{A: 1000, D: 500, Min: -math.Pi, Max: math.Pi}},
		Capsules: []arm.Capsule{{Frame: 1, Radius: 50}}}
}

func block(name string, at r3.Vec, size float64) scene.Object {
	return scene.Object{Object: fit.Object{Name: name, Kind: fit.Block}, Margin: 20,
		Solids: []solid.Solid{solid.Box{Box: geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: at}, Size: r3.Vec{X: size, Y: size, Z: size}}}}}
}

func program(rows ...Row) *Program {
	for i := range rows {
		rows[i].Name, rows[i].Line = string(rune('a'+i)), i+2
	}
	return &Program{File: "moves.csv", Rows: rows}
}

func turned(deg float64) Row { return Row{Motion: Joint, Joints: []float64{deg * degrees}} }

// A block of 100 mm stands at x = 1300: its face is 250 mm from the circle at
// angle 0, so the ball passes at 200 mm; at x = 1115 it passes at 15 mm.
func TestVerdictsOnACircle(t *testing.T) {
	for _, x := range []struct {
		at     float64
		want   Verdict
		least  float64
		unseen func(*placed, float64) bool
	}{
		{1300, Clear, 200, func(*placed, float64) bool { return false }},
		{1300, Unchecked, 200, nil},
		{1115, Near, 15, func(*placed, float64) bool { return false }},
		{1050, Hit, -50, func(*placed, float64) bool { return false }},
		{1300, IntoUnseen, 200, func(x *placed, grow float64) bool { return x.corners[0].Y > 400-x.radius-grow }},
	} {
		c := mustChecker(t, mast(), &scene.Scene{Objects: []scene.Object{block("block", r3.Vec{X: x.at, Z: 500}, 100)}})
		c.unseen = x.unseen
		moves, err := c.Moves(context.Background(), program(turned(-80), turned(80)))
		if err != nil {
			t.Fatal(err)
		}
		m := moves[1]
		if m.Verdict != x.want {
			t.Errorf("block at %g: %s, want %s", x.at, m.Verdict, x.want)
		}
		if m.Scene.Bound > x.least+1e-9 || m.Scene.Least < x.least-1e-9 || m.Scene.Least > x.least+closeness {
			t.Errorf("block at %g: least %g, bound %g, want %g", x.at, m.Scene.Least, m.Scene.Bound, x.least)
		}
		if link, object := m.Scene.Names(); link != "flange" || object != "block" {
			t.Errorf("%s comes near to %s", link, object)
		}
		if x.want != IntoUnseen {
			continue
		}
		// y = 1000 sin(angle) is over 350 from 20.49 deg on, which is 62.8 % of the way.
		if m.Unseen == nil || math.Abs(m.Unseen.At-(80+20.49)/160) > 0.01 {
			t.Errorf("unseen at %+v", m.Unseen)
		}
		if moves[0].Verdict != Clear {
			t.Errorf("the start is %s, and all about it was seen", moves[0].Verdict)
		}
	}
}

// The block stands 200 mm beside the circle: that crushes a body and a head by
// ISO 13854:2017 (500 and 300 mm; secondary source), and not a leg (180).
func TestGapsThatCrush(t *testing.T) {
	c := mustChecker(t, mast(), &scene.Scene{Objects: []scene.Object{block("near", r3.Vec{X: 1300, Z: 500}, 100),
		block("touched", r3.Vec{Y: 1000, Z: 500}, 100), block("far", r3.Vec{X: -1700, Z: 500}, 100)}})
	p, err := guard.FindProfile("iso-13854-2017")
	if err != nil {
		t.Fatal(err)
	}
	c.Profile = &p
	moves, err := c.Moves(context.Background(), program(turned(-60), turned(100)))
	if err != nil {
		t.Fatal(err)
	}
	g := moves[1].Gaps
	if len(g) != 1 || len(g[0].Parts) != 2 || g[0].Parts[0].Name != "body" || g[0].Parts[1].Name != "head" {
		t.Errorf("%+v", g)
	}
	if _, object := g[0].Names(); object != "near" || g[0].Bound > 200 || g[0].Bound < 198.9 {
		t.Errorf("%s at %g", object, g[0].Bound)
	}
}

func TestRowsThatCannotBeGoneAreFaults(t *testing.T) {
	c := mustChecker(t, mast(), &scene.Scene{})
	far := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 1000, Z: 900}}
	_, err := c.Moves(context.Background(), program(turned(0), Row{Motion: Line, Pose: &far}))
	var f *fault.Error
	if !errors.As(err, &f) || f.Line != 3 || f.Where != "b" || !strings.Contains(f.Rule, "out of reach") {
		t.Errorf("%v", err)
	}
	if _, err := NewChecker(&arm.Arm{Joints: mast().Joints}, &scene.Scene{}); err == nil || !strings.Contains(err.Error(), "capsules") {
		t.Errorf("an arm without capsules: %v", err)
	}
}

// What capsules overlap by where the arm stood is no hit there, and no more than
// that is allowed elsewhere.
func TestCapsulesFatterThanLinksAreAllowedFor(t *testing.T) {
	c := mustChecker(t, sixAxis(), &scene.Scene{})
	r := rand.New(rand.NewPCG(6, 6))
	var p posture
	for range 300 {
		q := posed(c, r)
		for i, j := range c.arm.Joints {
			q[i] = j.Min + (j.Max-j.Min)*r.Float64()
		}
		c.stand(&p, q)
		before := least(c, &p, c.self)
		fresh := mustChecker(t, sixAxis(), &scene.Scene{})
		fresh.Been(q)
		fresh.stand(&p, q)
		if after := least(fresh, &p, fresh.self); before < 0 && math.Abs(after) > 1e-9 || before >= 0 && after != before {
			t.Fatalf("the links are %g apart, and %g once the arm has been there", before, after)
		}
	}
}

// A link and an object that overlap where the arm stood are named, with the
// deepest overlap, and a move through there is a hit all the same.
func TestContradictionsAreNamed(t *testing.T) {
	c := mustChecker(t, mast(), &scene.Scene{Objects: []scene.Object{block("ahead", r3.Vec{X: 1090, Z: 500}, 100)}})
	for _, a := range []float64{-40, -1, 0, 1} {
		c.Been([]float64{a * degrees})
	}
	// At 0 the ball of 50 mm at 1000 is 40 mm from the face: it overlaps by 10.
	if got := c.Contradictions(); len(got) != 1 || got[0] != "flange and ahead by 10.0 mm" {
		t.Errorf("%q", got)
	}
	if m := sweepOf(t, c, -5, 5); m.Verdict != Hit {
		t.Errorf("a move through there is %s", m.Verdict)
	}
}

// Any number of cores gives the same, and reach.json keeps to its schema.
func TestReportFollowsItsSchema(t *testing.T) {
	c := mustChecker(t, sixAxis(), shop(t, rand.New(rand.NewPCG(2, 2)), 30))
	r := rand.New(rand.NewPCG(3, 3))
	var rows []Row
	for range 12 {
		rows = append(rows, Row{Motion: Joint, Joints: posed(c, r)})
	}
	c.unseen = func(x *placed, _ float64) bool { return x.corners[0].X < -500 }
	c.Profile = &guard.Profiles[0]
	var texts [][]byte
	for range 2 {
		p := program(rows...)
		moves, err := c.Moves(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		report := c.NewReport("cell", []string{"caution"})
		report.Take(c, p, moves)
		if err := report.WriteJSON(&b); err != nil {
			t.Fatal(err)
		}
		texts = append(texts, b.Bytes())
	}
	if !bytes.Equal(texts[0], texts[1]) {
		t.Error("two runs differ")
	}
	validate(t, schema.Reach, texts[0])

	found, err := c.Whole(context.Background(), c.Limits())
	if err != nil {
		t.Fatal(err)
	}
	offs, err := c.KeepOffs("thing-3", c.Limits())
	if err != nil {
		t.Fatal(err)
	}
	whole := c.NewReport("cell", []string{"caution"})
	whole.TakeWhole(c, c.Limits(), found)
	whole.TakeKeepOffs("thing-3", offs)
	var b bytes.Buffer
	if err := whole.WriteJSON(&b); err != nil {
		t.Fatal(err)
	}
	validate(t, schema.Reach, b.Bytes())
}

func validate(t *testing.T, text, data []byte) {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	var v any
	if err := json.Unmarshal(data, &v); err != nil {
		t.Fatal(err)
	}
	if err := s.Validate(v); err != nil {
		t.Error(err)
	}
}
