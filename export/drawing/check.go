package drawing

import (
	"cmp"
	"fmt"
	"slices"

	"cellwall/export/drawing/paper"
	"cellwall/export/value"
	"cellwall/fit"

	"gonum.org/v1/gonum/spatial/r2"
)

// The check sheet, mm: two columns of rows, under them the lines to sign on.
const (
	checkRow      = 6.5
	checkTop      = 262.
	checkColumn   = 192.
	rowsPerColumn = 28
)

// worthATape is the uncertainty, k = 2, up to which a dimension is listed, mm:
// where the map itself says that it knows no better, a tape tells nothing new.
const worthATape = 10.

// checkOrder is the order in which a person checks: what the robot works on
// first, what the room is made of last.
var checkOrder = []fit.Kind{fit.Vise, fit.Enclosure, fit.Table, fit.Post, fit.Floor, fit.Wall, fit.Ceiling, fit.Block}

// checkable picks the dimensions to list, as many as one sheet holds, and says
// how many are left out for want of room: nobody works off more.
func checkable(keys []key) (listed []key, left int) {
	listed = slices.DeleteFunc(slices.Clone(keys), func(k key) bool { return value.Coverage*k.Sigma > worthATape })
	slices.SortStableFunc(listed, func(a, b key) int {
		return cmp.Compare(slices.Index(checkOrder, a.kind), slices.Index(checkOrder, b.kind))
	})
	n := min(len(listed), 2*rowsPerColumn)
	return listed[:n], len(listed) - n
}

// check makes the list of dimensions to hold a tape measure against.
func check(keys []key, t Title, number, of int) *paper.Page {
	keys, left := checkable(keys)
	about := "measure with a tape, write down what it says, sign. A difference beyond the uncertainty and the tape's own " +
		"means that the map does not show the cell as it stands. What the map knows to worse than 10 mm is not listed"
	if left > 0 {
		about += fmt.Sprintf("; %d more that it knows better are in the report", left)
	}
	s := newSheet("check", "Dimensions to check", about, "Check list", "–", number, of, t)
	s.legend(false, false)
	for c := range 2 {
		x := field.Min.X + 5 + float64(c)*checkColumn
		from := min(c*rowsPerColumn, len(keys))
		to := min(from+rowsPerColumn, len(keys))
		if from < to {
			s.checkColumn(x, from, keys[from:to])
		}
	}
	for i, what := range []string{"Checked by", "Date", "Signature"} {
		x := field.Min.X + 10 + float64(i)*125
		s.write(x, 58, what, paper.Small)
		s.Line(thinPen, r2.Vec{X: x + 22, Y: 57}, r2.Vec{X: x + 110, Y: 57})
	}
	return s.Page
}

// The columns of the check list, from its left edge, mm.
var checkStops = []float64{0, 9, 41, 96, 133, 159, 184}

// checkColumn draws a table of dimensions with empty fields for the tape's
// readings.
func (s *sheet) checkColumn(x float64, first int, keys []key) {
	rows := [][]string{{"No.", "Object", "Dimension", "Map, mm", "Tape, mm", "Difference"}}
	for i, k := range keys {
		rows = append(rows, []string{fmt.Sprint(first + i + 1), k.object, k.what, value.MM(k.Value, k.Sigma)})
	}
	y := checkTop
	for i, r := range rows {
		y -= checkRow
		for c, text := range r {
			w := checkStops[c+1] - checkStops[c]
			s.write(x+checkStops[c]+1, y+2, paper.Fit(text, paper.Small, w-2), paper.Small)
		}
		pen := thinPen
		if i == 0 {
			pen = framePen
		}
		s.Line(pen, r2.Vec{X: x, Y: y}, r2.Vec{X: x + checkStops[6], Y: y})
	}
	for _, c := range checkStops {
		s.Line(thinPen, r2.Vec{X: x + c, Y: y}, r2.Vec{X: x + c, Y: checkTop})
	}
	s.Line(thinPen, r2.Vec{X: x, Y: checkTop}, r2.Vec{X: x + checkStops[6], Y: checkTop})
}
