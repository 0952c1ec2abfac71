package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"slices"

	"cellwall/fixtures"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/changes"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r3"
)

// changesTally gathers over all cells what was said of things that were altered,
// and of those that were not.
type changesTally struct {
	cells               int
	right, wrong, blind map[string]int // by alteration; blind: the scans do not show it
	still, alarms, gone int            // things that stayed, those said to have changed, those said to be gone
}

// changesTrials tries n cells from a seed on.
func changesTrials(m maps, n int, seed uint64, density float64, verbose bool) {
	sum := changesTally{right: map[string]int{}, wrong: map[string]int{}, blind: map[string]int{}}
	for i := range n {
		if err := changesTrial(os.Stdout, m, seed+uint64(i), density, verbose, &sum); err != nil {
			fmt.Fprintf(os.Stderr, "trials: seed %d: %v\n", seed+uint64(i), err)
		}
	}
	sum.show(os.Stdout)
}

// alteration is one thing that was altered, with all the places that it takes or
// took.
type alteration struct {
	what, name string
	was, is    *place // nil where it did not stand, or does not
}

// changesTrial maps a random cell, then the same cell with things altered.
func changesTrial(w io.Writer, m maps, seed uint64, density float64, verbose bool, sum *changesTally) error {
	s := m.one(seed, density)
	altered := fixtures.Alter(s, seed)
	oldShop, old, err := m.of(s, fmt.Sprintf("%d-old", seed))
	if err != nil {
		return err
	}
	newShop, now, err := m.of(altered.Settings, fmt.Sprintf("%d-altered", seed))
	if err != nil {
		return err
	}
	sum.cells++
	told := changes.Between(old, now, level)
	all := alterations(&altered, oldShop, newShop)
	for _, a := range all {
		verdict := a.judge(told, old, now)
		map[string]map[string]int{"right": sum.right, "wrong": sum.wrong, "blind": sum.blind}[verdict][a.what]++
		if verdict != "right" || verbose {
			fmt.Fprintf(w, "seed %d: %s %s: %s\n", seed, a.name, a.what, verdict)
			a.list(w, told)
		}
	}
	sum.others(w, seed, newShop, told, all)
	return nil
}

func alterations(a *fixtures.Altered, old, now *fixtures.Shop) []alteration {
	var out []alteration
	for _, n := range a.Added {
		out = append(out, alteration{"added", n, nil, placeOf(now, n)})
	}
	for _, n := range a.Removed {
		out = append(out, alteration{"removed", n, placeOf(old, n), nil})
	}
	for _, n := range a.Moved {
		out = append(out, alteration{"moved", n, placeOf(old, n), placeOf(now, n)})
	}
	if a.Leaf {
		if now.Settings.Mill.DoorLeaf > 0 {
			out = append(out, alteration{"door", "leaf", nil, leafOf(now)})
		} else {
			out = append(out, alteration{"door", "leaf", leafOf(old), nil})
		}
	}
	return out
}

// place is an upright box, from the floor up.
type place struct{ geom.Box }

// about is how far beside a thing what is said of it may lie, mm.
const about = 60

// placeOf is the place of a thing and of what may lie on it.
func placeOf(shop *fixtures.Shop, name string) *place {
	const above = 400
	o, _ := shop.Truth.Object(name)
	b := o.Boxes[0]
	low := b.Pose.T.Z - b.Size.Z/2
	foot := -shop.Settings.Room.BaseHeight - 100
	b.Size = r3.Add(b.Size, r3.Vec{X: 2 * about, Y: 2 * about, Z: above + low - foot})
	b.Pose.T.Z += (above + foot - low) / 2
	return &place{b}
}

// leafOf is the place of the open leaf, before the front on the right.
func leafOf(shop *fixtures.Shop) *place {
	m := shop.Settings.Mill
	mill, _ := shop.Truth.Object("mill")
	lo := r3.Vec{X: -m.DoorLeaf - 60, Y: m.Opening.YMin - 80 - m.Width/2, Z: m.Opening.ZMin - 60}
	hi := r3.Vec{X: 60, Y: m.Opening.YMin, Z: m.Opening.ZMax + 60}
	mid := mill.Body.Apply(r3.Scale(0.5, r3.Add(lo, hi)))
	return &place{geom.Box{Pose: geom.Pose{R: mill.Body.R, T: mid}, Size: r3.Sub(hi, lo)}}
}

// holds tells whether what is said at a place is said of this one.
func (p *place) holds(at r3.Vec) bool { return p != nil && p.Contains(at) }

// states is the share of the place that rays went through, and that of what was
// seen solid.
func (p *place) states(s changes.Seen) (clear, solid float64) {
	const n = 14
	for i := range n {
		for j := range n {
			for k := range n {
				q := r3.Vec{X: p.Size.X * step(i, n), Y: p.Size.Y * step(j, n), Z: p.Size.Z * step(k, n)}
				switch s.State(p.Pose.Apply(q)) {
				case space.Clear:
					clear++
				case space.Solid:
					solid++
				}
			}
		}
	}
	return clear / (n * n * n), solid / (n * n * n)
}

func step(i, n int) float64 { return (float64(i)+.5)/float64(n) - .5 }

// judge says whether an alteration was named: right, wrong, or blind where the
// scans do not show enough of it for anybody to name it.
func (a *alteration) judge(told []changes.Change, old, now changes.Map) string {
	sorts := func(p *place, any ...changes.Sort) bool {
		return slices.ContainsFunc(told, func(c changes.Change) bool {
			return p.holds(c.At) && slices.Contains(any, c.Sort)
		})
	}
	const known = 0.5
	switch a.what {
	case "added":
		was, _ := a.is.states(old.States)
		switch {
		case sorts(a.is, changes.New), sorts(a.is, changes.NotBefore) && was < known:
			return "right"
		case !shows(now.Scene, a.is):
			return "blind"
		}
	case "removed":
		is, _ := a.was.states(now.States)
		switch {
		case sorts(a.was, changes.Gone):
			return "right"
		case !shows(old.Scene, a.was), sorts(a.was, changes.NotSeen) && is < known:
			return "blind"
		}
	case "moved":
		switch {
		case sorts(a.was, changes.Moved):
			return "right"
		case !table(old.Scene, a.was), !table(now.Scene, a.is), sorts(a.was, changes.InPart):
			return "blind"
		}
	case "door":
		at := a.is
		if at == nil {
			at = a.was
		}
		door := func(c changes.Change) bool { return c.Kind == "enclosure" && c.Sort == changes.Resized }
		if sorts(at, changes.New, changes.Gone, changes.Moved, changes.Resized) || slices.ContainsFunc(told, door) {
			return "right"
		}
		if a.is != nil && !shows(now.Scene, at) || a.is == nil && !shows(old.Scene, at) {
			return "blind"
		}
	}
	return "wrong"
}

// table tells whether a table was located at the place.
func table(s *scene.Scene, p *place) bool {
	return slices.ContainsFunc(s.Objects, func(o scene.Object) bool { return o.Kind == "table" && p.Contains(o.Pose.T) })
}

// shows tells whether an object of its own was fitted at the place.
func shows(s *scene.Scene, p *place) bool {
	for i := range s.Objects {
		o := &s.Objects[i]
		for k := range o.Faces {
			if o.Kind != scene.Remainder && o.Kind != "floor" && o.Kind != "wall" && p.Contains(o.Faces[k].Centre) {
				return true
			}
		}
	}
	return false
}

func (a *alteration) list(w io.Writer, told []changes.Change) {
	for _, c := range told {
		if a.was.holds(c.At) || a.is.holds(c.At) {
			fmt.Fprintf(w, "    %s %s (%s) at (%.0f, %.0f, %.0f), rays %.2f, %v %v\n", c.Sort, c.Name, c.Kind, c.At.X, c.At.Y, c.At.Z, c.Evidence, c.Unlike, slices.Concat(c.Vanished, c.Appeared))
		}
	}
}

// others counts what is said of all that was not altered.
func (t *changesTally) others(w io.Writer, seed uint64, shop *fixtures.Shop, told []changes.Change, all []alteration) {
	for _, c := range told {
		if slices.ContainsFunc(all, func(a alteration) bool {
			return a.was.holds(c.At) || a.is.holds(c.At) || a.what == "door" && c.Kind == "enclosure"
		}) {
			continue
		}
		t.still++
		switch c.Sort {
		case changes.Gone:
			if shop.Distance(c.At) < about {
				t.gone++
			}
			fallthrough
		case changes.New, changes.Moved, changes.Resized:
			t.alarms++
			fmt.Fprintf(w, "seed %d: nothing happened to %s %s (%s) at (%.0f, %.0f, %.0f), %.0f mm from anything: shift %.2f, rays %.2f, %v %v %v\n",
				seed, c.Sort, c.Name, c.Kind, c.At.X, c.At.Y, c.At.Z, shop.Distance(c.At), c.Shift, c.Evidence, c.Sizes, c.Unlike, slices.Concat(c.Vanished, c.Appeared))
		}
	}
}

func (t *changesTally) show(w io.Writer) {
	fmt.Fprintf(w, "\n%d cells\n", t.cells)
	right, all := 0, 0
	for _, what := range [...]string{"added", "removed", "moved", "door"} {
		fmt.Fprintf(w, "%-8s named rightly %d, wrongly %d; not shown by the scans %d\n", what, t.right[what], t.wrong[what], t.blind[what])
		right, all = right+t.right[what], all+t.right[what]+t.wrong[what]
	}
	fmt.Fprintf(w, "together %d of %d (%.1f %%)\n", right, all, 100*float64(right)/math.Max(1, float64(all)))
	fmt.Fprintf(w, "of %d things that stayed %d were said to have changed, %d of them to be gone\n", t.still, t.alarms, t.gone)
}
