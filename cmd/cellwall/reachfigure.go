package main

import (
	"cmp"
	"fmt"
	"slices"

	"cellwall/export/drawing"
	"cellwall/scene/reach"

	"gonum.org/v1/gonum/spatial/r3"
)

// mostDrawn is how many clearances a drawing shows: more would hide it.
const mostDrawn = 6

// nearestOf are the least clearances of a program, one for each object.
func nearestOf(r *reach.Report) []drawing.Nearest {
	var all []pointed
	for _, m := range r.Moves {
		if m.Scene != nil {
			all = append(all, pointed{m.Name + ": ", m.Scene})
		}
	}
	return drawnOf(all)
}

// nearestObjects are those that the arm does not touch.
func nearestObjects(w *reach.WholeEntry) []drawing.Nearest {
	var all []pointed
	for _, o := range w.Objects {
		if !o.Within {
			n := &reach.Nearness{Least: o.Least, Link: o.Link, Object: o.Object, OnLink: o.OnLink, OnBody: o.OnBody}
			if o.Bound != nil {
				n.Bound = max(0, *o.Bound)
			}
			all = append(all, pointed{"", n})
		}
	}
	return drawnOf(all)
}

// pointed is a clearance and what its label begins with.
type pointed struct {
	prefix string
	*reach.Nearness
}

// drawnOf takes the least clearance of each object, the nearest first.
func drawnOf(all []pointed) []drawing.Nearest {
	slices.SortStableFunc(all, func(a, b pointed) int { return cmp.Compare(a.Least, b.Least) })
	seen := map[string]bool{}
	var out []drawing.Nearest
	for _, n := range all {
		if seen[n.Object] || len(out) == mostDrawn {
			continue
		}
		seen[n.Object] = true
		out = append(out, drawing.Nearest{OnArm: vector(n.OnLink), OnObject: vector(n.OnBody), Hit: n.Least <= 0,
			Text: n.prefix + drawing.ClearanceText(n.Least, n.Bound) + fmt.Sprintf(", %s to %s", n.Link, n.Object)})
	}
	return out
}

func vector(p [3]float64) r3.Vec { return r3.Vec{X: p[0], Y: p[1], Z: p[2]} }
