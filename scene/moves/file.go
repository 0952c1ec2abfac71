package moves

import (
	"encoding/json"
	"io"
	"math"

	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

// Format is what the written comparison says it is.
const Format = "cellwall.moves/1"

// The types below spell out the written comparison; scene/schema says what each
// member means. Lengths are mm, angles degrees, except in covariances, which are
// in mm and rad as in scene.json.
type fileComparison struct {
	Format   string        `json:"format"`
	Level    float64       `json:"level"`
	Coverage float64       `json:"coverage_factor"`
	Foot     string        `json:"foot"`
	Room     *fileMove     `json:"room,omitempty"`
	Objects  []fileMove    `json:"objects"`
	Slips    []fileSlip    `json:"slips"`
	Contacts []fileContact `json:"contacts"`
	Untold   []fileUntold  `json:"untold"`
}

type fileMove struct {
	Name      string       `json:"name"`
	Kind      string       `json:"kind,omitempty"`
	Inside    string       `json:"inside,omitempty"`
	With      string       `json:"went_with,omitempty"`
	Moved     bool         `json:"moved"`
	Test      fileTest     `json:"test"`
	By        string       `json:"by"`
	Base      filePose     `json:"base_new_from_base_old"`
	Datum     *fileAtDatum `json:"at_datum,omitempty"`
	AtMost    *fileBound   `json:"at_most,omitempty"`
	Open      []string     `json:"undetermined"`
	Weak      []fileWeak   `json:"weakly_determined"`
	SameShape bool         `json:"same_shape"`
	Shared    []fileShared `json:"shared"`
	Unlike    []fileShared `json:"unlike"`
	Unseen    []string     `json:"not_seen"`
	Misfit    fileTest     `json:"misfit"`
	Inflation float64      `json:"inflation"`
}

type fileWeak struct {
	Direction string   `json:"direction"`
	On        string   `json:"rests_on"`
	Shift     *float64 `json:"expanded_mm,omitempty"`
	Turn      *float64 `json:"expanded_deg,omitempty"`
}

type filePose struct {
	XYZ        [3]float64    `json:"xyz_mm"`
	Quaternion [4]float64    `json:"quaternion_wxyz"`
	RPY        [3]float64    `json:"rpy_deg"`
	Turn       [3]float64    `json:"rotation_vector_deg"`
	Covariance [6][6]float64 `json:"covariance"`
}

type fileAtDatum struct {
	Old        [3]float64    `json:"old_xyz_mm"`
	Shift      [3]float64    `json:"shift_mm"`
	ShiftU     [3]float64    `json:"shift_expanded_mm"`
	Turn       [3]float64    `json:"rotation_vector_deg"`
	TurnU      [3]float64    `json:"rotation_expanded_deg"`
	Covariance [6][6]float64 `json:"covariance"`
}

type fileBound struct {
	Shift float64 `json:"shift_mm"`
	Turn  float64 `json:"turn_deg"`
}

type fileTest struct {
	ChiSquare float64 `json:"chi_square"`
	Freedom   int     `json:"freedom"`
	Known     float64 `json:"variance_freedom,omitempty"`
	P         float64 `json:"p"`
}

type fileShared struct {
	Old    string  `json:"old"`
	New    string  `json:"new"`
	Offset float64 `json:"offset_mm"`
	Sigma  float64 `json:"sigma_mm"`
	Turn   float64 `json:"turn_deg"`
}

type fileSlip struct {
	Name       string        `json:"name"`
	Home       string        `json:"home"`
	Open       []string      `json:"undetermined"`
	Slipped    bool          `json:"slipped"`
	Shift      [3]float64    `json:"shift_mm"`
	Turn       [3]float64    `json:"rotation_vector_deg"`
	Covariance [6][6]float64 `json:"covariance"`
	Test       fileTest      `json:"test"`
	Level      fileTest      `json:"level_test"`
}

type fileContact struct {
	Name    string     `json:"name"`
	Lowest  fileHeight `json:"lowest_corner"`
	Highest fileHeight `json:"highest_corner"`
	Sunk    bool       `json:"sunk"`
	Lifted  bool       `json:"lifted"`
	Floor   string     `json:"floor"`
}

type fileHeight struct {
	Rise  float64 `json:"rise_mm"`
	Sigma float64 `json:"sigma_mm"`
}

type fileUntold struct {
	Name     string `json:"name"`
	Kind     string `json:"kind"`
	Reason   string `json:"reason"`
	ScanNext string `json:"scan_next"`
}

// WriteJSON writes the comparison for programs: the same bytes for the same maps.
func (c *Comparison) WriteJSON(w io.Writer) error {
	f := fileComparison{
		Format: Format, Level: c.Level, Coverage: Coverage, Foot: c.Foot().String(),
		Objects: []fileMove{}, Slips: []fileSlip{}, Contacts: []fileContact{}, Untold: []fileUntold{},
	}
	if c.Room != nil {
		m := fileMoveOf(c.Room)
		m.Datum, m.AtMost = nil, nil // a room has no datum
		f.Room = &m
	}
	for i := range c.Moves {
		f.Objects = append(f.Objects, fileMoveOf(&c.Moves[i]))
	}
	for _, s := range c.Slips {
		f.Slips = append(f.Slips, fileSlipOf(s))
	}
	for _, k := range c.Contacts {
		f.Contacts = append(f.Contacts, contactOf(k))
	}
	for _, u := range c.Untold {
		f.Untold = append(f.Untold, fileUntold{u.Name, string(u.Kind), u.Reason, u.ScanNext})
	}
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	return e.Encode(f)
}

func fileSlipOf(s Slip) fileSlip {
	return fileSlip{s.Name, s.Home, words(s.Open), s.Slipped, xyz(s.Shift), inDegrees(s.Turn), s.Cov, testOf(s.Test), testOf(s.Level)}
}

// words are the directions' words.
func words(all []rigid.Direction) []string {
	out := []string{}
	for _, d := range all {
		out = append(out, d.String())
	}
	return out
}

func contactOf(k Contact) fileContact {
	f := fileContact{
		Name: k.Name, Lowest: heightOf(k.Lowest), Highest: heightOf(k.Highest),
		Sunk: k.Sunk, Lifted: k.Lifted, Floor: "old",
	}
	if k.OfNewFloor {
		f.Floor = "new"
	}
	return f
}

func heightOf(h Height) fileHeight { return fileHeight{to(h.Value, 4), to(h.Sigma, 4)} }

func fileMoveOf(m *Move) fileMove {
	f := fileMove{
		Name: m.Name, Kind: string(m.Kind), Inside: m.Inside, With: m.With, Moved: m.Moved, Test: testOf(m.Test), By: m.By,
		Base: poseOf(m.Motion), Open: words(m.Loose), Weak: weakList(m), SameShape: m.SameShape(),
		Shared: sharedList(m.Shared), Unlike: sharedList(m.Unlike), Unseen: []string{}, Misfit: testOf(m.Misfit),
		Inflation: to(m.Inflation, 3),
	}
	at := m.At(m.Pose.Apply(m.Datum.T))
	f.Datum = &fileAtDatum{
		Old: xyz(m.Datum.T), Shift: xyz(m.Shift(m.Datum.T)), ShiftU: xyz(r3.Scale(Coverage, at.SigmaT())),
		Turn: inDegrees(m.Pose.R.Log()), TurnU: inDegrees(r3.Scale(Coverage, at.SigmaR())), Covariance: at,
	}
	if !m.Moved {
		shift, turn := m.AtMost()
		f.AtMost = &fileBound{to(shift, 4), to(turn*180/math.Pi, 6)}
	}
	for _, n := range m.Unseen {
		f.Unseen = append(f.Unseen, n.String())
	}
	return f
}

func weakList(m *Move) []fileWeak {
	out := []fileWeak{}
	for _, d := range m.Weak {
		w, u := fileWeak{Direction: d.String(), On: d.On}, m.Known(d.Direction)
		if d.Turn == (r3.Vec{}) {
			u = to(u, 4)
			w.Shift = &u
		} else {
			u = to(u*180/math.Pi, 6)
			w.Turn = &u
		}
		out = append(out, w)
	}
	return out
}

func poseOf(m rigid.Motion) filePose {
	roll, pitch, yaw := m.Pose.R.RPY()
	q := m.Pose.R.Quat()
	for i := range q {
		q[i] = to(q[i], 9)
	}
	return filePose{
		XYZ: xyz(m.Pose.T), Quaternion: q, RPY: inDegrees(r3.Vec{X: roll, Y: pitch, Z: yaw}),
		Turn: inDegrees(m.Pose.R.Log()), Covariance: m.OfBase(),
	}
}

func sharedList(all []Shared) []fileShared {
	out := []fileShared{}
	for _, s := range all {
		out = append(out, fileShared{s.Old.String(), s.New.String(), to(s.Offset, 4), to(s.Sigma, 4), to(s.Turn*180/math.Pi, 6)})
	}
	return out
}

func testOf(t rigid.Test) fileTest { return fileTest{to(t.ChiSquare, 4), t.Freedom, t.Known, t.P()} }

// to rounds to a number of decimals: a tenth of a micrometre and less is noise.
func to(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Round(v*p) / p
}

func xyz(v r3.Vec) [3]float64 { return [3]float64{to(v.X, 4), to(v.Y, 4), to(v.Z, 4)} }

func inDegrees(v r3.Vec) [3]float64 {
	d := r3.Scale(180/math.Pi, v)
	return [3]float64{to(d.X, 6), to(d.Y, 6), to(d.Z, 6)}
}
