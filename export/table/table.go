// Package table writes the objects of a scene as CSV (RFC 4180), one row an
// object, for a spreadsheet or a small program.
package table

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"

	"cellwall/export/evidence"
	"cellwall/export/extent"
	"cellwall/export/value"
	"cellwall/fit"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// Columns are the table's. The datum is in base: x, y, z, the quaternion and
// roll, pitch, yaw about fixed axes say the same. A sigma is a standard
// uncertainty; those of turns are about the axes of base. The size is that of
// the box round all solids along the datum's axes.
var Columns = []string{
	"name", "kind", "located", "inside",
	"x_mm", "y_mm", "z_mm", "qw", "qx", "qy", "qz", "roll_deg", "pitch_deg", "yaw_deg",
	"sigma_x_mm", "sigma_y_mm", "sigma_z_mm", "sigma_rx_deg", "sigma_ry_deg", "sigma_rz_deg",
	"size_x_mm", "size_y_mm", "size_z_mm", "size", "margin_mm", "solids", "points", "scans", "why_not_located",
}

// Write writes the table. An object that was wanted and not located has a row
// that says why. What is not known is empty.
func Write(w io.Writer, s *scene.Scene, e extent.Extent) error {
	t := csv.NewWriter(w)
	t.Write(Columns)
	for i := range s.Objects {
		t.Write(row(s, &s.Objects[i], e))
	}
	for _, r := range s.NotLocated {
		t.Write(missing(r))
	}
	t.Flush()
	return t.Error()
}

func row(s *scene.Scene, o *scene.Object, e extent.Extent) []string {
	ev := evidence.Of(s, o)
	out := []string{o.Name, ev.Kind, strconv.FormatBool(ev.Located), ev.Inside}
	if ev.Located {
		q := o.Pose.R.Quat()
		roll, pitch, yaw := o.Pose.R.RPY()
		out = append(out, lengths(o.Pose.T)...)
		out = append(out, decimals(9, q[:]...)...)
		out = append(out, decimals(6, degrees(roll), degrees(pitch), degrees(yaw))...)
		out = append(out, decimals(4, ev.SigmaXYZ[:]...)...)
		out = append(out, decimals(4, ev.SigmaRotation[:]...)...)
	} else {
		out = append(out, make([]string, 3+4+3+3+3)...)
	}
	if b := e.Of(o); b.Empty() {
		out = append(out, "", "", "")
	} else {
		out = append(out, lengths(r3.Sub(b.Max, b.Min))...)
	}
	out = append(out, e.String(), decimals(3, o.Margin)[0], strconv.Itoa(len(o.Solids)))
	return append(out, strconv.Itoa(ev.Points), strings.Join(ev.Scans, ";"), "")
}

func missing(r fit.Refusal) []string {
	out := make([]string, len(Columns))
	out[0], out[1], out[2] = r.Name, string(r.Kind), strconv.FormatBool(false)
	out[len(out)-1] = r.Reason
	return out
}

// lengths to a micrometre.
func lengths(v r3.Vec) []string { return decimals(3, v.X, v.Y, v.Z) }

func decimals(n int, v ...float64) []string {
	out := make([]string, len(v))
	for i, x := range v {
		out[i] = value.Plain(x, n)
	}
	return out
}

func degrees(rad float64) float64 { return rad * 180 / math.Pi }
