// Package evidence gathers what an object of a scene rests on, for the formats
// that have room to say so.
package evidence

import (
	"math"

	"cellwall/fit"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// Evidence of one object. Sigmas are standard uncertainties of its datum, in
// base axes; they are nil for the remainder, which has no datum.
type Evidence struct {
	Kind          string             `json:"kind"`
	Located       bool               `json:"located"`
	Inside        string             `json:"inside,omitempty"`
	SigmaXYZ      *[3]float64        `json:"sigma_xyz_mm,omitempty"`
	SigmaRotation *[3]float64        `json:"sigma_rotation_deg,omitempty"`
	Measures      map[string]Measure `json:"measures,omitempty"`
	Points        int                `json:"points"` // on its surfaces
	Scans         []string           `json:"scans"`  // that saw a surface of it
	Margin        float64            `json:"margin_mm"`
	Claims        []string           `json:"claims,omitempty"` // of cell.yaml, which no scan shows
}

// Measure is a dimension with its standard uncertainty, mm.
type Measure struct {
	Value float64 `json:"value"`
	Sigma float64 `json:"sigma"`
}

// Of says what object o of the scene rests on.
func Of(s *scene.Scene, o *scene.Object) Evidence {
	e := Evidence{Kind: string(o.Kind), Located: o.Kind != scene.Remainder, Inside: o.Inside, Scans: scans(s, o.Faces), Margin: o.Margin, Claims: o.Claims}
	if e.Located {
		e.SigmaXYZ = triple(o.Cov.SigmaT(), 1)
		e.SigmaRotation = triple(o.Cov.SigmaR(), 180/math.Pi)
	}
	for name, m := range o.Measures {
		if e.Measures == nil {
			e.Measures = map[string]Measure{}
		}
		e.Measures[name] = Measure{Value: round(m.Value), Sigma: round(m.Sigma)}
	}
	for i := range o.Faces {
		e.Points += o.Faces[i].Points
	}
	return e
}

// scans that saw one of the faces, in the scene's order.
func scans(s *scene.Scene, faces []fit.Face) []string {
	seen := make([]bool, len(s.Scans))
	for i := range faces {
		for _, k := range faces[i].Scans {
			seen[k] = true
		}
	}
	out := []string{}
	for k, name := range s.Scans {
		if seen[k] {
			out = append(out, name)
		}
	}
	return out
}

func triple(v r3.Vec, scale float64) *[3]float64 {
	return &[3]float64{round(v.X * scale), round(v.Y * scale), round(v.Z * scale)}
}

// round to a tenth of a micrometre or of a thousandth of a degree: finer than
// any scanner.
func round(v float64) float64 { return math.Round(v*1e4) / 1e4 }
