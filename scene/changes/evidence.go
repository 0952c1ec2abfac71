package changes

import (
	"math"
	"slices"

	"cellwall/fit"
	"cellwall/mapping/geom"
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
	// core is the share that will do where what lies behind was seen in twice as
	// many places: four of them, inside of which no ray comes in under a rim.
	core = 0.05
)

// witness is what a map's rays say of where a thing stands in another map, as
// shares of its faces' area. Of sheet places the map shows what lies behind,
// but so near the thing's rim that flat rays may have come in under it.
type witness struct{ clear, sheet, solid float64 }

// nothing tells whether rays went through where the thing would stand.
func (w witness) nothing() bool {
	narrow := w.clear >= core && w.clear+w.sheet >= 2*through
	return (w.clear >= through || narrow) && w.solid <= standing
}

// look asks a map for the places of faces: its states of space, and where these
// are too coarse to tell what lies on a sheet from the sheet, its own faces.
func (m Map) look(faces []fit.Face) witness {
	var w witness
	total := area(faces)
	for i := range faces {
		f := &faces[i]
		all := places(f)
		var here witness
		for _, p := range all {
			m.at(p, f, &here)
		}
		if len(all) == 0 || total == 0 {
			continue
		}
		part := f.Area / total / float64(len(all))
		w = witness{w.clear + part*here.clear, w.sheet + part*here.sheet, w.solid + part*here.solid}
	}
	return w
}

// at counts one place of a face: whether rays went through it, or something was
// seen there; nowhere, where the map does not tell.
func (m Map) at(p r3.Vec, f *fit.Face, w *witness) {
	off := r3.Scale(before, f.Plane.Normal)
	here, front, behind := m.States.State(p), m.States.State(r3.Add(p, off)), m.States.State(r3.Sub(p, off))
	_, onFace := m.behind(p, f, -flush, flush)
	depth, onSheet := m.behind(p, f, flush, before)
	switch {
	case onFace:
		w.solid++
	case onSheet && toRim(f, p) > depth*steepest:
		w.clear++
	case onSheet:
		w.sheet++
	case here == space.Solid:
		w.solid++
	case here == space.Clear && front == space.Clear && behind == space.Clear:
		w.clear++
	}
}

const (
	// flush is how far a face may lie before another and still be it, mm: twice what
	// moves allow a part of an object to be out of place by.
	flush = 10.0
	// steepest is the tangent of 65 degrees: rays flatter to a face give no returns
	// (common practice: beyond 60 to 70 degrees). So nothing that stands before a
	// sheet lets the sheet be seen further in from its rim than so many times its
	// distance from the sheet.
	steepest = 2.14
	// alongside is the cosine to which a sheet behind a face is turned like it: 20
	// degrees.
	alongside = 0.94
)

// behind is how far behind p, seen from where the face was, the map shows a
// surface, the nearest between the two depths.
func (m Map) behind(p r3.Vec, f *fit.Face, from, to float64) (depth float64, ok bool) {
	for i := range m.Scene.Objects {
		for k := range m.Scene.Objects[i].Faces {
			g := &m.Scene.Objects[i].Faces[k]
			d := g.Plane.Distance(p)
			if g.Cylinder != nil || d < from || d > to || ok && d > depth ||
				r3.Dot(g.Plane.Normal, f.Plane.Normal) < alongside || !shows(g, p) {
				continue
			}
			depth, ok = d, true
		}
	}
	return depth, ok
}

// shows tells whether the foot of p was seen on the face.
func shows(g *fit.Face, p r3.Vec) bool {
	in := g.Plane.Frame(g.Centre).Inverse()
	foot := flatly(in, p)
	return flat.Contains(ring(in, g.Outline), foot) &&
		!slices.ContainsFunc(g.Holes, func(h []r3.Vec) bool { return flat.Contains(ring(in, h), foot) })
}

// toRim is how far p, on the face, lies from the rim of what was seen of it, mm.
func toRim(f *fit.Face, p r3.Vec) float64 {
	in := f.Plane.Frame(f.Centre).Inverse()
	return math.Abs(flat.ToRim(ring(in, f.Outline), flatly(in, p)))
}

func flatly(in geom.Pose, p r3.Vec) r2.Vec {
	q := in.Apply(p)
	return r2.Vec{X: q.X, Y: q.Y}
}

func ring(in geom.Pose, outline []r3.Vec) []r2.Vec {
	out := make([]r2.Vec, len(outline))
	for i, c := range outline {
		out[i] = flatly(in, c)
	}
	return out
}

// places are spread evenly over a face.
func places(f *fit.Face) []r3.Vec {
	frame := f.Plane.Frame(f.Centre)
	rim := ring(frame.Inverse(), f.Outline)
	lo, hi := r2.Vec{}, r2.Vec{}
	for _, q := range rim {
		lo = r2.Vec{X: min(lo.X, q.X), Y: min(lo.Y, q.Y)}
		hi = r2.Vec{X: max(hi.X, q.X), Y: max(hi.Y, q.Y)}
	}
	var out []r3.Vec
	for i := range grid {
		for k := range grid {
			q := r2.Vec{X: lo.X + (hi.X-lo.X)*(float64(i)+.5)/grid, Y: lo.Y + (hi.Y-lo.Y)*(float64(k)+.5)/grid}
			if flat.Contains(rim, q) {
				out = append(out, frame.Apply(r3.Vec{X: q.X, Y: q.Y}))
			}
		}
	}
	return out
}

// vanished lists those of an object's faces that the new map does not show, though
// its rays went through where they would be: a leaf that slid away, a guard taken
// off.
func vanished(o *scene.Object, m *moves.Move, new Map) []string {
	var missing []fit.Face
	for i := range o.Faces {
		if slices.Contains(m.Unseen, moves.FaceName{Object: o.Name, Face: o.Faces[i].Name}) {
			missing = append(missing, o.Faces[i])
		}
	}
	return absentFrom(new, missing, m, m.Pose)
}

// appeared lists those of its faces in the new map, where it is n, that no face of
// the old map is, though rays went through there before: a leaf that slid into
// place, a panel put on.
func appeared(n *scene.Object, m *moves.Move, old Map) []string {
	var more []fit.Face
	for i := range n.Faces {
		name := moves.FaceName{Object: n.Name, Face: n.Faces[i].Name}
		if !slices.ContainsFunc(slices.Concat(m.Shared, m.Unlike), func(s moves.Shared) bool { return s.New == name }) {
			more = append(more, n.Faces[i])
		}
	}
	return absentFrom(old, more, m, m.Pose.Inverse())
}

// absentFrom are those of the faces, taken along with the motion, through whose
// place rays of the other map went.
func absentFrom(other Map, faces []fit.Face, m *moves.Move, by geom.Pose) []string {
	if other.States == nil || len(m.Loose) > 0 && m.Moved {
		return nil
	}
	with := scene.Object{Object: fit.Object{Faces: faces}}
	at, err := with.MovedBy(by)
	if err != nil {
		return nil // it has no solids that could fail
	}
	var out []string
	for i := range at.Faces {
		if other.look(at.Faces[i : i+1]).nothing() {
			out = append(out, at.Faces[i].Name)
		}
	}
	return out
}

// absent is an object of the old map of which the new one does not show the faces
// by which it is looked for.
func absent(o *scene.Object, by []fit.Face, new Map) Change {
	c := Change{Sort: NotSeen, Name: o.Name, Kind: o.Kind, At: middle(o)}
	if new.States == nil {
		return c
	}
	w := new.look(by)
	c.Evidence = w.clear
	if w.nothing() {
		c.Sort = Gone
	}
	return c
}

// fresh is an object of the new map of which no object of the old one is the rest
// of its faces; ok is false where there is none, or the old map saw something there,
// if not as an object of its own.
func fresh(o *scene.Object, rest []fit.Face, old Map) (c Change, ok bool) {
	c = Change{Sort: NotBefore, Name: o.Name, NewName: o.Name, Kind: o.Kind, At: middle(o)}
	if len(rest) == 0 {
		return c, false
	}
	whole := len(rest) == len(o.Faces)
	if old.States == nil {
		return c, whole
	}
	w := old.look(rest)
	c.Evidence = w.clear
	if w.nothing() {
		c.Sort = New
	}
	return c, c.Sort == New || whole && w.solid <= 0.5
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
			c.Turn = r3.Norm(b.Pose.R.Mul(a.Pose.R.T()).Log())
			c.SigmaR = math.Hypot(r3.Norm(a.Cov.SigmaR()), r3.Norm(b.Cov.SigmaR()))
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

// regions are what belongs to no object and stands where the other map's rays went
// through: plane pieces by the rays through them, as faces of objects are judged, and
// the solids round the rest where these went through everywhere. What is smaller than
// voxels of the states tell is left out: neither map can say more of it.
func regions(old, now Map, known account) []Change {
	var out []Change
	list := func(from, other Map, sort Sort) {
		if other.States == nil {
			return
		}
		edge := voxel(from, other)
		for i := range from.Scene.Objects {
			o := &from.Scene.Objects[i]
			if o.Kind != scene.Remainder {
				continue
			}
			pieces := o.Faces
			if sort == New {
				pieces = known.unknown(o)
			}
			var told []geom.Box
			for k := range pieces {
				if w := other.look(pieces[k : k+1]); pieces[k].Area > 4*edge*edge && w.nothing() {
					b := geom.NoBounds()
					for _, p := range pieces[k].Outline {
						b.Extend(p)
					}
					c := region(o, b, sort, w.clear)
					out = append(out, c)
					told = append(told, geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: c.At}, Size: r3.Add(c.Size, r3.Vec{X: edge, Y: edge, Z: edge})})
				}
			}
			for _, s := range o.Solids {
				b := s.Bounds(0)
				within := func(t geom.Box) bool { return t.Contains(b.Min) && t.Contains(b.Max) }
				size := r3.Sub(b.Max, b.Min)
				if max(size.X, size.Y, size.Z) > edge && other.States.AllClear(s) && !slices.ContainsFunc(told, within) {
					out = append(out, region(o, b, sort, 1))
				}
			}
		}
	}
	list(old, now, Gone)
	list(now, old, New)
	return out
}

func region(o *scene.Object, b geom.Bounds, sort Sort, through float64) Change {
	return Change{Sort: sort, Name: o.Name, Kind: o.Kind, At: r3.Scale(0.5, r3.Add(b.Min, b.Max)), Size: r3.Sub(b.Max, b.Min), Evidence: through}
}

// voxel is the larger edge of both maps' states, mm.
func voxel(a, b Map) float64 {
	out := 0.0
	for _, m := range [2]Map{a, b} {
		if m.Scene.Space != nil {
			out = max(out, m.Scene.Space.Voxel)
		}
	}
	return out
}
