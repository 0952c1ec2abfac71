package report

import (
	"fmt"
	"slices"

	"cellwall/mapping"
)

// pointTable says what became of the measured points.
type pointTable struct {
	Read string
	Rows []pointRow
}

// pointRow is one fate; Share is in percent of all points, for the bar.
type pointRow struct {
	Fate, Why, Points string
	Share             float64
	Percent           string
	n                 int64
}

// why explains the reasons for which points are dropped.
var why = map[mapping.Reason]string{
	mapping.NoReturn:    "the sensor reported no measurement",
	mapping.NoMotion:    "no pose of the arm is known for that instant",
	mapping.OutOfRange:  "nearer or further than the sensor measures",
	mapping.Ignored:     "inside a box that the cell file tells to ignore",
	mapping.RobotItself: "on the robot's own arm",
	mapping.EdgePoint:   "at an edge, where one spot falls on two surfaces",
	mapping.Sparse:      "alone, far from any other",
}

// points lists the points used, then those dropped, most first.
func points(c mapping.Counts) pointTable {
	t := pointTable{Read: thousands(c.Read)}
	for i, n := range c.Dropped {
		r := mapping.Reason(i)
		t.Rows = append(t.Rows, pointRow{Fate: "dropped: " + r.String(), Why: why[r], n: n})
	}
	slices.SortStableFunc(t.Rows, func(a, b pointRow) int { return least(a.n, b.n) })
	t.Rows = append([]pointRow{{Fate: "used", Why: "no reason spoke against them; each lies inside a solid of the scene, grown by its margin", n: c.Used}}, t.Rows...)
	for i := range t.Rows {
		r := &t.Rows[i]
		r.Points = thousands(r.n)
		if c.Read > 0 {
			r.Share = 100 * float64(r.n) / float64(c.Read)
		}
		r.Percent = percent(r.Share, r.n)
	}
	return t
}

// percent rounds a share; what is not nothing does not look like nothing.
func percent(share float64, n int64) string {
	if n > 0 && share < 0.05 {
		return "< 0.1 %"
	}
	return fmt.Sprintf("%.1f %%", share)
}
