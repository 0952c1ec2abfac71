package align

import (
	"math"

	"cellwall/mapping"

	"gonum.org/v1/gonum/spatial/r3"
)

// What is known of how scans differ before they are compared (common practice:
// an arm's repeatability and better), and how far apart they may lie.
var (
	beforehand = Spread{Scan: mapping.Rigid{Shift: 0.1, Turn: 1e-4}, Face: 0.05, Patch: 1}
	apart      = Reach{Gate: 8, Turn: 0.12}
	// wide is what a wrong mount or latency, or a machine that was pushed between
	// two scans, makes of it.
	wide = mapping.Rigid{Shift: 3, Turn: 3e-3}
)

// roundsOfCloud are enough where nothing is solved but small corrections.
const roundsOfCloud = 16

// Cloud moves the scans of a cloud so that the surfaces which they share agree,
// all in one adjustment, where that moves any of them significantly; else it
// leaves all as they are. Corrections are drawn round none, so that the map as a
// whole stays where the arm put it, to within what Aligned.Common says. A
// scan far beyond the others is left where it is, and named in a warning; by how
// much it is off stands in Aligned.Off, for it may be the one that is right.
func Cloud(c *mapping.Cloud) error {
	p := problem(c)
	a, err := Adjust(p)
	if err == ErrNothingShared {
		if c.Moving > 1 {
			c.Warnings = append(c.Warnings, "no two scans show a surface in the same place, so nothing tells whether they are placed right: look at the mount and the motions")
		}
		return nil
	}
	if err != nil {
		return err
	}
	c.Warnings = append(c.Warnings, a.doubts(c, p.Patches)...)
	significant := false
	for _, m := range a.Scans {
		significant = significant || m.Significant && m.Told || m.Outlier
	}
	if !significant {
		return nil
	}
	by, n := mapping.Aligned{Moves: make([]mapping.Move, len(a.Scans))}, 0.0
	for i, m := range a.Scans {
		by.Moves[i].About = m.Pivot
		if m.Outlier {
			by.Off.Shift, by.Off.Turn = math.Max(by.Off.Shift, r3.Norm(m.Shift)), math.Max(by.Off.Turn, r3.Norm(m.Turn))
			continue
		}
		left := a.Spread.Scan
		if m.Told {
			by.Moves[i].Shift, by.Moves[i].Turn = m.Shift, m.Turn
			left = m.Left
			n++
		}
		by.Each.Shift, by.Each.Turn = math.Max(by.Each.Shift, left.Shift), math.Max(by.Each.Turn, left.Turn)
	}
	by.Common = mapping.Rigid{Shift: a.Spread.Scan.Shift / math.Sqrt(math.Max(n, 1)), Turn: a.Spread.Scan.Turn / math.Sqrt(math.Max(n, 1))}
	c.Align(by)
	return nil
}

// problem gathers the cloud's voxels into patches, each scan being one part.
func problem(c *mapping.Cloud) Problem {
	p := Problem{Scans: len(c.Scans), Reach: apart, Spread: beforehand, Wide: wide, Rounds: roundsOfCloud}
	if c.PoseSigma > 0 {
		p.Spread.Scan.Shift = c.PoseSigma
	}
	eyes, n := make([]r3.Vec, len(c.Scans)), make([]float64, len(c.Scans))
	cells := Cells{}
	add := func() {
		for i := range c.Voxels {
			v := &c.Voxels[i]
			cells.Add(int(v.Scan), v.Moments, v.Toward, nil)
		}
	}
	add()
	cells.Trim()
	add()
	for i := range c.Voxels {
		v := &c.Voxels[i]
		eyes[v.Scan] = r3.Add(eyes[v.Scan], r3.Scale(v.N, v.Eye()))
		n[v.Scan] += v.N
	}
	for s := range c.Scans {
		p.Parts = append(p.Parts, Part{Scan: s, Pivot: r3.Scale(1/math.Max(n[s], 1), eyes[s])})
	}
	p.Patches = cells.Patches()
	return p
}
