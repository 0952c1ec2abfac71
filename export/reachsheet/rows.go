package reachsheet

import (
	"fmt"
	"strings"

	"cellwall/export/report"
	"cellwall/scene/reach"
)

// content is what the page shows.
type content struct {
	Report          *reach.Report
	Heading, Number string
	Summary, Margin string
	Moves           []moveRow
	Gaps            []gapRow
	Spaces          []spaceRow
	Limits          []limitRow
	Objects         []objectRow
	Unseen          string
	Notes           []string
	Sheets          []report.Sheet
}

type moveRow struct {
	Name, Motion, Carry, Verdict, Mark, Least, Bound, Between, At, Self, Unseen string
}

type gapRow struct{ Name, Between, Bound, Crushes string }

type spaceRow struct{ Name, Out, Low, High, Volume string }

type limitRow struct {
	Joint    int
	From, To string
}

type objectRow struct{ Name, Within, Mark, Least, Bound, By string }

func contentOf(r *reach.Report) content {
	c := content{Report: r, Margin: fmt.Sprintf("%.0f", r.Margin), Notes: r.Notes()}
	for i := range r.Moves {
		m := &r.Moves[i]
		c.Moves = append(c.Moves, rowOf(m))
		for _, g := range m.Gaps {
			c.Gaps = append(c.Gaps, gapRow{m.Name, between(g.Nearness), fmt.Sprintf("%.1f", g.Bound), strings.Join(g.Crushes, ", ")})
		}
	}
	c.Summary = r.Summary()
	if r.Whole == nil {
		return c
	}
	for _, o := range r.Whole.Objects {
		c.Objects = append(c.Objects, objectOf(&o))
	}
	for i, l := range r.Whole.Limits {
		c.Limits = append(c.Limits, limitRow{i + 1, fmt.Sprintf("%.1f", l[0]), fmt.Sprintf("%.1f", l[1])})
	}
	if s := r.Whole.Space; s != nil {
		c.Spaces = append(c.Spaces, spaceOf("maximum", &s.Maximum))
		if s.Restricted != nil {
			c.Spaces = append(c.Spaces, spaceOf("restricted", s.Restricted))
		}
	}
	if u := r.Whole.Unseen; u != nil {
		c.Unseen = fmt.Sprintf("Of what the arm can touch above the floor within the robot's own limits, %.2f m³ were never seen.", *u)
	}
	return c
}

func rowOf(m *reach.MoveEntry) moveRow {
	row := moveRow{Name: m.Name, Motion: string(m.Motion), Carry: m.Carry, Verdict: string(m.Verdict), Mark: strings.Fields(string(m.Verdict))[0],
		Least: "–", Bound: "–", Self: "–", At: "–"}
	if row.Mark == "not" {
		row.Mark = "unchecked"
	}
	if n := m.Scene; n != nil {
		row.Least, row.Bound = fmt.Sprintf("%.1f", n.Least), fmt.Sprintf("%.1f", n.Bound)
		row.Between, row.At = between(n), fmt.Sprintf("%.0f %%", 100*n.At)
	}
	if m.Self != nil {
		row.Self = fmt.Sprintf("%.1f", m.Self.Bound)
	}
	if m.Unseen != nil {
		row.Unseen = m.Unseen.String()
	}
	return row
}

func between(n *reach.Nearness) string { return n.Link + " and " + n.Object }

func spaceOf(name string, s *reach.SizeEntry) spaceRow {
	return spaceRow{name, fmt.Sprintf("%.0f", s.Out), fmt.Sprintf("%.0f", s.Low), fmt.Sprintf("%.0f", s.High), fmt.Sprintf("%.2f", s.Volume)}
}

func objectOf(o *reach.ObjectReachEntry) objectRow {
	row := objectRow{Name: o.Object, Within: "yes", Mark: "within", Least: "–", Bound: "–", By: o.By()}
	if !o.Within {
		row.Within, row.Mark, row.Least, row.By = "not certain", "uncertain", fmt.Sprintf("%.1f", o.Least), o.Link
		if o.Bound != nil && *o.Bound > 0 {
			row.Within, row.Mark, row.Bound = "no", "", fmt.Sprintf("%.1f", *o.Bound)
		}
	}
	return row
}
