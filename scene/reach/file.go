package reach

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// Format is what reach.json says it is.
const Format = "cellwall.reach/1"

// Report is what reach.json holds. schema/reach.schema.json says what each
// member means.
type Report struct {
	Format    string      `json:"format"`
	Cell      string      `json:"cell"`
	Frame     string      `json:"frame"`
	Units     Units       `json:"units"`
	Margin    float64     `json:"margin_mm"`
	Program   string      `json:"program,omitempty"`
	Moves     []MoveEntry `json:"moves,omitempty"`
	Whole     *WholeEntry `json:"whole,omitempty"`
	Gaps      string      `json:"gap_profile,omitempty"` // the standard and its edition
	Unchecked []string    `json:"unchecked_pairs"`
	Allowed   []string    `json:"allowed_overlaps"`
	StoodIn   []string    `json:"contradictions"`
	Clear     []string    `json:"clear_rests_on,omitempty"` // what is not certain of space that the map calls clear
	Cautions  []string    `json:"cautions"`
}

// Units of the file.
type Units struct {
	Length string `json:"length"`
	Angle  string `json:"angle"`
}

// MoveEntry is a move as the file spells it.
type MoveEntry struct {
	Name    string       `json:"name"`
	Motion  Motion       `json:"motion"`
	Line    int          `json:"line"`
	Verdict Verdict      `json:"verdict"`
	Scene   *Nearness    `json:"scene,omitempty"`
	Self    *Nearness    `json:"self,omitempty"`
	Unseen  *UnseenEntry `json:"unseen,omitempty"`
	Gaps    []GapEntry   `json:"gaps,omitempty"`
	Carry   string       `json:"carry,omitempty"`
	End     []float64    `json:"end_deg"`
}

// Nearness is a clearance as the file spells it.
type Nearness struct {
	Least  float64    `json:"least_mm"`
	Bound  float64    `json:"bound_mm"`
	Link   string     `json:"link"`
	Object string     `json:"object"`
	At     float64    `json:"at"`
	OnLink [3]float64 `json:"on_link_mm"`
	OnBody [3]float64 `json:"on_object_mm"`
	Joints []float64  `json:"joints_deg"`
}

// GapEntry is a gap that can crush parts of the body.
type GapEntry struct {
	*Nearness
	Crushes []string `json:"crushes"`
}

// UnseenEntry is where a move enters unseen space, and of a move that does
// nothing worse about how much of it, within which box along the base's axes.
type UnseenEntry struct {
	Link   string         `json:"link"`
	At     float64        `json:"at"`
	Joints []float64      `json:"joints_deg"`
	Volume *float64       `json:"volume_m3,omitempty"`
	Within *[2][3]float64 `json:"within_mm,omitempty"`
}

func unseenEntry(u *Unseen) *UnseenEntry {
	e := &UnseenEntry{Link: u.Link, At: rounded(u.At, 1e-6), Joints: inDegrees(u.Q)}
	if u.Volume > 0 {
		v := rounded(u.Volume*1e-9, 1e-6)
		e.Volume, e.Within = &v, &[2][3]float64{point(u.Within.Min), point(u.Within.Max)}
	}
	return e
}

// NewReport without results: Take and TakeWhole put them in.
func (c *Checker) NewReport(cell string, cautions []string) *Report {
	return &Report{Format: Format, Cell: cell, Frame: "base", Units: Units{"mm", "deg"}, Margin: c.Margin,
		Unchecked: append([]string{}, c.Unchecked...), Allowed: append([]string{}, c.Allowed()...),
		StoodIn: append([]string{}, c.Contradictions()...), Cautions: cautions}
}

// Take puts the moves of a program in.
func (r *Report) Take(c *Checker, p *Program, moves []Move) {
	r.Program = p.File
	if c.Profile != nil {
		r.Gaps = c.Profile.Source
	}
	for _, m := range moves {
		e := MoveEntry{Name: m.Name, Motion: m.Motion, Line: m.Line, Verdict: m.Verdict,
			Scene: nearness(m.Scene), Self: nearness(m.Self), End: inDegrees(m.End), Carry: m.Carry}
		if m.Unseen != nil {
			e.Unseen = unseenEntry(m.Unseen)
		}
		for _, g := range m.Gaps {
			x := GapEntry{Nearness: nearness(g.Clearance)}
			for _, part := range g.Parts {
				x.Crushes = append(x.Crushes, part.Name)
			}
			e.Gaps = append(e.Gaps, x)
		}
		r.Moves = append(r.Moves, e)
	}
}

// nearness spells a clearance; nil where there is nothing to come near to. The
// bound is rounded down, so that it stays one.
func nearness(x Clearance) *Nearness {
	if x.Q == nil {
		return nil
	}
	link, object := x.Names()
	return &Nearness{
		Least: rounded(x.Least, 1e-3), Bound: roundedDown(x.Bound), Link: link, Object: object, At: rounded(x.At, 1e-6),
		OnLink: point(x.Gap.A), OnBody: point(x.Gap.B), Joints: inDegrees(x.Q),
	}
}

func point(p r3.Vec) [3]float64 {
	return [3]float64{rounded(p.X, 1e-3), rounded(p.Y, 1e-3), rounded(p.Z, 1e-3)}
}

func inDegrees(q []float64) []float64 {
	out := make([]float64, len(q))
	for i := range q {
		out[i] = rounded(q[i]/degrees, 1e-6)
	}
	return out
}

func roundedDown(x float64) float64 { return math.Floor(x*1e3) / 1e3 }

func rounded(x, to float64) float64 {
	return math.Round(x/to) / math.Round(1/to)
}

// WriteJSON writes reach.json.
func (r *Report) WriteJSON(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	return e.Encode(r)
}

// Notes say in sentences what the result rests on beside the scene.
func (r *Report) Notes() []string {
	var out []string
	add := func(text string, pairs []string) {
		for _, p := range pairs {
			out = append(out, text+": "+p)
		}
	}
	add("not held against each other, for they overlap at every posture", r.Unchecked)
	add("allowed to overlap, as they did where the arm scanned from", r.Allowed)
	add("overlap where the arm scanned from, so the link's capsule or the object's solid is fatter than the thing", r.StoodIn)
	return append(out, r.Clear...)
}

// Summary says in a sentence what was found.
func (r *Report) Summary() string {
	if r.Whole != nil {
		within, apart := 0, 0
		for _, o := range r.Whole.Objects {
			switch {
			case o.Within:
				within++
			case o.Bound != nil && *o.Bound > 0:
				apart++
			}
		}
		return fmt.Sprintf("The arm can touch %d of %d objects, and certainly not %d.", within, len(r.Whole.Objects), apart)
	}
	count := map[Verdict]int{}
	for _, m := range r.Moves {
		count[m.Verdict]++
	}
	var parts []string
	for _, v := range []Verdict{Hit, Near, IntoUnseen, Unchecked, Clear} {
		if count[v] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", count[v], v))
		}
	}
	return fmt.Sprintf("%d rows of %s: %s.", len(r.Moves), r.Program, strings.Join(parts, ", "))
}

// String says where a move enters unseen space, and how much of it.
func (u *UnseenEntry) String() string {
	text := fmt.Sprintf("%s may enter unseen space at %.0f %% of the move", u.Link, 100*u.At)
	if u.Volume != nil {
		lo, hi := u.Within[0], u.Within[1]
		text += fmt.Sprintf(", about %.3f m3 of it in all, within X %.0f to %.0f, Y %.0f to %.0f, Z %.0f to %.0f mm", *u.Volume, lo[0], hi[0], lo[1], hi[1], lo[2], hi[2])
	}
	return text
}

// AllClear tells whether every move is clear.
func (r *Report) AllClear() bool {
	for _, m := range r.Moves {
		if m.Verdict != Clear {
			return false
		}
	}
	return true
}
