package mount

import (
	"math"
	"sync"

	"cellwall/mapping"
	"cellwall/mapping/align"
	"cellwall/mapping/geom"
	"cellwall/mapping/motion"

	"gonum.org/v1/gonum/spatial/r3"
)

// Mount is how a scanner sits on the flange and how late its stamps are.
type Mount struct {
	FlangeFromScanner geom.Pose
	Latency           float64 // a stamp is this much later than the instant, s
}

// Change is a change of a mount: the scanner's origin along the flange's axes
// (mm), a rotation vector about that origin (rad, flange axes), latency (s).
type Change [align.Params]float64

// Plus is the mount changed by d.
func (m Mount) Plus(d Change) Mount {
	return Mount{m.FlangeFromScanner.Perturb([6]float64(d[:6])), m.Latency + d[6]}
}

// Minus is the change that leads from n to m.
func (m Mount) Minus(n Mount) (d Change) {
	pose := m.FlangeFromScanner.Minus(n.FlangeFromScanner)
	copy(d[:], pose[:])
	d[6] = m.Latency - n.Latency
	return d
}

// flange is where the flange was at an instant and how it moved: velocity of its
// origin (mm/s) and angular velocity (rad/s), base axes.
type flange struct {
	geom.Pose
	velocity, spin r3.Vec
}

// step is over how long before and after an instant its motion is told, s: some
// rows of a log (common practice: 100 to 250 a second).
const step = 0.01

// flangeAt is false outside the log.
func flangeAt(c *motion.Cursor, track *motion.Track, t float64) (flange, bool) {
	pose, _, ok := c.At(t)
	if !ok {
		return flange{}, false
	}
	first, last := track.Span()
	from, to := math.Max(first, t-step), math.Min(last, t+step)
	a, _, _ := c.At(from)
	b, _, _ := c.At(to)
	f := flange{Pose: pose}
	if to > from {
		f.velocity = r3.Scale(1/(to-from), r3.Sub(b.T, a.T))
		f.spin = r3.Scale(1/(to-from), b.R.Mul(a.R.T()).Log())
	}
	return f, true
}

// drift is how the point p (scanner's frame), placed at base, moves for a unit
// of each part of a Change: the Jacobian of its place.
func (m Mount) drift(f *flange, p, base r3.Vec) (d [align.Params]r3.Vec) {
	arm := m.FlangeFromScanner.R.Apply(p)
	for k, axis := range [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		d[k] = f.R.Axis(k)
		d[3+k] = f.R.Apply(r3.Cross(axis, arm))
	}
	d[6] = r3.Scale(-1, r3.Add(f.velocity, r3.Cross(f.spin, r3.Sub(base, f.T))))
	return d
}

// placed is all of the scans' points put where a mount says.
type placed struct {
	patches []align.Patch
	parts   []align.Part
	arm     float64 // rms distance of points from the scanner, mm
	speed   float64 // rms speed of points, mm/s
}

// scale is the change of each part of a Change that moves points by some 1 mm.
func (p *placed) scale() []float64 {
	turn, late := 1/p.arm, 1/math.Max(p.speed, slow)
	return []float64{1, 1, 1, turn, turn, turn, late}
}

// slow is the speed below which an arm stands still, mm/s: over a profile of
// some milliseconds it then moves by no more than it repeats.
const slow = 1

// place puts the points of all scans where m says, one scan a goroutine.
func (m Mount) place(raw *mapping.Raw, cut []cut) placed {
	sums := make([]sum, len(raw.Scans))
	var wait sync.WaitGroup
	for i := range raw.Scans {
		wait.Go(func() { sums[i].take(m, &raw.Scans[i], &cut[i]) })
	}
	wait.Wait()
	var out placed
	var n float64
	for i := range sums {
		s := &sums[i]
		out.patches = append(out.patches, s.patches...)
		for k, pivot := range s.pivots {
			out.parts = append(out.parts, align.Part{Scan: i, Pivot: r3.Scale(1/max(s.n[k], 1), pivot), Follows: k > 0 && cut[i].even})
			n += s.n[k]
		}
		out.arm, out.speed = out.arm+s.arm, out.speed+s.speed
	}
	out.arm, out.speed = math.Sqrt(out.arm/n), math.Sqrt(out.speed/n)
	return out
}

// sum is one scan's share of placed.
type sum struct {
	patches    []align.Patch
	pivots     []r3.Vec // of each part, sums over the points
	n          []float64
	arm, speed float64 // sums of squares
}

// trims of the patches: the second works on what the first left.
const trims = 2

// take places the scan's points.
func (s *sum) take(m Mount, scan *mapping.RawScan, cut *cut) {
	s.pivots, s.n = make([]r3.Vec, cut.parts), make([]float64, cut.parts)
	cells := align.Cells{}
	for range trims {
		m.each(scan, func(line int, f *flange, at, base r3.Vec) {
			cells.Add(cut.first+cut.of[line], geom.Moments{N: 1, Mean: base}, r3.Vec{}, nil)
		})
		cells.Trim()
	}
	m.each(scan, func(line int, f *flange, at, base r3.Vec) {
		d := m.drift(f, at, base)
		k := cut.of[line]
		cells.Add(cut.first+k, geom.Moments{N: 1, Mean: base}, r3.Sub(f.Apply(m.FlangeFromScanner.T), base), &d)
		s.n[k]++
		s.pivots[k] = r3.Add(s.pivots[k], f.T)
		s.arm += r3.Norm2(at)
		s.speed += r3.Norm2(d[6])
	})
	s.patches = cells.Patches()
}

// each visits the points of a scan: the number of its line, where the flange
// was, the point in the scanner's frame and in base.
func (m Mount) each(scan *mapping.RawScan, do func(line int, f *flange, at, base r3.Vec)) {
	cursor := scan.Track.Cursor()
	for i := range scan.Lines {
		line := &scan.Lines[i]
		f, ok := flangeAt(cursor, scan.Track, line.Stamp-m.Latency)
		if !ok {
			continue
		}
		baseFromScanner := f.Mul(m.FlangeFromScanner)
		for _, at := range line.Points {
			do(i, &f, at, baseFromScanner.Apply(at))
		}
	}
}
