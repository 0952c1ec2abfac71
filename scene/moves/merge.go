package moves

import (
	"fmt"
	"maps"
	"slices"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// Scene puts one scene together from both maps, every object marked with the map
// that it comes from. What is not told apart from still, or was not seen, stays as
// the old map has it. What moved is taken along with all that the old map saw of
// it and of what stands in it, and what the new map measured of it is kept beside,
// so that nothing measured is lost. Where a move leaves a direction open, what went
// with a machine as far as it is told is taken along with that; else the old object
// is dropped: the new map's own takes its place, or it is listed as not located. The states of space, which no longer hold, are left out. It fails where
// a solid cannot be built at its new place.
func (c *Comparison) Scene(old, now *scene.Scene) (*scene.Scene, error) {
	g := &merger{Comparison: c, now: now, out: &scene.Scene{
		Cell: old.Cell, Points: now.Points, Agreement: now.Agreement, NotLocated: slices.Clone(now.NotLocated),
	}, kept: map[string]bool{}}
	for _, name := range old.Scans {
		g.out.Scans = append(g.out.Scans, "old "+name)
	}
	g.out.Scans = append(g.out.Scans, now.Scans...)
	for i := range old.Objects {
		if err := g.take(&old.Objects[i]); err != nil {
			return nil, fmt.Errorf("object %q: %w", old.Objects[i].Name, err)
		}
	}
	for i := range now.Objects {
		if o := now.Objects[i]; !g.kept[o.Name] {
			g.addNew(o, int32(len(old.Scans)))
		}
	}
	return g.out, nil
}

// merger puts a scene together.
type merger struct {
	*Comparison
	now, out *scene.Scene
	kept     map[string]bool // objects of the new map that one of the old map stands for
}

// take takes in an object of the old map.
func (g *merger) take(o *scene.Object) error {
	m, told := g.Move(o.Name)
	home, housed := g.Move(o.Inside)
	switch {
	case o.Kind == scene.Remainder:
		return g.rest(o)
	case told && m.With != "" && len(m.Loose) > 0:
		with, _ := g.Move(m.With)
		return g.carried(o, with.Pose)
	case told && !m.Moved:
		g.keep(o, m)
		g.add(*o, scene.FromOld)
	case told && len(m.Loose) > 0:
		g.drop(o, m)
	case told:
		return g.carried(o, m.Pose)
	case housed && home.Moved && len(home.Loose) == 0: // not seen, in a machine that moved
		return g.carried(o, home.Pose)
	default:
		g.add(*o, scene.FromOld)
	}
	return nil
}

// keep notes which objects of the new map a still one stands for: those of which
// it holds every face.
func (g *merger) keep(o *scene.Object, m *Move) {
	if m.By == ByDatum {
		g.kept[m.Twin] = true
		return
	}
	faces := map[string]int{}
	for _, s := range m.Shared {
		faces[s.New.Object]++
	}
	for name, n := range faces {
		if i := slices.IndexFunc(g.now.Objects, func(p scene.Object) bool { return p.Name == name }); i >= 0 && n >= len(g.now.Objects[i].Faces) {
			g.kept[name] = true
		}
	}
}

// drop leaves out an object that moved by what is not all told.
func (g *merger) drop(o *scene.Object, m *Move) {
	if find(g.now, o.Name, o.Kind) == nil {
		g.out.NotLocated = append(g.out.NotLocated, fit.Refusal{
			Name: o.Name, Kind: o.Kind, Reason: fmt.Sprintf("it moved, and no shared surface determines %v", m.Loose[0]),
			ScanNext: "a surface of it that faces that way",
		})
	}
}

// carried adds an object of the old map where a motion takes it.
func (g *merger) carried(o *scene.Object, by geom.Pose) error {
	at, err := o.MovedBy(by)
	if err == nil {
		g.add(at, scene.OldMoved)
	}
	return err
}

// rest adds the old map's solids round what belongs to no object: those within a
// machine that moved went with it.
func (g *merger) rest(o *scene.Object) error {
	still, went := *o, map[string]*scene.Object{}
	still.Solids, still.Faces = nil, o.Faces
	for _, s := range o.Solids {
		b := s.Bounds(0)
		m := g.holder(r3.Scale(0.5, r3.Add(b.Min, b.Max)))
		if m == nil {
			still.Solids = append(still.Solids, s)
			continue
		}
		if went[m.Name] == nil {
			part := *o
			part.Name, part.Inside, part.Solids, part.Faces = o.Name+"-"+m.Name, m.Name, nil, nil
			went[m.Name] = &part
		}
		went[m.Name].Solids = append(went[m.Name].Solids, s)
	}
	if len(still.Solids) > 0 {
		g.add(still, scene.FromOld)
	}
	for _, name := range slices.Sorted(maps.Keys(went)) {
		m, _ := g.Move(name)
		if err := g.carried(went[name], m.Pose); err != nil {
			return err
		}
	}
	return nil
}

// holder is the machine in whose faces' box, in its datum, the point lies, if it
// moved and its move is all told.
func (g *merger) holder(p r3.Vec) *Move {
	for i := range g.Moves {
		m := &g.Moves[i]
		if m.Kind == fit.Enclosure && m.Moved && len(m.Loose) == 0 && m.holds(p) {
			return m
		}
	}
	return nil
}

// add gives the scene an object of the old map; the scene's scans begin with the
// old map's.
func (g *merger) add(o scene.Object, from scene.Origin) {
	o.Origin = from
	g.put(o)
}

// addNew gives the scene an object of the new map, whose scans follow the old ones.
func (g *merger) addNew(o scene.Object, first int32) {
	o.Origin = scene.FromNew
	o.Faces = slices.Clone(o.Faces)
	for i := range o.Faces {
		scans := slices.Clone(o.Faces[i].Scans)
		for k := range scans {
			scans[k] += first
		}
		o.Faces[i].Scans = scans
	}
	g.put(o)
}

// put adds an object under a name of its own.
func (g *merger) put(o scene.Object) {
	taken := func(p scene.Object) bool { return p.Name == o.Name }
	if slices.ContainsFunc(g.out.Objects, taken) {
		o.Name += " (" + string(o.Origin) + ")"
	}
	g.out.Objects = append(g.out.Objects, o)
}
