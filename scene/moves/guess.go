package moves

import (
	"cmp"
	"math"
	"slices"

	"cellwall/mapping/geom"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// farthest is how far the middle of an object may have gone to be searched
	// for by its faces alone, mm: a machine pushed back to its place stands within
	// a hand's width of it.
	farthest = 300
	// mostTurn is how far it may have turned, rad.
	mostTurn = 10 * degree
	// searched is how many of an object's faces, the largest first, are tried.
	searched = 8
)

// search lists the motions, at most n, that lay two upright faces of the old map
// on two of the new one, or one on one, turning about up, and a level face on a
// level one. They
// come with nothing but the faces to speak for them: those first that have the
// most faces in common.
func search(old, new []patch, up r3.Vec, n int) []geom.Pose {
	level := likeliest(guesses(old, new, up), old, new, n)
	var out []geom.Pose
	for _, g := range level {
		out = append(out, g)
		out = append(out, raised(g, old, new, up)...)
	}
	return likeliest(out, old, new, n)
}

// highest is how far something may have been lifted, or lowered, to be searched
// for, mm: shims and levelling feet do less.
const highest = 60

// raised are the guess's motions with the rise that lays the largest level face on
// a new one that it shares area with.
func raised(g geom.Pose, old, new []patch, up r3.Vec) []geom.Pose {
	var top *patch
	for i := range old {
		if p := &old[i]; r3.Dot(p.plane.Normal, up) > math.Cos(20*degree) && (top == nil || p.area > top.area) {
			top = p
		}
	}
	if top == nil {
		return nil
	}
	at := top.moved(g)
	var out []geom.Pose
	for i := range new {
		p := &new[i]
		rise := at.plane.Distance(p.centre)
		if r3.Dot(p.plane.Normal, at.plane.Normal) < math.Cos(slacks[0].turn) || math.Abs(rise) > highest {
			continue
		}
		if shared(&at, p, p.plane.Frame(p.centre)) > 0 {
			out = append(out, geom.Pose{R: g.R, T: r3.Add(g.T, r3.Scale(rise, up))})
		}
	}
	return out
}

// guesses are the level ones: the object's height stays, for it stands on
// something.
func guesses(old, new []patch, up r3.Vec) []geom.Pose {
	large := slices.Clone(old)
	slices.SortStableFunc(large, func(a, b patch) int { return cmp.Compare(b.area, a.area) })
	large = upright(large, up)
	large = large[:min(len(large), searched)]
	fresh := upright(new, up)
	var out []geom.Pose
	for i := range large {
		out = append(out, layOne(&large[i], fresh, up)...)
		for j := range large[:i] {
			if math.Abs(r3.Dot(large[i].plane.Normal, large[j].plane.Normal)) > math.Cos(60*degree) {
				continue
			}
			out = append(out, lay(&large[i], &large[j], fresh, up)...)
		}
	}
	return out
}

// upright keeps the faces that stand within 20 degrees of upright.
func upright(all []patch, up r3.Vec) []patch {
	var out []patch
	for _, p := range all {
		if math.Abs(r3.Dot(p.plane.Normal, up)) < math.Sin(20*degree) {
			out = append(out, p)
		}
	}
	return out
}

// lay lists the motions that lay a and b on any two of the new faces.
func lay(a, b *patch, fresh []patch, up r3.Vec) []geom.Pose {
	var out []geom.Pose
	for i := range fresh {
		yaw := turnAbout(up, a.plane.Normal, fresh[i].plane.Normal)
		if math.Abs(yaw) > mostTurn {
			continue
		}
		r := geom.Exp(r3.Scale(yaw, up))
		for k := range fresh {
			n := r.Apply(b.plane.Normal)
			if k == i || r3.Dot(n, fresh[k].plane.Normal) < math.Cos(slacks[0].turn) {
				continue
			}
			if p, ok := shiftTo(r, a, b, &fresh[i], &fresh[k], up); ok && r3.Norm(r3.Sub(p.Apply(a.centre), a.centre)) < farthest {
				out = append(out, p)
			}
		}
	}
	return out
}

// layOne lists the motions that lay one face on any of the new ones, straight
// ahead: of a machine whose sides were not seen again, its front and what is
// parallel to it still tell where it went but for the way along them.
func layOne(a *patch, fresh []patch, up r3.Vec) []geom.Pose {
	var out []geom.Pose
	for i := range fresh {
		yaw := turnAbout(up, a.plane.Normal, fresh[i].plane.Normal)
		off := fresh[i].plane.Distance(a.centre)
		if math.Abs(yaw) > mostTurn || math.Abs(off) > farthest {
			continue
		}
		out = append(out, rigid.About(a.centre, r3.Scale(-off, fresh[i].plane.Normal), r3.Scale(yaw, up)))
	}
	return out
}

// turnAbout is the angle about up from direction a to b, both seen from above.
func turnAbout(up, a, b r3.Vec) float64 {
	a, b = r3.Sub(a, r3.Scale(r3.Dot(a, up), up)), r3.Sub(b, r3.Scale(r3.Dot(b, up), up))
	return math.Atan2(r3.Dot(up, r3.Cross(a, b)), r3.Dot(a, b))
}

// shiftTo is the motion with the turn r, and no rise, that brings the centres of
// a and b into the planes of c and d.
func shiftTo(r geom.Rot, a, b, c, d *patch, up r3.Vec) (geom.Pose, bool) {
	at, bt := r.Apply(a.centre), r.Apply(b.centre)
	level := geom.Plane{Normal: up, Offset: r3.Dot(up, r3.Sub(a.centre, at))}
	t, ok := geom.Meet(
		geom.Plane{Normal: c.plane.Normal, Offset: -c.plane.Distance(at)},
		geom.Plane{Normal: d.plane.Normal, Offset: -d.plane.Distance(bt)},
		level)
	return geom.Pose{R: r, T: t}, ok
}

// likeliest are the guesses whose faces share the most, at most n of them.
func likeliest(all []geom.Pose, old, new []patch, n int) []geom.Pose {
	type ranked struct {
		geom.Pose
		shared float64
	}
	rank := make([]ranked, len(all))
	for i, g := range all {
		rank[i] = ranked{g, area(pairs(old, new, g, slacks[1]))}
	}
	slices.SortStableFunc(rank, func(a, b ranked) int { return cmp.Compare(b.shared, a.shared) })
	var out []geom.Pose
	for _, r := range rank[:min(n, len(rank))] {
		out = append(out, r.Pose)
	}
	return out
}
