package arm

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Body is the arm's own volume at one posture: its capsules set out in the base
// frame. The zero value is an empty body that holds nothing.
type Body struct {
	capsules []capsule
}

// capsule is one capsule in base, with the box round it that most points miss.
type capsule struct {
	frame       int
	from, along r3.Vec // mm
	perSquare   float64
	radius      float64
	box         geom.Bounds
}

// Body sets the arm's capsules out at the posture whose frames Frames returned,
// reusing the memory of into.
func (a *Arm) Body(frames []geom.Pose, into Body) Body {
	into.capsules = into.capsules[:0]
	for _, c := range a.Capsules {
		into.capsules = append(into.capsules, c.in(frames[c.Frame]))
	}
	return into
}

// Hand sets out those capsules alone that the flange carries: all that is known
// of the arm's volume where only baseFromFlange is.
func (a *Arm) Hand(baseFromFlange geom.Pose, into Body) Body {
	into.capsules = into.capsules[:0]
	for _, c := range a.Capsules {
		if c.Frame == len(a.Joints) {
			into.capsules = append(into.capsules, c.in(baseFromFlange))
		}
	}
	return into
}

// in sets a capsule out where its frame stands.
func (c Capsule) in(baseFromFrame geom.Pose) capsule {
	from, to := baseFromFrame.Apply(c.From), baseFromFrame.Apply(c.To)
	w := capsule{frame: c.Frame, from: from, along: r3.Sub(to, from), radius: c.Radius, box: geom.NoBounds()}
	if l := r3.Norm2(w.along); l > 0 {
		w.perSquare = 1 / l
	}
	w.box.Extend(from)
	w.box.Extend(to)
	r := r3.Vec{X: c.Radius, Y: c.Radius, Z: c.Radius}
	w.box.Min, w.box.Max = r3.Sub(w.box.Min, r), r3.Add(w.box.Max, r)
	return w
}

// Capsules appends the body's capsules, set out in the base frame, to into[:0]
// and returns it: From and To are in base, Frame is still the frame that carries
// each.
func (b *Body) Capsules(into []Capsule) []Capsule {
	into = into[:0]
	for _, c := range b.capsules {
		into = append(into, Capsule{Frame: c.frame, From: c.from, To: r3.Add(c.from, c.along), Radius: c.radius})
	}
	return into
}

// Holds tells whether p (base, mm) lies in the body grown by grow mm, or on it.
func (b *Body) Holds(p r3.Vec, grow float64) bool {
	for i := range b.capsules {
		if b.capsules[i].holds(p, grow) {
			return true
		}
	}
	return false
}

func (c *capsule) holds(p r3.Vec, grow float64) bool {
	if p.X < c.box.Min.X-grow || p.X > c.box.Max.X+grow ||
		p.Y < c.box.Min.Y-grow || p.Y > c.box.Max.Y+grow ||
		p.Z < c.box.Min.Z-grow || p.Z > c.box.Max.Z+grow {
		return false
	}
	d := r3.Sub(p, c.from)
	t := min(max(r3.Dot(d, c.along)*c.perSquare, 0), 1)
	r := c.radius + grow
	return r3.Norm2(r3.Sub(d, r3.Scale(t, c.along))) <= r*r
}

// Inside tells whether p (base, mm) lies in the arm's own volume grown by grow
// mm, at the posture whose frames Frames returned. For many points at one
// posture, set out a Body once.
func (a *Arm) Inside(frames []geom.Pose, p r3.Vec, grow float64) bool {
	b := a.Body(frames, Body{})
	return b.Holds(p, grow)
}
