package align

import (
	"fmt"
	"math"

	"cellwall/mapping"

	"gonum.org/v1/gonum/spatial/r3"
)

// Bent is by how much, beyond a rigid shift of the scan, surfaces as one scan
// shows them may lie off where the others do, mm, before the mount or the
// latency is the likely cause. Of invented cells 0.03 is the most with the right
// mount; half a millimetre and a tenth of a degree off makes it 0.08 to 0.26. A
// scanner of more noise than 0.3 mm at 1 m shows no less of its own.
const Bent = 0.1

// alone is from how many patches on a scan that shares none of them with others
// deserves a word: a close pass may show a few that no one else saw.
const alone = 100

// doubts are warnings about what the scans' disagreement says.
func (a *Adjustment) doubts(c *mapping.Cloud, patches []Patch) (out []string) {
	seen := make([]int, len(a.Scans))
	for i := range patches {
		seen[patches[i].Part]++ // each scan is one part
	}
	for i, m := range a.Scans {
		switch {
		case m.Patches == 0 && seen[i] >= alone && c.Moving > 1:
			out = append(out, fmt.Sprintf("scan %s shows no surface where the others do, so nothing tells whether it is placed right: look at its motion, at the unit of its angles, and at the mount", c.Scans[i]))
		case m.Outlier:
			out = append(out, fmt.Sprintf("scan %s lies %.1f mm and %.2f deg off what the others agree on, and all uncertainties are widened by that: look at its motion, at whether anything moved, and at the mount and the latency (cellwall mount)",
				c.Scans[i], r3.Norm(m.Shift), r3.Norm(m.Turn)*180/math.Pi))
		}
	}
	if a.Spread.Face > max(Bent, c.Noise.Sigma(1000)/3) && c.Moving > 1 {
		out = append(out, fmt.Sprintf("surfaces lie %.2f mm off each other from scan to scan, and not as a shift of the scans would have it: the scanner's mount or latency is likely wrong; run cellwall mount", a.Spread.Face))
	}
	return out
}
