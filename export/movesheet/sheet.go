// Package movesheet writes the sheet that is kept of a move: which frames were
// where, where they are, what the difference rests on, and who checked it.
package movesheet

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
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

// row is one object on the sheet that moved.
type row struct {
	Name           string
	Old, New, Diff frame
	InPart         bool     // New is where it went as far as that is told, and no place to rely on
	Notes          []string // what is open of it, and what of it has changed
	Shared         []moves.Shared
}

// other is one that has no move of its own to tell.
type other struct {
	Name, Verdict string
	Notes         []string
}

// frame is a pose as the sheet prints it, mm and degrees.
type frame [6]string

// Write writes the sheet as one HTML page.
func (s *Sheet) Write(w io.Writer) error {
	t, err := template.New("sheet").Funcs(template.FuncMap{"known": known}).Parse(page)
	if err != nil {
		return err
	}
	var rows []row
	var others []other
	for i := range s.Moves.Moves {
		if m := &s.Moves.Moves[i]; m.Moved && !Along(m) {
			rows = append(rows, rowOf(m))
		} else {
			others = append(others, otherOf(m))
		}
	}
	return t.Execute(w, struct {
		*Sheet
		Rows     []row
		Others   []other
		Said     []string
		Figures  []figure
		Date     string
		K        int
		Cautions []string
	}{s, rows, others, s.said(), s.figures(), s.When.Format("2006-01-02 15:04"), moves.Coverage, caution.Sentences})
}

// known is how well a corrected point is known, expanded, mm.
func known(c moves.Carried) string {
	u, _ := c.Expanded()
	return fmt.Sprintf("%.2f", u)
}

// said is what there is to say of the room, the vises and how machines stand.
func (s *Sheet) said() []string {
	var out []string
	if word := Foot(s.Moves); word != "" {
		out = append(out, "room: "+word)
	}
	for _, v := range s.Moves.Slips {
		out = append(out, v.Name+": "+Slip(v))
	}
	for _, k := range s.Moves.Contacts {
		out = append(out, k.Name+": "+Contact(k))
	}
	return out
}

func otherOf(m *moves.Move) other {
	out := other{Name: m.Name, Notes: notes(m)}
	if Along(m) {
		out.Verdict = "went along with " + m.With
		return out
	}
	shift, turn := m.AtMost()
	out.Verdict = fmt.Sprintf("not told apart from still, at most %.2f mm and %.3f°", shift, degrees(turn))
	if word := Partly(m); word != "" {
		out.Verdict += ", " + word
	}
	return out
}

// notes are the open directions, each said to be so, those told by little, and what
// has changed.
func notes(m *moves.Move) []string {
	var out []string
	for _, d := range Open(m) {
		out = append(out, "open: "+d)
	}
	return slices.Concat(out, Weak(m), Changed(m))
}

func rowOf(m *moves.Move) row {
	now := m.Pose.Mul(m.Datum)
	c := m.At(now.T)
	d, t, r := now.Minus(m.Datum), c.SigmaT(), c.SigmaR()
	out := row{Name: m.Name, Old: plain(m.Datum), New: plain(now), Shared: m.Shared, Notes: notes(m), InPart: len(m.Loose) > 0}
	for i, s := range [3]float64{t.X, t.Y, t.Z} {
		out.Diff[i] = value.MM(d[i], s)
	}
	for i, s := range [3]float64{r.X, r.Y, r.Z} {
		out.Diff[3+i] = value.Deg(d[3+i], s)
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
