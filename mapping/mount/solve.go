package mount

import (
	"context"
	"math"

	"cellwall/mapping"
	"cellwall/mapping/align"
	"cellwall/mapping/cell"
	"cellwall/mapping/fault"
)

// Solution is a mount as the scans tell it.
type Solution struct {
	Given, Found Mount
	Directions   []Direction // of Change, from the best told to the least
	Before       float64     // rms of the scans' patches off the surfaces that they share, mm
	After        float64
	Untold       []string // a sentence for each direction that the scans do not tell, with what to scan next
	Roughly      []string // one for each that they tell less well than a mount is worth solving to
	Outliers     []string // scans that lie far beyond the others' spread, and hardly count
	Adjustment   *align.Adjustment
}

// most points a scan that are placed anew at every step: a patch then holds
// dozens, and noise is far below what scans differ by.
const most = 60_000

// What a mount known from a drawing may be off by (common practice: some mm, a
// degree, a frame or two of a camera) moves points by up to gates[0]; each
// further step leaves a fraction of that.
var gates = []float64{90, 60, 30, 15, 8, 4, 2, 2}

// patience is how many steps are taken in all before a mount counts as one that
// does not settle.
const patience = 20

// Solve finds the mount from the surfaces that the cell's scans share and from
// its targets. It fails where there is neither, and where no one mount makes the
// scans agree.
func Solve(ctx context.Context, c *cell.Cell, progress func(done, total int64)) (*Solution, error) {
	raw, err := mapping.ReadLines(ctx, c, most, progress)
	if err != nil {
		return nil, err
	}
	s := &Solution{Given: Mount{c.Scanner.FlangeFromScanner, c.Scanner.Latency}}
	s.Found = s.Given
	cuts, targets := s.Given.cuts(raw), newTargets(c, raw)
	var at placed
	var last Change
	for i := 0; i < len(gates) || i < patience && !s.settled(last); i++ {
		gate := gates[min(i, len(gates)-1)]
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		at = s.Found.place(raw, cuts)
		shapes, err := targets.look(s.Found, cuts, gate, i == 0)
		if err != nil {
			return nil, err
		}
		if s.Adjustment, err = align.Adjust(align.Problem{
			Patches: at.patches, Shapes: shapes, Parts: at.parts, Scans: len(raw.Scans), Scale: at.scale(),
			Reach: align.Reach{Gate: gate, Turn: turns(gate)}, Spread: beforehand(c), Rounds: rounds(i),
		}); err != nil {
			return nil, err
		}
		if last, err = s.step(at.scale()); err != nil {
			return nil, err
		}
		s.Found = s.Found.Plus(last)
	}
	if !s.settled(last) {
		return nil, &fault.Error{File: c.Path("cell.yaml"), Where: "scanner.mount",
			Rule:   "no one mount near this one makes the scans agree",
			Remedy: "give it to within some 5 mm and 1 degree, and check the axes, the points' unit and the clock of the motion"}
	}
	s.conclude(raw, at.patches)
	return s, nil
}

// settled tells whether the last step was within what is not known anyway.
func (s *Solution) settled(last Change) bool {
	for _, v := range s.Directions {
		if v.Told && math.Abs(v.Along(last)) > v.Sigma {
			return false
		}
	}
	return true
}

// conclude says what the solution is worth.
func (s *Solution) conclude(raw *mapping.Raw, patches []align.Patch) {
	back := s.Given.Minus(s.Found)
	s.Before, s.After = s.Adjustment.Off(back[:]), s.Adjustment.Off(nil)
	options := s.Found.options(raw)
	for i := range s.Directions {
		switch v := &s.Directions[i]; {
		case !v.Told:
			s.Untold = append(s.Untold, v.untold(advice(v, options, patches)))
		case v.Rough():
			s.Roughly = append(s.Roughly, v.roughly(advice(v, options, patches)))
		}
	}
	for i, m := range s.Adjustment.Scans {
		if m.Outlier {
			s.Outliers = append(s.Outliers, raw.Scans[i].Name)
		}
	}
}

// rounds of step i: only the last ones tell how sure the mount is.
func rounds(i int) int {
	if i >= len(gates)-1 {
		return 24
	}
	return 6
}

// turns is by how much patches' normals may differ on one surface, rad: what
// their noise makes of them, and what the gate is over an arm's length.
func turns(gate float64) float64 { return 0.1 + gate/1000 }

// beforehand is what is known of the scans' spread.
func beforehand(c *cell.Cell) align.Spread {
	s := align.Spread{Scan: mapping.Rigid{Shift: 0.1, Turn: 1e-4}, Part: mapping.Rigid{Shift: 0.02, Turn: 2e-5}, Runs: 0.5, Face: 0.05, Patch: 1}
	if c.Robot != nil && c.Robot.PoseSigma > 0 {
		s.Scan.Shift = c.Robot.PoseSigma
	}
	return s
}

// step is the change along the directions that are told.
func (s *Solution) step(scale []float64) (d Change, err error) {
	info, right, err := s.Adjustment.Shared()
	if err != nil {
		return d, err
	}
	var sizes []float64
	s.Directions, sizes = directions(info, right, scale)
	for i, v := range s.Directions {
		if v.Told {
			for k := range d {
				d[k] += sizes[i] * v.Unit[k]
			}
		}
	}
	return d, nil
}
