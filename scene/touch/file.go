package touch

import (
	"encoding/json"
	"io"
	"math"

	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

// Format is what a written check says it is.
const Format = "cellwall.touch/1"

// The types below spell out the written check: mm and degrees, covariances in mm
// and rad.
type fileCheck struct {
	Format     string          `json:"format"`
	Level      float64         `json:"level"`
	Agrees     bool            `json:"agrees"`
	Test       fileTest        `json:"test"`
	Touches    []fileTouch     `json:"touches"`
	Correction *fileCorrection `json:"touched_from_mapped,omitempty"`
}

type fileTouch struct {
	Name     string   `json:"name"`
	Object   string   `json:"object"`
	Surface  string   `json:"surface"`
	Distance float64  `json:"distance_mm"`
	Sigma    float64  `json:"sigma_touch_mm"`
	MapSigma float64  `json:"sigma_map_mm"`
	Outside  float64  `json:"outside_mm"`
	Test     fileTest `json:"test"`
	Agrees   bool     `json:"agrees"`
	Left     *float64 `json:"left_mm,omitempty"`
}

type fileTest struct {
	ChiSquare float64 `json:"chi_square"`
	Freedom   int     `json:"freedom"`
	P         float64 `json:"p"`
}

type fileCorrection struct {
	XYZ        [3]float64    `json:"xyz_mm"`
	Quaternion [4]float64    `json:"quaternion_wxyz"`
	RPY        [3]float64    `json:"rpy_deg"`
	Covariance [6][6]float64 `json:"covariance"`
	Needed     bool          `json:"needed"`
	Test       fileTest      `json:"test"`
	Misfit     fileTest      `json:"misfit"`
}

// WriteJSON writes the check, and the correction where there is one, for programs.
func (c *Check) WriteJSON(w io.Writer, fix *Correction) error {
	f := fileCheck{Format: Format, Level: c.Level, Agrees: c.Agrees(), Test: testOf(c.Test), Touches: []fileTouch{}}
	for i, h := range c.Held {
		t := fileTouch{
			Name: h.Name, Object: h.Object, Surface: h.Face, Distance: to(h.Distance, 4), Sigma: h.Sigma,
			MapSigma: to(h.MapSigma, 4), Outside: to(h.Outside, 2), Test: testOf(h.Test), Agrees: h.Agrees,
		}
		if fix != nil {
			left := to(fix.Left[i], 4)
			t.Left = &left
		}
		f.Touches = append(f.Touches, t)
	}
	if fix != nil {
		roll, pitch, yaw := fix.Pose.R.RPY()
		deg := r3.Scale(180/math.Pi, r3.Vec{X: roll, Y: pitch, Z: yaw})
		t := fix.Pose.T
		f.Correction = &fileCorrection{
			XYZ: [3]float64{to(t.X, 4), to(t.Y, 4), to(t.Z, 4)}, Quaternion: fix.Pose.R.Quat(),
			RPY: [3]float64{to(deg.X, 6), to(deg.Y, 6), to(deg.Z, 6)}, Covariance: fix.OfBase(),
			Needed: fix.Needed, Test: testOf(fix.Test), Misfit: testOf(fix.Misfit),
		}
	}
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	return e.Encode(f)
}

func testOf(t rigid.Test) fileTest { return fileTest{to(t.ChiSquare, 4), t.Freedom, t.P()} }

// to rounds to a number of decimals.
func to(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Round(v*p) / p
}
