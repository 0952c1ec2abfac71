package scene

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/geom"
	"cellwall/scene/schema"
	"cellwall/scene/solid"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"gonum.org/v1/gonum/spatial/r3"
)

// sample is a scene with one of everything that scene.json can hold.
func sample(t *testing.T) *Scene {
	t.Helper()
	r := rand.New(rand.NewPCG(5, 5))
	vec := func(scale float64) r3.Vec {
		return r3.Vec{X: scale * r.NormFloat64(), Y: scale * r.NormFloat64(), Z: scale * r.NormFloat64()}
	}
	pose := geom.Pose{R: geom.Exp(vec(1)), T: vec(1000)}
	var cov geom.Cov6
	for i := range cov {
		cov[i][i] = 0.01 * float64(i+1)
	}
	ring := []r3.Vec{{}, {X: 400}, {X: 500, Y: 300}, {Y: 250}}
	for i := range ring {
		ring[i] = pose.Apply(ring[i])
	}
	prism, err := solid.NewPrism(ring, pose.R.Axis(2), 45.678901234)
	if err != nil {
		t.Fatal(err)
	}
	hull, err := solid.NewHull([]r3.Vec{vec(300), vec(300), vec(300), vec(300), vec(300), vec(300), vec(300)})
	if err != nil {
		t.Fatal(err)
	}
	plane := surface.Surface{
		Plane: geom.Plane{Normal: pose.R.Axis(2), Offset: r3.Dot(pose.R.Axis(2), pose.T)}, Centre: pose.T,
		Outline: ring, Holes: [][]r3.Vec{ring[:3]}, Area: 123456.7, Points: 5210, Scans: []int32{0, 2}, RMS: 0.2,
		Cov: surface.Cov3{{0.04, 1e-5, 0}, {1e-5, 4e-8, 1e-8}, {0, 1e-8, 1e-8}},
		Budget: surface.Budget{
			Noise: surface.Cov3{{0.01, 0, 0}, {0, 1e-8, 0}, {0, 0, 5e-9}},
			Sweep: surface.Cov3{{0.02, 1e-5, 0}, {1e-5, 2e-8, 1e-8}, {0, 1e-8, 3e-9}},
			Arm:   surface.Cov3{{0.01, 0, 0}, {0, 1e-8, 0}, {0, 0, 2e-9}},
		},
	}
	bar := plane
	bar.Cylinder = &surface.Cylinder{Point: vec(500), Axis: pose.R.Axis(0), Radius: 101.23456, SigmaRadius: 0.12, Length: 1500}
	near := vec(200)
	s := &Scene{
		Cell: "invented \"cell\" <1>", Scans: []string{"swing", "pass, [one]", "tripod"},
		Objects: []Object{
			{Object: fit.Object{Name: "mill", Kind: fit.Enclosure, Pose: pose, Cov: cov, Faces: []fit.Face{{Name: "front", Surface: plane}},
				Opening: &fit.Opening{YMin: -400, YMax: 400.12345, ZMin: 900, ZMax: 1500}}, Solids: []solid.Solid{prism}, Margin: 20, ClearTaken: 0.0123456},
			{Object: fit.Object{Name: "post-1", Kind: fit.Post, Pose: pose, Cov: cov, Faces: []fit.Face{{Name: "side", Surface: bar}}},
				Solids: []solid.Solid{solid.Cylinder{Centre: pose.T, Axis: pose.R.Axis(0), Radius: 101.23456, Height: 1500}}, Margin: 20},
			{Object: fit.Object{Name: "vise", Kind: fit.Vise, Inside: "mill", Pose: pose, Cov: cov, NotSeen: []string{"where it ends on the far side"},
				Measures: map[string]fit.Measure{"opening_mm": {Value: 63.41234567, Sigma: 0.1234567}, "jaw_width_mm": {Value: 150, Sigma: 0.2}},
				Parts:    []geom.Box{{Pose: pose, Size: r3.Vec{X: 150, Y: 45, Z: 45}}}},
				Solids: []solid.Solid{solid.Box{Box: geom.Box{Pose: pose, Size: r3.Vec{X: 150, Y: 45, Z: 45}}}}, Margin: 20},
			{Object: fit.Object{Name: "remainder", Kind: Remainder}, Solids: []solid.Solid{hull}, Margin: 20},
		},
		NotLocated: []fit.Refusal{{Name: "vise-2", Kind: fit.Vise, Reason: "two places fit", ScanNext: "a pass over the jaws", Near: &near, Candidates: 2}},
		Points:     mapping.Counts{Read: 100, Used: 90},
		Agreement: []Agreement{
			{Scan: "swing", Moved: &Shift{T: vec(1), R: vec(1e-3)}, Before: 0.5, After: 0.2, Middle: vec(100), Surfaces: 4},
			{Scan: "tripod", Before: 0.5, After: 0.5, Surfaces: 1},
		},
		Space: &Space{Voxel: 40, Clear: 30, Solid: 2, Unseen: 8, UnseenInReach: 1.5, LeastObstacle: 40, ByNoReturn: new(0.75)},
	}
	s.Points.Dropped[mapping.EdgePoint] = 10
	return s
}

func written(t *testing.T, s *Scene) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := s.WriteJSON(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// validate holds JSON against a schema with an independent validator.
func validate(t *testing.T, text, data []byte) error {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("schema.json", doc); err != nil {
		t.Fatal(err)
	}
	sch, err := c.Compile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return sch.Validate(v)
}

func TestWrittenSceneFitsItsSchema(t *testing.T) {
	for name, s := range map[string]*Scene{"full": sample(t), "empty": {}} {
		if err := validate(t, schema.Scene, written(t, s)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The schema is not so wide that anything fits it.
func TestSchemaRefusesWhatIsNoScene(t *testing.T) {
	good := string(written(t, sample(t)))
	for _, c := range []struct{ old, new string }{
		{`"format": "cellwall.scene/1"`, `"format": "cellwall.scene/2"`},
		{`"kind": "vise"`, `"kind": "teapot"`},
		{`"margin_mm": 20`, `"margin_mm": -1`},
		{`"shape": "box"`, `"shape": "ball"`},
		{`"located": true`, `"located": false`},
		{`"length": "mm"`, `"length": "m"`},
		{`"opening_mm"`, `"opening_mm": 3, "opening"`},
	} {
		bad := strings.Replace(good, c.old, c.new, 1)
		if bad == good {
			t.Fatalf("%q is not in the file", c.old)
		}
		if validate(t, schema.Scene, []byte(bad)) == nil {
			t.Errorf("%q passes for %q", c.new, c.old)
		}
	}
}

// DESIGN.md section 6 shows a scene.json: every member that it names is there
// under that name.
func TestSceneHasTheMembersOfTheContract(t *testing.T) {
	var f map[string]any
	if err := json.Unmarshal(written(t, sample(t)), &f); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]any{
		"format": "cellwall.scene/1", "frame": "base", "units/length": "mm", "units/angle": "deg",
		"objects/2/name": "vise", "objects/2/kind": "vise", "objects/2/located": true, "objects/2/inside": "mill",
		"objects/2/pose/xyz_mm/2": nil, "objects/2/pose/quaternion_wxyz/3": nil, "objects/2/pose/covariance/5/5": 0.06,
		"objects/2/pose/sigma/xyz_mm/0": 0.1, "objects/2/pose/sigma/rotation_deg/0": 11.46,
		"objects/2/measures/opening_mm/value": 63.4123, "objects/2/measures/opening_mm/sigma": 0.1235,
		"objects/0/surfaces/0/name": "front", "objects/0/surfaces/0/shape": "plane", "objects/0/surfaces/0/normal/2": nil,
		"objects/0/surfaces/0/offset_mm": nil, "objects/0/surfaces/0/outline_mm/0/2": nil, "objects/0/surfaces/0/points": 5210.0,
		"objects/0/surfaces/0/scans/1": "tripod", "objects/0/surfaces/0/rms_mm": 0.2,
		"objects/0/surfaces/0/sigma/offset_mm": 0.2, "objects/0/surfaces/0/sigma/tilt_deg": nil,
		"objects/2/solids/0/shape": "box", "objects/2/solids/0/centre_mm/0": nil, "objects/2/solids/0/size_mm/0": 150.0,
		"objects/2/solids/0/quaternion_wxyz/0": nil, "objects/2/margin_mm": 20.0,
		"not_located/0/name": "vise-2", "not_located/0/kind": "vise", "not_located/0/reason": "two places fit", "not_located/0/scan_next": nil,
		"points/read": 100.0, "points/used": 90.0, "points/dropped/edge": 10.0, "points/dropped/no-return": 0.0, "points/dropped/robot-itself": 0.0,
		"agreement/0/scan": "swing", "agreement/0/shift_mm/0": nil, "agreement/0/rotation_deg/0": nil, "agreement/0/rms_before_mm": 0.5, "agreement/0/rms_after_mm": 0.2,
		"space/voxel_mm": 40.0, "space/clear_m3": 30.0, "space/solid_m3": 2.0, "space/unseen_m3": 8.0, "space/unseen_in_reach_m3": 1.5, "space/least_obstacle_mm": 40.0, "space/clear_by_no_return_m3": 0.75,
	} {
		got, ok := at(f, strings.Split(path, "/"))
		if !ok || want != nil && got != want {
			t.Errorf("%s is %v (there: %v), want %v", path, got, ok, want)
		}
	}
}

// at follows a path of member names and indices.
func at(v any, path []string) (any, bool) {
	for _, key := range path {
		switch w := v.(type) {
		case map[string]any:
			next, ok := w[key]
			if !ok {
				return nil, false
			}
			v = next
		case []any:
			i := int(key[0] - '0')
			if i >= len(w) {
				return nil, false
			}
			v = w[i]
		default:
			return nil, false
		}
	}
	return v, true
}

func TestWritingIsDeterministicAndLaidOut(t *testing.T) {
	a, b := written(t, sample(t)), written(t, sample(t))
	if !bytes.Equal(a, b) {
		t.Error("two writings of one scene differ")
	}
	if !bytes.Contains(a, []byte("\n   \"margin_mm\": 20,\n   \"clear_taken_m3\": 0.012346\n  }")) {
		t.Errorf("the layout is not for people:\n%s", a)
	}
	for _, n := range bytes.Fields(a) {
		if len(bytes.Trim(n, "[],")) > 22 && n[0] != '"' {
			t.Errorf("a number of %d figures: %s", len(n), n)
		}
	}
}

func TestWritingRefusesNaN(t *testing.T) {
	s := sample(t)
	s.Objects[2].Cov[1][1] = math.NaN()
	err := s.WriteJSON(&bytes.Buffer{})
	if err == nil || !strings.Contains(err.Error(), "vise") || !strings.Contains(err.Error(), "NaN") {
		t.Errorf("got %v, want an error that names the object", err)
	}
}
