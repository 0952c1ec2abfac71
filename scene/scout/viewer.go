package scout

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"cellwall/mapping/arm"
	"cellwall/mapping/cores"
	"cellwall/mapping/geom"
	"cellwall/scene/distance"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r3"
)

// viewer works out what sweeps are expected to see. A ray goes on through unseen
// space as often as rays do through what was seen, so what lies behind much
// unseen space counts little.
type viewer struct {
	*Cell
	free   float64   // how often, over half a voxel
	taken  []float32 // by voxel: the chance that a sweep that was chosen sees it
	wanted []bool    // voxels that are unseen and in reach
	far    float64   // no ray is followed further, mm
}

func newViewer(c *Cell) (*viewer, error) {
	v := c.States.Volumes()
	if v.Clear+v.Solid == 0 {
		return nil, errNothingKnown
	}
	if !(c.Scanner.Fan > 0) {
		return nil, fmt.Errorf("the laser line's angle is not known; give fan_deg in cell.yaml")
	}
	l := c.States.Lattice
	out := &viewer{
		Cell:  c,
		taken: make([]float32, l.Cubes()), wanted: make([]bool, l.Cubes()),
		far: 2*l.HalfDiagonal()*float64(max(l.N[0], l.N[1], l.N[2])) + l.Edge,
	}
	c.States.UnseenInReach(func(at [3]int) { out.wanted[out.place(at)] = true })
	out.free = out.openness()
	return out, nil
}

func (v *viewer) place(c [3]int) int {
	n := v.States.Lattice.N
	return (c[2]*n[1]+c[1])*n[0] + c[0]
}

// apart is the angle between rays from the middle of the space in reach that lie
// half a voxel apart at its sides: a voxel is clear only where both its halves
// were crossed.
func (v *viewer) apart() float64 {
	l := v.States.Lattice
	return 1 / float64(max(l.N[0], l.N[1], l.N[2]))
}

// coarse is how many times further apart the rays are that sweeps are judged
// by than those that see every voxel: at the reach's rim every other voxel is
// met along either way, so what is expected there is on the low side.
const coarse = 4

// glance is one sweep looked at; its memory is used again.
type glance struct {
	chance  []float32 // by voxel
	touched []int
	ray     []int
	steps   []float64 // of half a voxel through unseen space before each of ray
	frames  []geom.Pose
	body    arm.Body
	links   []arm.Capsule
}

// gain of a sweep beside those that were taken, m^3.
func (v *viewer) gain(x *candidate) float64 {
	g := &glance{chance: make([]float32, len(v.taken))}
	return v.gainBy(g, x)
}

// gains works out all candidates', on all cores.
func (v *viewer) gains(ctx context.Context, all candidates) {
	var memory = sync.Pool{New: func() any { return &glance{chance: make([]float32, len(v.taken))} }}
	cores.Until(ctx, len(all), func(i int) {
		g := memory.Get().(*glance)
		all[i].gain = v.gainBy(g, &all[i])
		memory.Put(g)
	})
}

func (v *viewer) gainBy(g *glance, x *candidate) float64 {
	v.look(g, x)
	sum := 0.0
	for _, i := range g.touched {
		sum += max(0, float64(g.chance[i]-v.taken[i]))
		g.chance[i] = 0
	}
	g.touched = g.touched[:0]
	return sum * math.Pow(v.States.Lattice.Edge/1000, 3)
}

// take notes what a chosen sweep is expected to see.
func (v *viewer) take(x *candidate) {
	g := &glance{chance: make([]float32, len(v.taken))}
	v.look(g, x)
	for _, i := range g.touched {
		v.taken[i] = max(v.taken[i], g.chance[i])
	}
}

// look casts the sweep's rays, and marks what each may see.
func (v *viewer) look(g *glance, x *candidate) {
	v.rays(g, x, func(eye, d r3.Vec) { v.cast(g, eye, d) })
}

// rays are those of the sweep that the arm itself does not hide.
func (v *viewer) rays(g *glance, x *candidate, each func(eye, d r3.Vec)) {
	apart := coarse * v.apart()
	profiles := max(1, math.Ceil(math.Min(math.Abs(x.To[x.Joint]-x.From[x.Joint]), full)/apart))
	rays := math.Ceil(v.Scanner.Fan / apart)
	q := slices.Clone(x.From)
	for i := 0.0; i <= profiles; i++ {
		q[x.Joint] = x.From[x.Joint] + i/profiles*(x.To[x.Joint]-x.From[x.Joint])
		g.frames = v.Arm.Frames(q, g.frames)
		g.body = v.Arm.Body(g.frames, g.body)
		g.links = g.body.Capsules(g.links)
		baseFromScanner := g.frames[len(g.frames)-1].Mul(v.Scanner.FlangeFromScanner)
		eye := baseFromScanner.Apply(v.Scanner.Eye)
		for k := 0.0; k <= rays; k++ {
			si, co := math.Sincos((k/rays - 0.5) * v.Scanner.Fan)
			d := baseFromScanner.R.Apply(r3.Vec{X: si, Z: co})
			if !g.hidden(eye, r3.Add(eye, r3.Scale(v.far, d))) {
				each(eye, d)
			}
		}
	}
}

// openness is how often a ray that has gone through half a voxel goes on, not
// met by anything solid: counted over rays from the homes, turned about joint 1,
// as far as the map knows what stands there.
func (v *viewer) openness() float64 {
	limits := v.Check.Limits()
	step := v.States.Lattice.Edge / 2
	on, met := 0.0, 0.0
	for _, h := range v.Homes {
		x := candidate{Sweep: Sweep{From: slices.Clone(h), To: slices.Clone(h)}}
		x.From[0], x.To[0] = limits.Lo[0], limits.Hi[0]
		v.rays(&glance{}, &x, func(eye, d r3.Vec) {
			for at := step; at < v.far; at += step {
				c := v.States.Lattice.At(r3.Add(eye, r3.Scale(at, d)))
				switch v.States.At(c) {
				case space.Clear:
					on++
					continue
				case space.Solid:
					met++
				}
				return
			}
		})
	}
	return on / max(on+met, 1)
}

// hidden tells whether the arm itself stands in the ray's way. What the eye lies
// in is the scanner's own housing, or carries it.
func (g *glance) hidden(eye, end r3.Vec) bool {
	ray := distance.Capsule{From: eye, To: end}
	for _, k := range g.links {
		link := distance.Capsule{From: k.From, To: k.To, Radius: k.Radius}
		if distance.Between(ray, link).Distance < 0 && distance.Between(distance.Sphere(eye, 0), link).Distance >= 0 {
			return true
		}
	}
	return false
}

// cast follows a ray by half voxels. Only a ray that gives a return tells where
// it passed: one that ends at something solid within the scanner's range, or
// that leaves the space in reach, beyond which the shop's walls stand.
func (v *viewer) cast(g *glance, eye, d r3.Vec) {
	l := v.States.Lattice
	step := l.Edge / 2
	g.ray, g.steps = g.ray[:0], g.steps[:0]
	unseen := 0.0
	at := step
	for ; at < v.far; at += step {
		c := l.At(r3.Add(eye, r3.Scale(at, d)))
		if !l.Holds(c) {
			break
		}
		state := v.States.At(c)
		if state == space.Solid {
			break
		}
		if state == space.Unseen {
			if i := v.place(c); v.wanted[i] {
				g.ray = append(g.ray, i)
				g.steps = append(g.steps, unseen)
			}
			unseen++
		}
	}
	least, most := v.Scanner.Range[0], v.Scanner.Range[1]
	if at < least || at > most {
		return
	}
	for n, i := range g.ray {
		chance := float32(math.Pow(v.free, g.steps[n]))
		if g.chance[i] == 0 {
			g.touched = append(g.touched, i)
		}
		g.chance[i] = max(g.chance[i], chance)
	}
}
