package mount

import (
	"cellwall/mapping"

	"gonum.org/v1/gonum/spatial/r3"
)

// cut is a scan cut into parts that each have an error of the arm of their own.
type cut struct {
	first, parts int   // number of the first part among all scans', and how many
	of           []int // which part each line belongs to, from 0
	even         bool  // cut in time rather than by postures
}

// An arm's error wanders over a second or two, and a sweep lasts ten or twenty
// (common practice): a tenth of a sweep shares one. Of many scans each is cut
// less often, to keep the adjustment small.
const (
	partsOfScan = 10
	partsOfAll  = 80
)

// cuts cuts all scans: one made at standstills by its postures, others evenly
// in time.
func (m Mount) cuts(raw *mapping.Raw) []cut {
	out := make([]cut, len(raw.Scans))
	first := 0
	for i := range raw.Scans {
		c := m.postures(&raw.Scans[i])
		if c.parts == 0 {
			c = evenly(&raw.Scans[i], max(2, min(partsOfScan, partsOfAll/len(raw.Scans))))
		}
		c.first = first
		first += c.parts
		out[i] = c
	}
	return out
}

// evenly cuts a scan into n parts of equal time.
func evenly(scan *mapping.RawScan, n int) cut {
	c := cut{parts: n, even: true, of: make([]int, len(scan.Lines))}
	from, to := scan.Lines[0].Stamp, scan.Lines[len(scan.Lines)-1].Stamp
	for i, line := range scan.Lines {
		if to > from {
			c.of[i] = min(int(float64(n)*(line.Stamp-from)/(to-from)), n-1)
		}
	}
	return c
}

// otherPosture is by how far the flange must move to another posture, mm.
const otherPosture = 1

// postures cuts a scan wherever the flange stands in another posture; no parts
// where the arm moved while the lines were taken.
func (m Mount) postures(scan *mapping.RawScan) cut {
	c := cut{of: make([]int, len(scan.Lines))}
	cursor := scan.Track.Cursor()
	var last r3.Vec
	for i, line := range scan.Lines {
		f, ok := flangeAt(cursor, scan.Track, line.Stamp-m.Latency)
		if !ok {
			continue
		}
		tip := f.Apply(m.FlangeFromScanner.Apply(line.Points[0]))
		if r3.Norm(m.drift(&f, line.Points[0], tip)[6]) > slow {
			return cut{}
		}
		if c.parts == 0 || r3.Norm(r3.Sub(f.Apply(ahead), last)) > otherPosture {
			last = f.Apply(ahead)
			c.parts++
		}
		c.of[i] = c.parts - 1
	}
	return c
}

// ahead is a point before the flange, mm, that moves when the flange turns.
var ahead = r3.Vec{X: 300, Z: 300}
