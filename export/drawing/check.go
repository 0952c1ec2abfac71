package drawing

import (
	"fmt"
	"slices"

	"cellwall/export/drawing/paper"
	"cellwall/export/value"

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

// checkable picks the dimensions to list.
func checkable(keys []key) []key {
	return slices.DeleteFunc(slices.Clone(keys), func(k key) bool { return value.Coverage*k.Sigma > worthATape })
}

// check makes one sheet of the list of dimensions to hold a tape measure
// against, from keys[first] on.
func check(keys []key, first int, file string, t Title, number, of int) *paper.Page {
	s := newSheet(file, "Dimensions to check", "measure with a tape, write down what it says, sign. A difference beyond the uncertainty and the tape's own "+
		"means that the map does not show the cell as it stands. What the map knows to worse than 10 mm is not listed", "Check list", "–", number, of, t)
	s.legend(false)
	for c := range 2 {
		x := field.Min.X + 5 + float64(c)*checkColumn
		from := min(first+c*rowsPerColumn, len(keys))
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

// sheets is how many check sheets so many dimensions take.
func sheets(dimensions int) int { return max(1, (dimensions+2*rowsPerColumn-1)/(2*rowsPerColumn)) }

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
