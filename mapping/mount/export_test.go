package mount

import (
	"math"
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/align"
	"cellwall/mapping/cell"

	"gonum.org/v1/gonum/spatial/r3"
)

// DriftError is the largest difference between drift and a central difference,
// by part, over the points of the cell, and how many those are. The latency's
// is the median: the log's slope jumps from row to row.
func DriftError(t *testing.T, c *cell.Cell, m Mount) (worst [align.Params]float64, n int) {
	t.Helper()
	raw, err := mapping.ReadLines(t.Context(), c, 500, nil)
	if err != nil {
		t.Fatal(err)
	}
	steps := [align.Params]float64{1e-3, 1e-3, 1e-3, 1e-6, 1e-6, 1e-6, 1e-3}
	for i := range raw.Scans {
		scan := &raw.Scans[i]
		cursor := scan.Track.Cursor()
		for _, line := range scan.Lines {
			f, ok := flangeAt(cursor, scan.Track, line.Stamp-m.Latency)
			if !ok {
				continue
			}
			p := line.Points[0]
			place := func(m Mount) (r3.Vec, bool) {
				f, ok := flangeAt(cursor, scan.Track, line.Stamp-m.Latency)
				return f.Mul(m.FlangeFromScanner).Apply(p), ok
			}
			base, _ := place(m)
			drift := m.drift(&f, p, base)
			n++
			for k, h := range steps {
				var d Change
				d[k] = h
				up, okUp := place(m.Plus(d))
				d[k] = -h
				down, okDown := place(m.Plus(d))
				if okUp && okDown {
					e := r3.Norm(r3.Sub(drift[k], r3.Scale(1/(2*h), r3.Sub(up, down))))
					worst[k] = math.Max(worst[k], e)
				}
			}
		}
	}
	return worst, n
}
