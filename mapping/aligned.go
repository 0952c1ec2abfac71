package mapping

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Move is a small rigid motion of a scan: it turns about a point of the base
// frame by a rotation vector (rad) and is then shifted (mm).
type Move struct{ Shift, Turn, About r3.Vec }

// moves tells whether it is a motion at all.
func (m Move) moves() bool { return m.Shift != (r3.Vec{}) || m.Turn != (r3.Vec{}) }

// Rigid is the spread of a rigid motion, one sigma along and about each axis of
// the base.
type Rigid struct {
	Shift float64 // mm
	Turn  float64 // rad, about the scanner
}

// Aligned is how the scans of a cloud were moved to agree.
type Aligned struct {
	Moves  []Move // of each scan, About alone where it stayed
	Each   Rigid  // by how much a scan may still be off the others
	Common Rigid  // and all of them alike: what they disagreed by before, averaged over them
	Off    Rigid  // by how much a scan that was left is off the others, zero where none is: it or they are wrong
}

// Middle is where the scanner was on average, base, mm.
func (a *Aligned) Middle() (at r3.Vec) {
	for _, m := range a.Moves {
		at = r3.Add(at, r3.Scale(1/float64(len(a.Moves)), m.About))
	}
	return at
}

// Align moves every scan and keeps what was done.
func (c *Cloud) Align(by Aligned) {
	c.Aligned = &by
	poses := make([]geom.Pose, len(by.Moves))
	for i, m := range by.Moves {
		r := geom.Exp(m.Turn)
		poses[i] = geom.Pose{R: r, T: r3.Add(r3.Sub(m.About, r.Apply(m.About)), m.Shift)}
	}
	for i := range c.Voxels {
		v := &c.Voxels[i]
		if p := &poses[v.Scan]; by.Moves[v.Scan].moves() {
			v.move(p)
			for k := v.First; k < v.First+v.Kept; k++ {
				c.Samples[k] = c.Samples[k].moved(p)
			}
		}
	}
}

// move takes the voxel's points along. Its scatter and its bounds turn by less
// than they are known to, so they are only shifted.
func (v *Voxel) move(p *geom.Pose) {
	before := v.Mean
	v.Mean = p.Apply(v.Mean)
	by := r3.Sub(v.Mean, before)
	v.Bounds.Min, v.Bounds.Max = r3.Add(v.Bounds.Min, by), r3.Add(v.Bounds.Max, by)
	v.Toward = p.R.Apply(v.Toward)
}

func (s Sample) moved(p *geom.Pose) Sample {
	at := p.Apply(r3.Vec{X: float64(s[0]), Y: float64(s[1]), Z: float64(s[2])})
	return Sample{float32(at.X), float32(at.Y), float32(at.Z)}
}
