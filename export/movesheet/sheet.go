// Package movesheet writes the sheet that is kept of a move: which frames were
// where, where they are, what the difference rests on, and who checked it.
package movesheet

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"time"

	"cellwall/export/caution"
	"cellwall/export/value"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/moves"
)

//go:embed page.html
var page string

// Sheet is what the record holds beside the moves.
type Sheet struct {
	Cell, Old, New string // names of the cell and of the two maps
	By             string // who had it made; "" leaves a line to sign
	When           time.Time
	Scans          []string // what was scanned for the new map
	Moves          *moves.Comparison
	Points         []moves.Carried // taught points that were taken along, to be checked
	// OldScene is the old map's, NewScene that of both maps as Comparison.Scene puts
	// it together; without them the sheet has no drawings.
	OldScene, NewScene *scene.Scene
}

// row is one object on the sheet.
type row struct {
	Name, Verdict  string
	Old, New, Diff frame
	Open           []string
	Shared         []moves.Shared
}

// frame is a pose as the sheet prints it, mm and degrees.
type frame [6]string

// Write writes the sheet as one HTML page.
func (s *Sheet) Write(w io.Writer) error {
	t, err := template.New("sheet").Parse(page)
	if err != nil {
		return err
	}
	var rows []row
	for i := range s.Moves.Moves {
		rows = append(rows, rowOf(&s.Moves.Moves[i]))
	}
	return t.Execute(w, struct {
		*Sheet
		Rows     []row
		Figures  []figure
		Date     string
		K        int
		Cautions []string
	}{s, rows, s.figures(), s.When.Format("2006-01-02 15:04"), moves.Coverage, caution.Sentences})
}

func rowOf(m *moves.Move) row {
	now := m.Pose.Mul(m.Datum)
	c := m.At(now.T)
	d, t, r := now.Minus(m.Datum), c.SigmaT(), c.SigmaR()
	out := row{Name: m.Name, Verdict: "moved", Old: plain(m.Datum), New: plain(now), Shared: m.Shared}
	if !m.Moved {
		shift, turn := m.AtMost()
		out.Verdict = fmt.Sprintf("not told apart from still, at most %.2f mm and %.3f°", shift, turn*180/math.Pi)
	}
	for i, s := range [3]float64{t.X, t.Y, t.Z} {
		out.Diff[i] = value.MM(d[i], s)
	}
	for i, s := range [3]float64{r.X, r.Y, r.Z} {
		out.Diff[3+i] = value.Deg(d[3+i], s)
	}
	for _, l := range m.Loose {
		out.Open = append(out.Open, l.String())
	}
	return out
}

func plain(p geom.Pose) (f frame) {
	roll, pitch, yaw := p.R.RPY()
	for i, v := range [3]float64{p.T.X, p.T.Y, p.T.Z} {
		f[i] = fmt.Sprintf("%.2f", v)
	}
	for i, v := range [3]float64{roll, pitch, yaw} {
		f[3+i] = fmt.Sprintf("%.3f°", v*180/math.Pi)
	}
	return f
}
