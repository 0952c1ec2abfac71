package moves

import (
	"math"
	"slices"
	"strings"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

// touching is how near a block must come to a machine to be taken for a part of its
// skin, such as a control panel, mm.
const touching = 50

// ridden is the move of a machine with what its skin carried along, where its own
// faces leave a direction to the edges alone; ok is false where nothing tells more.
// What rode along must lie, in that direction too, where the edges have it: a handle
// on a door leaf goes along as well, but for the way in which the leaf was slid.
func (b *bench) ridden(c *Comparison, o *scene.Object, f *fitted, by *Move) (g *fitted, out Move, ok bool) {
	if len(f.Open) == 0 || len(by.Loose) > 0 {
		return nil, out, false
	}
	bare := moveOf(f)
	told := bare.Told(f.system.Lever)
	g = &fitted{guess: f.guess, motion: by.Pose, pairs: f.pairs, unlike: f.unlike, system: f.system, sway: f.sway, Solution: f.Solution}
	var on []string
	for _, more := range b.riders(o, told.Pose, by.Pose, f) {
		if with, err := g.with(more); err == nil && with != nil {
			g, on = with, append(on, more[0].old.object)
		}
	}
	if len(on) == 0 || len(g.Open) > 0 {
		return nil, out, false
	}
	out = moveOf(g)
	for _, d := range f.Open {
		if apart(o, &out, by, d).Beyond(b.level) {
			return nil, out, false
		}
		out.Weak = append(out.Weak, Weak{Direction: d, On: strings.Join(on, ", ")})
	}
	for _, name := range on {
		c.riders[name] = o.Name
	}
	return g, out, true
}

// riders are the pairs of the blocks that stand at a machine and rode along: two
// faces or more of each lie where the motion takes them, and at least one of them has
// gone, by what is told of the machine, further than a still face is paired.
func (b *bench) riders(o *scene.Object, told, motion geom.Pose, f *fitted) [][]pair {
	near := boxOf(o).Grown(touching)
	used := func(p pair) bool {
		return slices.ContainsFunc(f.pairs, func(q pair) bool { return q.new == p.new })
	}
	went := func(p pair) bool {
		at := p.old.moved(told)
		return math.Abs(at.plane.Distance(p.old.centre)) > slacks[0].offset
	}
	touches := func(f fit.Face) bool { return slices.ContainsFunc(f.Outline, near.Contains) }
	var out [][]pair
	for i := range b.old.Objects {
		p := &b.old.Objects[i]
		if p.Kind != fit.Block || p.Inside == o.Name || !slices.ContainsFunc(p.Faces, touches) {
			continue
		}
		all := slices.DeleteFunc(pairs(patches(p), b.fresh, motion, slacks[0]), used)
		if len(all) >= 2 && slices.ContainsFunc(all, went) {
			out = append(out, all)
		}
	}
	return out
}

// apart tests whether two accounts of an object's move differ in a direction.
func apart(o *scene.Object, a, b *Move, d rigid.Direction) rigid.Test {
	p, q := a.Pose.Mul(o.Pose), b.Pose.Mul(o.Pose)
	t, w := split(p.Minus(q))
	c := a.At(p.T).Plus(b.At(q.T))
	x, v := r3.Dot(t, d.Slide), block(c, 0).Form(d.Slide)
	if d.Turn != (r3.Vec{}) {
		x, v = r3.Dot(w, d.Turn), block(c, 3).Form(d.Turn)
	}
	return rigid.Test{ChiSquare: x * x / v, Freedom: 1}
}
