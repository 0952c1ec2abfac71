package scene

import (
	"cellwall/mapping"
	"cellwall/mapping/register"

	"gonum.org/v1/gonum/spatial/r3"
)

// filePlaced is how record.json says where a scan of rough pose was found.
type filePlaced struct {
	Scan        string      `json:"scan"`
	XYZ         triple      `json:"xyz_mm"`
	RPY         triple      `json:"rpy_deg"`
	Shift       triple      `json:"shift_mm"`
	Turn        triple      `json:"turn_deg"`
	SigmaShift  triple      `json:"sigma_shift_mm"`
	SigmaTurn   triple      `json:"sigma_turn_deg"`
	Significant bool        `json:"significant"`
	Surfaces    int         `json:"surfaces"`
	Before      float64     `json:"rms_before_mm"`
	After       float64     `json:"rms_after_mm"`
	Overlap     float64     `json:"overlap"`
	Against     float64     `json:"against"`
	Next        *fileSecond `json:"next,omitempty"`
}

// fileSecond is the placement that came next to the best.
type fileSecond struct {
	Shift   triple `json:"shift_mm"`
	Turn    triple `json:"turn_deg"`
	For     int    `json:"for"`
	Against int    `json:"against"`
}

func placedOf(p mapping.Placed) filePlaced {
	roll, pitch, yaw := p.BaseFromScan.R.RPY()
	f := filePlaced{
		Scan: p.Scan, XYZ: tripleOf(p.BaseFromScan.T, lengthDecimals), RPY: turnOf(r3.Vec{X: roll, Y: pitch, Z: yaw}),
		Shift: tripleOf(p.Shift, lengthDecimals), Turn: turnOf(p.Turn),
		SigmaShift: tripleOf(p.Cov.SigmaT(), lengthDecimals), SigmaTurn: turnOf(p.Cov.SigmaR()),
		Significant: p.Chi2() > register.Significant,
		Surfaces:    p.Fit.Surfaces, Before: mm(p.Before), After: mm(p.Fit.RMS),
		Overlap: to(shareDecimals, p.Fit.Overlap), Against: to(shareDecimals, p.Fit.Against),
	}
	if n := p.Next; n != nil {
		f.Next = &fileSecond{tripleOf(n.Shift, lengthDecimals), turnOf(n.Turn), n.For, n.Against}
	}
	return f
}

// shareDecimals show a patch in ten thousand.
const shareDecimals = 4

// turnOf is a rotation vector, or three angles, in degrees.
func turnOf(v r3.Vec) triple {
	return triple{to(turnDecimals, degrees(v.X)), to(turnDecimals, degrees(v.Y)), to(turnDecimals, degrees(v.Z))}
}

// turnDecimals of a degree are 0.0001 mm at 6 m.
const turnDecimals = 6
