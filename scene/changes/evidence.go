package changes

import (
	"math"
	"slices"

	"cellwall/fit"
	"cellwall/mapping/geom/flat"
	"cellwall/scene"
	"cellwall/scene/moves"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// grid is how many places along each side of a face's box are looked at.
	grid = 9
	// before is how far in front of a face and behind it rays must have passed to
	// have gone through it, mm: over a voxel of the states, so that rays along the
	// face do not count.
	before = 60.0
	// through is the share of the places asked that rays must have gone through for
	// a thing not to stand there; the rest may be hidden by what else is new.
	through = 0.3
	// standing is the share that may look solid all the same: what it stood on, or
	// what stood beside it.
	standing = 0.2
)

// witness is what a map's rays say of where a thing stands in another map, as
// shares of the places looked at.
type witness struct{ clear, solid float64 }

// nothing tells whether rays went through where the thing would stand.
func (w witness) nothing() bool { return w.clear >= through && w.solid <= standing }

// look asks the states for the places of faces.
func look(faces []fit.Face, states Seen) witness {
	var w witness
	n := 0.0
	for i := range faces {
		f := &faces[i]
		for _, p := range places(f) {
			n++
			off := r3.Scale(before, f.Plane.Normal)
			here, front, behind := states.State(p), states.State(r3.Add(p, off)), states.State(r3.Sub(p, off))
			switch {
			case here == space.Solid:
				w.solid++
			case here == space.Clear && front == space.Clear && behind == space.Clear:
				w.clear++
			}
		}
	}
	if n == 0 {
		return witness{}
	}
	return witness{w.clear / n, w.solid / n}
}

// places are spread evenly over a face.
func places(f *fit.Face) []r3.Vec {
	frame := f.Plane.Frame(f.Centre)
	in := frame.Inverse()
	ring := make([]r2.Vec, len(f.Outline))
	lo, hi := r2.Vec{}, r2.Vec{}
	for i, c := range f.Outline {
		q := in.Apply(c)
		ring[i] = r2.Vec{X: q.X, Y: q.Y}
		lo = r2.Vec{X: min(lo.X, q.X), Y: min(lo.Y, q.Y)}
		hi = r2.Vec{X: max(hi.X, q.X), Y: max(hi.Y, q.Y)}
	}
	var out []r3.Vec
	for i := range grid {
		for k := range grid {
			q := r2.Vec{X: lo.X + (hi.X-lo.X)*(float64(i)+.5)/grid, Y: lo.Y + (hi.Y-lo.Y)*(float64(k)+.5)/grid}
			if flat.Contains(ring, q) {
				out = append(out, frame.Apply(r3.Vec{X: q.X, Y: q.Y}))
			}
		}
	}
	return out
}

// vanished lists those of an object's faces that the new map does not show, though
// its rays went through where they were: a leaf that slid away, a guard taken off.
func vanished(o *scene.Object, m *moves.Move, states Seen) []string {
	if states == nil || m.Moved {
		return nil // of a moved object the rays say where it was, not what it lost
	}
	var out []string
	for i := range o.Faces {
		f := &o.Faces[i]
		if slices.Contains(m.Unseen, moves.FaceName{Object: o.Name, Face: f.Name}) && look(o.Faces[i:i+1], states).nothing() {
			out = append(out, f.Name)
		}
	}
	return out
}

// absent is an object of the old map of which the new one shows no face.
func absent(o *scene.Object, states Seen) Change {
	c := Change{Sort: NotSeen, Name: o.Name, Kind: o.Kind, At: middle(o)}
	if states == nil {
		return c
	}
	w := look(o.Faces, states)
	c.Evidence = w.clear
	if w.nothing() {
		c.Sort = Gone
	}
	return c
}

// fresh is an object of the new map that no object of the old one is; ok is false
// where the old map saw something there, if not as an object of its own.
func fresh(o *scene.Object, states Seen) (c Change, ok bool) {
	c = Change{Sort: NotBefore, Name: o.Name, NewName: o.Name, Kind: o.Kind, At: middle(o)}
	if states == nil {
		return c, true
	}
	w := look(o.Faces, states)
	c.Evidence = w.clear
	if w.nothing() {
		c.Sort = New
	}
	return c, c.Sort == New || w.solid <= 0.5
}

// rejoin takes a thing that is gone from one place and a new one of its kind and
// size in another for one thing that moved, where there is no other choice.
func rejoin(all []Change, old, now *scene.Scene) []Change {
	gone, came := map[int][]int{}, map[int][]int{}
	for i := range all {
		for k := range all {
			if all[i].Sort == Gone && all[k].Sort == New && all[i].Kind == all[k].Kind &&
				alike(object(old, all[i].Name), object(now, all[k].Name)) {
				gone[i], came[k] = append(gone[i], k), append(came[k], i)
			}
		}
	}
	var out []Change
	for i, c := range all {
		if len(came[i]) == 1 && len(gone[came[i][0]]) == 1 {
			continue // it goes with the one that is gone
		}
		if len(gone[i]) == 1 && len(came[gone[i][0]]) == 1 {
			a, b := object(old, c.Name), object(now, all[gone[i][0]].Name)
			c.Sort, c.NewName, c.Shift = Moved, b.Name, r3.Norm(r3.Sub(b.Pose.T, a.Pose.T))
			c.SigmaT = math.Hypot(r3.Norm(a.Cov.SigmaT()), r3.Norm(b.Cov.SigmaT()))
		}
		out = append(out, c)
	}
	return out
}

func object(s *scene.Scene, name string) *scene.Object {
	for i := range s.Objects {
		if s.Objects[i].Name == name {
			return &s.Objects[i]
		}
	}
	return nil
}

// leastAlike is how many measures two things must have in common to be told for
// one by their size.
const leastAlike = 2

// alike tells whether all measures that both have agree, and that well enough to
// mean something: to a tenth.
func alike(a, b *scene.Object) bool {
	n := 0
	for name, x := range a.Measures {
		y, ok := b.Measures[name]
		if !ok {
			continue
		}
		sigma := x.Sigma + y.Sigma
		if d := x.Value - y.Value; d > 2*sigma || d < -2*sigma {
			return false
		}
		if sigma < 0.1*x.Value {
			n++
		}
	}
	return n >= leastAlike
}

// regions are the solids round what belongs to no object that stand where the
// other map's rays went through everywhere.
func regions(old, now Map) []Change {
	var out []Change
	list := func(from Map, other Seen, sort Sort) {
		if other == nil {
			return
		}
		for i := range from.Scene.Objects {
			o := &from.Scene.Objects[i]
			if o.Kind != scene.Remainder {
				continue
			}
			for _, s := range o.Solids {
				if b := s.Bounds(0); other.AllClear(s) {
					out = append(out, Change{Sort: sort, Name: o.Name, Kind: o.Kind, At: r3.Scale(0.5, r3.Add(b.Min, b.Max)), Evidence: 1})
				}
			}
		}
	}
	list(old, now.States, Gone)
	list(now, old.States, New)
	return out
}
