package scout

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"

	"cellwall/mapping/arm"
	"cellwall/scene/reach"
	"cellwall/scene/schema"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

func sample() *Plan {
	return &Plan{Unseen: 2, Apart: 0.01, Sweeps: []Sweep{{
		Way: [][]float64{{0, 1}, {0.5, 1}}, From: []float64{-1, 1}, To: []float64{1, 1}, Joint: 0, Sees: 0.5}}}
}

func TestPlanKeepsToItsSchema(t *testing.T) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema.Scout))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("scout", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("scout")
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []*Plan{sample(), {Apart: 0.01}} {
		var b bytes.Buffer
		if err := p.WriteJSON(&b); err != nil {
			t.Fatal(err)
		}
		got, err := jsonschema.UnmarshalJSON(&b)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(got); err != nil {
			t.Error(err)
		}
	}
}

// TestProgramIsReadBack by the reader of programs: there, the sweep, and back.
func TestProgramIsReadBack(t *testing.T) {
	var b bytes.Buffer
	if err := sample().Sweeps[0].WriteProgram(&b); err != nil {
		t.Fatal(err)
	}
	limits := arm.Joint{Min: -math.Pi, Max: math.Pi}
	p, err := reach.ReadProgram(&b, "sweeps.csv", &arm.Arm{Joints: []arm.Joint{limits, limits}})
	if err != nil {
		t.Fatal(err)
	}
	want := []float64{0, 0.5, -1, 1, 0.5, 0} // joint 1
	if len(p.Rows) != len(want) {
		t.Fatalf("%d rows, want %d", len(p.Rows), len(want))
	}
	for i, r := range p.Rows {
		if math.Abs(r.Joints[0]-want[i]) > 1e-4*math.Pi/180 {
			t.Errorf("row %d stands at %g, want %g", i, r.Joints[0], want[i])
		}
	}
}

func TestJSONCountsJointsFromOneInDegrees(t *testing.T) {
	var b bytes.Buffer
	if err := sample().WriteJSON(&b); err != nil {
		t.Fatal(err)
	}
	var got planFile
	if err := json.Unmarshal(b.Bytes(), &got); err != nil || got.Sweeps[0].Joint != 1 || got.Sweeps[0].From[0] != -57.2958 {
		t.Errorf("%+v, %v", got, err)
	}
}
