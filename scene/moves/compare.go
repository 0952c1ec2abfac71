package moves

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// Comparison is a new map held against an old one.
type Comparison struct {
	Level    float64 // of the tests: the share of still things that are not told apart from still
	Room     *Move   // of floor, walls, ceiling as one body; nil where none of their faces is shared
	Moves    []Move  // of the objects that can be told, in the old map's order
	Slips    []Slip  // of the vises that stand in a machine whose move is told
	Contacts []Contact
	Untold   []Untold
	riders   map[string]string // blocks on the skin of a machine that tell its move, and the machine
}

// Move of the object of that name.
func (c *Comparison) Move(name string) (*Move, bool) {
	for i := range c.Moves {
		if c.Moves[i].Name == name {
			return &c.Moves[i], true
		}
	}
	return nil, false
}

// Compare tells the move of every object of the old map that the new one carries
// evidence of. level is that of the chi-square tests, such as 0.99.
func Compare(old, new *scene.Scene, level float64) *Comparison {
	b := &bench{old: old, new: new, level: level, up: upOf(old)}
	for i := range new.Objects {
		if o := &new.Objects[i]; o.Kind != fit.Vise {
			b.fresh = append(b.fresh, patches(o)...)
		}
	}
	c := &Comparison{Level: level, riders: map[string]string{}}
	b.room(c)
	for i := range old.Objects {
		if o := &old.Objects[i]; o.Kind != scene.Remainder {
			b.object(c, o)
		}
	}
	c.slips()
	c.company()
	return c
}

// bench is what a comparison works with.
type bench struct {
	old, new *scene.Scene
	level    float64
	up       r3.Vec
	fresh    []patch // of the new map
}

// upOf is the floor's normal, base Z where no floor was seen.
func upOf(s *scene.Scene) r3.Vec {
	for i := range s.Objects {
		if o := &s.Objects[i]; o.Kind == fit.Floor {
			return o.Pose.R.Axis(2)
		}
	}
	return r3.Vec{Z: 1}
}

// find is the object of that name and kind in a map.
func find(s *scene.Scene, name string, kind fit.Kind) *scene.Object {
	for i := range s.Objects {
		if o := &s.Objects[i]; o.Name == name && o.Kind == kind {
			return o
		}
	}
	return nil
}

// room tells the move of the room as a whole: what the arm stands in.
func (b *bench) room(c *Comparison) {
	var old []patch
	for i := range b.old.Objects {
		switch o := &b.old.Objects[i]; o.Kind {
		case fit.Floor, fit.Wall, fit.Ceiling:
			old = append(old, patches(o)...)
		}
	}
	f := refine(old, b.fresh, geom.Identity())
	if f == nil || f.vote() != nil {
		return
	}
	m := moveOf(f)
	m.judge(f.system.Lever, b.level)
	m.Name = "room"
	c.Room = &m
}

// object tells the move of one object, or why it cannot be told.
func (b *bench) object(c *Comparison, o *scene.Object) {
	twin := b.twin(o)
	if twin != nil && (o.Kind == fit.Vise || o.Kind == fit.Post) {
		home, _ := c.Move(o.Inside)
		c.add(o, byDatum(o, twin, home, b.level))
		return
	}
	if o.Kind == fit.Post {
		b.untold(c, o, "the new map shows no post of its diameter where it stood")
		return
	}
	old, own := b.body(o)
	f := b.best(c, o, old, twin)
	if f == nil {
		b.untold(c, o, "the new map shows none of its faces where they can be told from others")
		return
	}
	if twin == nil && !f.confirm() {
		b.untold(c, o, "one face alone, millimetres off where it was, may be another one beside it")
		return
	}
	if err := f.snoop(own, b.up); err != nil {
		b.untold(c, o, err.Error())
		return
	}
	m := moveOf(f)
	if twin != nil && (o.Kind == fit.Enclosure || o.Kind == fit.Table) {
		m.close(o, twin)
	}
	if o.Kind == fit.Enclosure {
		if g, with, ok := b.ridden(c, o, f, &m); ok {
			f, m = g, with
		}
	}
	m.Motion = m.Told(f.system.Lever)
	m.judge(f.system.Lever, b.level)
	m.unseen = unseen(o.Name, old, f)
	for i := range m.unseen {
		m.Unseen = append(m.Unseen, nameOf(&m.unseen[i]))
	}
	c.add(o, m)
	if o.Kind == fit.Enclosure {
		b.contact(c, o, &m)
	}
}

func (c *Comparison) add(o *scene.Object, m Move) {
	m.Name, m.Kind, m.Inside, m.Datum, m.box = o.Name, o.Kind, o.Inside, o.Pose, boxOf(o)
	c.Moves = append(c.Moves, m)
}

// untold notes why the object's move is not told: what the new map says of it, where it
// was looked for and refused.
func (b *bench) untold(c *Comparison, o *scene.Object, why string) {
	u := Untold{
		Name: o.Name, Kind: o.Kind, Reason: why,
		ScanNext: fmt.Sprintf("%s, about (%.0f, %.0f, %.0f) mm in the old map", o.Name, o.Pose.T.X, o.Pose.T.Y, o.Pose.T.Z),
	}
	home := find(b.old, o.Inside, fit.Enclosure)
	for _, r := range b.new.NotLocated {
		if r.Name != o.Name || r.Kind != o.Kind {
			continue
		}
		u.Reason, u.ScanNext = "the new map did not locate it: "+r.Reason, r.ScanNext
		if o.Kind == fit.Vise && home != nil {
			u.ScanNext += fmt.Sprintf("; in the old map its fixed jaw stands %s", fixedSide(o.Pose, home.Pose))
		}
	}
	c.Untold = append(c.Untold, u)
}

// fixedSide is where the fixed jaw of a vise stands, as cell.yaml has it: seen from the
// machine's front.
func fixedSide(vise, machine geom.Pose) string {
	toMoving := vise.R.Axis(1)
	in, left := r3.Dot(toMoving, machine.R.Axis(0)), r3.Dot(toMoving, machine.R.Axis(1))
	switch {
	case in > math.Abs(left):
		return "near"
	case -in > math.Abs(left):
		return "far"
	case left > 0:
		return "right"
	}
	return "left"
}

// body lists the faces that move with an object, and which objects' are its own: its
// own faces, and of an enclosure as guests those of the blocks that stand in it, which
// are the machine's table and column more often than not. Of a vise the moving jaw says
// nothing, for the next part moves it; what both jaws stand on is as good as the vise.
func (b *bench) body(o *scene.Object) (out []patch, own []string) {
	own = []string{o.Name}
	out = patches(o)
	if o.Kind == fit.Vise {
		out = slices.DeleteFunc(out, func(p patch) bool { return strings.HasPrefix(p.name, "moving-jaw") })
	}
	for i := range b.old.Objects {
		switch in := &b.old.Objects[i]; {
		case in.Kind != fit.Block:
		case o.Kind == fit.Enclosure && in.Inside == o.Name:
			out = append(out, patches(in)...)
		case o.Kind == fit.Vise && in.Inside == o.Inside:
			if all := under(in, o); all != nil {
				out, own = append(out, all...), append(own, in.Name)
			}
		}
	}
	return out, own
}

// unseen are the object's own faces of the old map that are in no pair.
func unseen(object string, old []patch, f *fitted) []patch {
	var out []patch
	for i := range old {
		p := &old[i]
		is := func(q pair) bool { return q.old == p }
		if p.object == object && !slices.ContainsFunc(f.pairs, is) && !slices.ContainsFunc(f.unlike, is) {
			out = append(out, *p)
		}
	}
	return out
}

// twin is the object of the new map that is taken for o: the one of its name and
// kind, for posts the one of its diameter that stands nearest to where o stood.
func (b *bench) twin(o *scene.Object) *scene.Object {
	if o.Kind != fit.Post {
		return find(b.new, o.Name, o.Kind)
	}
	var near *scene.Object
	least := 2 * o.Measures["diameter_mm"].Value
	for i := range b.new.Objects {
		n := &b.new.Objects[i]
		if d := r3.Norm(r3.Sub(n.Pose.T, o.Pose.T)); n.Kind == fit.Post && d < least && agree(o, n, "diameter_mm") {
			near, least = n, d
		}
	}
	return near
}

// agree tells whether a size is the same as far as both maps measured it: where it
// is not, one of the maps took an edge for another that is not the object's end.
func agree(a, b *scene.Object, name string) bool {
	x, ok1 := a.Measures[name]
	y, ok2 := b.Measures[name]
	return !ok1 || !ok2 || math.Abs(x.Value-y.Value) <= 3*math.Hypot(x.Sigma, y.Sigma)
}

const (
	// plainly is how much more area a motion must explain than one that something
	// else speaks for.
	plainly = 1.2
	// tries is how many guesses of a search are refined.
	tries = 4
)

// best is the motion that explains the most of the object's faces: staying where
// it was, going with a machine, for its panel and what stands in it do, what its
// datum says, or what a search finds.
func (b *bench) best(c *Comparison, o *scene.Object, old []patch, twin *scene.Object) *fitted {
	best := refine(old, b.fresh, geom.Identity())
	for i := range c.Moves {
		home := &c.Moves[i]
		if home.Kind != fit.Enclosure {
			continue
		}
		times := plainly // it may stand beside the machine
		if home.Name == o.Inside {
			times = 1
		}
		if f := refine(old, b.fresh, home.Pose); better(f, best, times) {
			best = f
		}
	}
	if twin != nil && (o.Kind == fit.Enclosure || o.Kind == fit.Table) {
		if f := refine(old, b.fresh, twin.Pose.Mul(o.Pose.Inverse())); better(f, best, 1) {
			best = f
		}
	}
	if o.Kind == fit.Vise {
		return best // jaws are small and alike, and their like is all about: further off they are not told from that
	}
	for _, s := range search(old, b.fresh, b.up, tries) {
		f := refine(old, b.fresh, s)
		if f != nil && f.speaks() && better(f, best, plainly) {
			best = f
		}
	}
	return best
}

// speaks tells whether a motion that has nothing but faces to speak for it rests
// on enough of them: three where they leave nothing open; one more, for what the
// open direction takes away, where they leave a slide.
func (f *fitted) speaks() bool {
	switch {
	case len(f.Open) == 0:
		return len(f.pairs) >= 3
	case len(f.Open) == 1 && f.Open[0].Turn == r3.Vec{}:
		return len(f.pairs) >= 4
	}
	return false
}

func better(f, than *fitted, times float64) bool {
	return f != nil && (than == nil || area(f.pairs) > times*area(than.pairs))
}

// Of is the part of a comparison that speaks of one object, and of the room.
func (c *Comparison) Of(name string) *Comparison {
	out := &Comparison{Level: c.Level, Room: c.Room}
	for _, m := range c.Moves {
		if m.Name == name {
			out.Moves = append(out.Moves, m)
		}
	}
	for _, s := range c.Slips {
		if s.Name == name || s.Home == name {
			out.Slips = append(out.Slips, s)
		}
	}
	for _, k := range c.Contacts {
		if k.Name == name {
			out.Contacts = append(out.Contacts, k)
		}
	}
	for _, u := range c.Untold {
		if u.Name == name {
			out.Untold = append(out.Untold, u)
		}
	}
	return out
}
