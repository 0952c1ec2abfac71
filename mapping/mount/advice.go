package mount

import (
	"fmt"
	"math"

	"cellwall/mapping"
	"cellwall/mapping/align"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// posture is a way to scan the same surfaces again.
type posture struct {
	words    string
	flange   flange
	backward bool // the sweeps as they were, run the other way
}

// tilt is by how much a posture that tells something new differs from the old:
// enough for any direction, and most wrists can (common practice).
const tilt = 40 * math.Pi / 180

// advice is the posture in which the scans would differ most if the mount were
// off in direction v: what it moves there is held against what it moves now,
// which nothing tells.
func advice(v *Direction, options []posture, patches []align.Patch) string {
	best, most := "", 0.0
	for i := range options {
		if d := options[i].differs(v, patches); d > most {
			best, most = options[i].words, d
		}
	}
	if best == "" {
		return "add a sweep in another posture"
	}
	return "add " + best
}

// differs is the rms by which patches would lie off their surfaces, mm, for a
// unit of v.
func (o *posture) differs(v *Direction, patches []align.Patch) float64 {
	var squares, n float64
	for i := range patches {
		p := &patches[i]
		var now, then float64
		for k, d := range p.Drift {
			now += v.Unit[k] * r3.Dot(p.Normal, d)
		}
		if o.backward {
			then = now - 2*v.Unit[6]*r3.Dot(p.Normal, p.Drift[6])
		} else {
			then = o.moves(v, p)
		}
		squares += (then - now) * (then - now)
		n++
	}
	return math.Sqrt(squares / max(n, 1))
}

// moves is by how much a unit of v moves the patch off its surface as seen from
// the posture, the arm standing still.
func (o *posture) moves(v *Direction, p *align.Patch) float64 {
	arm := o.flange.Inverse().Apply(p.Mean)
	shift := r3.Vec{X: v.Unit[0], Y: v.Unit[1], Z: v.Unit[2]}
	turn := r3.Vec{X: v.Unit[3], Y: v.Unit[4], Z: v.Unit[5]}
	return r3.Dot(p.Normal, o.flange.R.Apply(r3.Add(shift, r3.Cross(turn, arm))))
}

// postures are ways to go on from the middle of each scan: each joint moved by
// tilt, or the flange turned where joints are not known, and the way back.
func (m Mount) options(raw *mapping.Raw) []posture {
	out := []posture{{words: "one of these sweeps run the other way, or at another speed", backward: true}}
	for i := range raw.Scans {
		scan := &raw.Scans[i]
		cursor := scan.Track.Cursor()
		pose, q, ok := cursor.At(scan.Lines[len(scan.Lines)/2].Stamp - m.Latency)
		if !ok {
			continue
		}
		for j := range max(len(q), 3) {
			if q != nil && swept(scan, j) {
				continue // the sweep itself goes there
			}
			for _, by := range [2]float64{tilt, -tilt} {
				if p, ok := turned(scan, pose, q, j, by); ok {
					out = append(out, p)
				}
			}
		}
	}
	return out
}

// swept tells whether joint j moved so far in the sweep that another start of it
// would show little new.
func swept(scan *mapping.RawScan, j int) bool {
	first, last := scan.Track.Span()
	cursor := scan.Track.Cursor()
	_, q, _ := cursor.At(first)
	from := q[j]
	_, q, _ = cursor.At(last)
	return math.Abs(q[j]-from) > tilt
}

// turned is the posture with joint j, or the flange about its axis j, moved by
// an angle; false where the joint's limits forbid it.
func turned(scan *mapping.RawScan, pose geom.Pose, q []float64, j int, by float64) (posture, bool) {
	degrees := math.Abs(by) * 180 / math.Pi
	if q == nil {
		about := [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}[j]
		return posture{
			words:  fmt.Sprintf("one with the flange turned by %.0f deg or more about its %c, against %s", degrees, 'x'+rune(j), scan.Name),
			flange: flange{Pose: geom.Pose{R: pose.R.Mul(geom.Exp(r3.Scale(by, about))), T: pose.T}},
		}, true
	}
	moved := append([]float64(nil), q...)
	moved[j] += by
	robot := scan.Track.Arm()
	if robot.Within(moved) != nil {
		return posture{}, false
	}
	return posture{
		words:  fmt.Sprintf("one like %s with joint %d moved by %.0f deg or more", scan.Name, j+1, degrees),
		flange: flange{Pose: robot.Flange(moved)},
	}, true
}
