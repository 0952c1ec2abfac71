// Package changes lists what differs between two maps of a cell, object by
// object, and says of what is not there whether it is gone or was only not seen:
// gone needs rays that went through where it stood.
package changes

import (
	"math"
	"slices"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/moves"
	"cellwall/scene/rigid"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r3"
)

// Sort of a change.
type Sort string

// What can be said of an object of either map.
const (
	Same      Sort = "same"         // where it was, as far as its uncertainty tells
	InPart    Sort = "same-in-part" // so too, but in a direction that its shared surfaces leave open
	Moved     Sort = "moved"        // beyond the uncertainty of both maps
	Resized   Sort = "resized"      // where it was, of another size or shape
	Gone      Sort = "gone"         // rays went through where it stood
	NotSeen   Sort = "not-seen"     // the new map says nothing of it
	New       Sort = "new"          // it stands where rays went through before
	NotBefore Sort = "not-before"   // it stands where the old map saw nothing
)

// Change is what became of one object, or of a region that belongs to none.
type Change struct {
	Sort     Sort
	Name     string // in the old map; in the new one for New and NotBefore
	NewName  string // in the new map, where it is known under another name or only there
	Kind     fit.Kind
	At       r3.Vec   // middle of what was seen of it, mm
	Size     r3.Vec   // of a region that belongs to no object: of its box along base axes, mm
	Open     []string // directions in which nothing that both maps show tells whether it moved
	Weak     []string // directions that little tells, each with what and how well
	Shift    float64
	Turn     float64  // of Moved: of its datum, mm and rad
	SigmaT   float64  // standard uncertainty of Shift in the worst direction
	SigmaR   float64  // and of Turn
	Sizes    []Resize // of Resized
	Unlike   []string // of Resized: faces that no longer stand where the rest is
	Vanished []string // of Resized: faces that rays went through the place of
	Appeared []string // of Resized: faces of the new map that rays went through the place of before
	Evidence float64  // share of where it stood, or stands, that rays went through in the other map
}

// Resize is a measure that changed beyond its uncertainty.
type Resize struct {
	Name     string
	Old, New fit.Measure
}

// Map is a scene with its states of space, nil where they were not worked out:
// then nothing is called gone or new.
type Map struct {
	Scene  *scene.Scene
	States Seen
}

// Seen is what is asked of the states of space; *space.States is one.
type Seen interface {
	State(p r3.Vec) space.State
	AllClear(b space.Body) bool
}

// Between lists what became of every object of the old map, in its order, then
// what the new map has beyond them. level is that of the tests, such as 0.99.
func Between(old, new Map, level float64) []Change {
	told := moves.Compare(old.Scene, new.Scene, level)
	known := accounted(told)
	var out []Change
	for i := range old.Scene.Objects {
		o := &old.Scene.Objects[i]
		if o.Kind == scene.Remainder {
			continue
		}
		if m, ok := told.Move(o.Name); ok {
			n := twin(new.Scene, o)
			c := change(o, n, m, level)
			c.Vanished = vanished(o, m, new)
			if n != nil && isNamed(o.Kind) {
				c.Appeared = appeared(n, m, old)
			}
			if (c.Sort == Same || c.Sort == InPart) && len(c.Vanished)+len(c.Appeared) > 0 {
				c.Sort = Resized
			}
			if lost := faces(o, c.Vanished); !isNamed(o.Kind) && mostOf(lost, o) {
				c = absent(o, lost, new)
			}
			out = append(out, c)
		} else {
			out = append(out, absent(o, o.Faces, new))
		}
	}
	for i := range new.Scene.Objects {
		n := &new.Scene.Objects[i]
		if n.Kind == scene.Remainder {
			continue
		}
		if c, ok := fresh(n, known.rest(n), old); ok {
			out = append(out, c)
		}
	}
	out = rejoin(out, old.Scene, new.Scene)
	return append(out, regions(old, new, known)...)
}

// account is what of the new map is of the old one: faces, and objects whole.
type account struct {
	faces   map[moves.FaceName]bool
	objects map[string]bool
}

func accounted(told *moves.Comparison) account {
	out := account{map[moves.FaceName]bool{}, map[string]bool{}}
	for _, m := range told.Moves {
		if m.By == moves.ByDatum {
			out.objects[m.Twin] = true
		}
		for _, s := range slices.Concat(m.Shared, m.Unlike) {
			out.faces[s.New] = true
			out.objects[s.New.Object] = out.objects[s.New.Object] || s.New.Object == s.Old.Object && isNamed(m.Kind)
		}
	}
	return out
}

// rest are the faces of an object of the new map that no object of the old one
// accounts for, where they are the most of it: what has slid before a sheet may
// well end at a face that the sheet had.
func (a account) rest(n *scene.Object) []fit.Face {
	if out := a.unknown(n); !a.objects[n.Name] && mostOf(out, n) {
		return out
	}
	return nil
}

// unknown are those that no object of the old map accounts for.
func (a account) unknown(n *scene.Object) []fit.Face {
	var out []fit.Face
	for i := range n.Faces {
		if !a.holds(n, &n.Faces[i]) {
			out = append(out, n.Faces[i])
		}
	}
	return out
}

// holds tells whether the face is accounted for, itself or as a piece of the plane of
// one that is.
func (a account) holds(n *scene.Object, f *fit.Face) bool {
	return slices.ContainsFunc(n.Faces, func(g fit.Face) bool {
		return (g.Name == f.Name || g.Plane == f.Plane) && a.faces[moves.FaceName{Object: n.Name, Face: g.Name}]
	})
}

// mostOf tells whether the faces are more than half of what was seen of the object.
func mostOf(some []fit.Face, o *scene.Object) bool { return 2*area(some) > area(o.Faces) }

func area(all []fit.Face) float64 {
	sum := 0.0
	for i := range all {
		sum += all[i].Area
	}
	return sum
}

// faces of the object by their names.
func faces(o *scene.Object, names []string) []fit.Face {
	var out []fit.Face
	for i := range o.Faces {
		if slices.Contains(names, o.Faces[i].Name) {
			out = append(out, o.Faces[i])
		}
	}
	return out
}

func twin(s *scene.Scene, o *scene.Object) *scene.Object {
	for i := range s.Objects {
		if n := &s.Objects[i]; n.Name == o.Name && n.Kind == o.Kind {
			return n
		}
	}
	return nil
}

// change is what became of an object that both maps saw.
func change(o, twin *scene.Object, m *moves.Move, level float64) Change {
	c := Change{Sort: Same, Name: o.Name, Kind: o.Kind, At: middle(o)}
	for _, s := range m.Unlike {
		if s.Old.Object == o.Name {
			c.Unlike = append(c.Unlike, s.Old.Face)
		}
	}
	if stands(o.Kind) {
		for _, d := range m.Loose {
			c.Open = append(c.Open, m.Says(d))
		}
		for _, w := range m.Weak {
			c.Weak = append(c.Weak, m.Little(w))
		}
	}
	if twin != nil && isNamed(o.Kind) {
		c.Sizes = resized(o, twin, level)
	}
	switch {
	case m.Moved:
		c.Sort = Moved
		c.Shift, c.Turn = r3.Norm(m.Shift(o.Pose.T)), r3.Norm(m.Pose.R.Log())
		c.SigmaT, c.SigmaR = m.Worst(o.Pose.T)
	case len(c.Unlike) > 0 || len(c.Sizes) > 0:
		c.Sort = Resized
	case len(c.Open) > 0:
		c.Sort = InPart
	}
	return c
}

// stands tells whether objects of the kind have a place along their surfaces, as
// a floor has not, nor a round post about its axis.
func stands(k fit.Kind) bool {
	return k != fit.Floor && k != fit.Wall && k != fit.Ceiling && k != fit.Post
}

// isNamed tells whether objects of the kind keep their names from map to map:
// others are numbered as they are found.
func isNamed(k fit.Kind) bool { return k == fit.Enclosure || k == fit.Vise || k == fit.Table }

// resized lists the measures of both that differ beyond their uncertainty.
func resized(a, b *scene.Object, level float64) []Resize {
	var out []Resize
	for name, x := range a.Measures {
		y, ok := b.Measures[name]
		v := x.Sigma*x.Sigma + y.Sigma*y.Sigma
		if ok && v > 0 && (rigid.Test{ChiSquare: (x.Value - y.Value) * (x.Value - y.Value) / v, Freedom: 1}).Beyond(level) {
			out = append(out, Resize{name, x, y})
		}
	}
	slices.SortFunc(out, func(p, q Resize) int {
		if p.Name < q.Name {
			return -1
		}
		return 1
	})
	return out
}

// middle of what was seen of an object.
func middle(o *scene.Object) r3.Vec {
	b := geom.NoBounds()
	for i := range o.Faces {
		for _, p := range o.Faces[i].Outline {
			b.Extend(p)
		}
	}
	if len(o.Faces) == 0 || math.IsInf(b.Min.X, 0) {
		return o.Pose.T
	}
	return r3.Scale(0.5, r3.Add(b.Min, b.Max))
}
