package report

import (
	"fmt"
	"math"

	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// agreementRow is how one scan lies against the others.
type agreementRow struct {
	Scan                  string
	Planes                int
	Residual, Shift, Turn string
}

func agreement(s *scene.Scene) []agreementRow {
	var out []agreementRow
	for _, a := range s.Agreement {
		row := agreementRow{Scan: a.Scan, Planes: a.Surfaces, Residual: fmt.Sprintf("%.2f", a.Before)}
		if a.Moved != nil {
			row.Shift = fmt.Sprintf("%.2f", r3.Norm(a.Moved.T))
			row.Turn = fmt.Sprintf("%.3f°", r3.Norm(a.Moved.R)*180/math.Pi)
		}
		out = append(out, row)
	}
	return out
}
