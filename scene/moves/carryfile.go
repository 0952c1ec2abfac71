package moves

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"
)

// WriteCarried writes corrected points as CSV with the columns of their file,
// attitude in the manner of the first point, then what became of each: status is
// corrected, as-taught (its object is not told apart from still) or not-corrected
// (see why); shift_mm and turn_deg are the correction, u95_mm and u95_deg its
// expanded uncertainty in the worst direction (k = Coverage), check is yes where
// one of them is beyond its limit or no correction could be made, and why says which.
func WriteCarried(w io.Writer, points []Carried) error {
	inRPY := len(points) > 0 && points[0].InRPY
	head := []string{"name", "object", "x", "y", "z", "qw", "qx", "qy", "qz"}
	if inRPY {
		head = []string{"name", "object", "x", "y", "z", "roll", "pitch", "yaw"}
	}
	out := csv.NewWriter(w)
	rows := [][]string{append(head, "status", "shift_mm", "turn_deg", "u95_mm", "u95_deg", "check", "why")}
	for i := range points {
		rows = append(rows, points[i].row(inRPY))
	}
	if err := out.WriteAll(rows); err != nil {
		return err
	}
	return out.Error()
}

// Status of a carried point, in a word.
func (c *Carried) Status() string {
	switch {
	case c.Why != "":
		return "not-corrected"
	case c.Moved:
		return "corrected"
	}
	return "as-taught"
}

func (c *Carried) row(inRPY bool) []string {
	t := c.Pose.T
	row := []string{c.Name, c.Object, number(t.X, 4), number(t.Y, 4), number(t.Z, 4)}
	if inRPY {
		for _, a := range angles(c.Pose.R) {
			row = append(row, number(a, 6))
		}
	} else {
		for _, q := range c.Pose.R.Quat() {
			row = append(row, number(q, 9))
		}
	}
	row = append(row, c.Status())
	if c.Why != "" {
		return append(row, "", "", "", "", "yes", c.Why+"; scan next: "+c.ScanNext)
	}
	check := "no"
	if c.Check() {
		check = "yes"
	}
	shift, turn := c.Expanded()
	return append(row, number(c.Shift, 3), number(c.Turn*180/math.Pi, 5), number(shift, 3), number(turn*180/math.Pi, 5), check, strings.Join(c.Flags, "; "))
}

// Expanded is the correction's expanded uncertainty in the worst direction, mm and
// rad.
func (c *Carried) Expanded() (shift, turn float64) {
	return Coverage * worst(c.Cov, 0), Coverage * worst(c.Cov, 3)
}

func number(v float64, decimals int) string {
	return strconv.FormatFloat(to(v, decimals)+0, 'f', decimals, 64) // + 0 makes -0 plain
}
