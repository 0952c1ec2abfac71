package shape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	againstCost = 2.0  // a ray that went through the model speaks as loud as two patches on it
	insideSolid = 3.0  // mm: rounding, noise and disagreeing sweeps end before this depth
	mostAgainst = 0.1  // of the rays on and through it
	leastFits   = 0.6  // of the patches close to the surface that lie on it: else it is of another shape
	leastSeen   = 0.04 // of the surface: less may be the corner of anything
	leastOn     = 25   // patches
	// Two poses fit alike where what one explains and the other does not is less
	// than this share of what it explains, and than this many patches.
	telling      = 0.04
	leastTelling = 8
	lookCloser   = "close passes over the object from two or three sides"
)

// judge counts the patches that the pose explains, those close by that it does
// not, and the rays that went through it.
func (f *fit) judge() {
	v := f.view
	f.explained, f.near, f.against = make([]bool, len(v.patches)), 0, 0
	f.score = 0
	if f.failed {
		return
	}
	inv := f.pose.Inverse()
	gate := max(closeGate, v.pitch/4)
	on := 0
	for i := range v.patches {
		p := &v.patches[i]
		if !p.oriented() {
			continue
		}
		q, n := inv.Apply(p.Mean), inv.R.Apply(p.normal)
		if r3.Norm(r3.Sub(q, v.model.middle)) > v.model.reach()+v.pitch {
			continue
		}
		k, foot := v.model.tree.nearest(q, n, v.pitch)
		if k < 0 {
			continue
		}
		facet := v.model.tree.facets[k].Normal()
		d := r3.Sub(q, foot)
		off := r3.Dot(facet, d)
		if r3.Norm2(d)-off*off > v.pitch*v.pitch/4 {
			continue
		}
		f.near++
		if math.Abs(off) < gate && r3.Dot(facet, n) > likeness {
			f.explained[i] = true
			on++
		}
	}
	f.against = f.pierced()
	f.score = float64(on) - againstCost*float64(f.against)
}

// pierced counts the patches of any kind that lie inside the model, or were seen
// through it.
func (f *fit) pierced() int {
	v, inv := f.view, f.pose.Inverse()
	cells := map[[3]int32]bool{}
	for i := range v.cloud.Voxels {
		vox := &v.cloud.Voxels[i]
		d := inv.R.Apply(vox.Toward)
		q := inv.Apply(vox.Mean)
		if passes(q, d, v.model.middle) > v.model.reach() || vox.N < 2 {
			continue
		}
		if v.model.tree.inside(q, d) > insideSolid {
			// by where the ray meets the model, so that rays from afar count
			// no more than what they passed through
			cells[v.cell(r3.Add(vox.Mean, r3.Scale(max(0, r3.Dot(r3.Sub(f.centre(), vox.Mean), vox.Toward)), vox.Toward)))] = true
		}
	}
	return len(cells)
}

// passes is the least distance from c to the ray from q along the unit vector d.
func passes(q, d, c r3.Vec) float64 {
	t := max(0, r3.Dot(r3.Sub(c, q), d))
	return r3.Norm(r3.Sub(r3.Add(q, r3.Scale(t, d)), c))
}

// on is how many patches the pose explains.
func (f *fit) on() (n int) {
	for _, e := range f.explained {
		if e {
			n++
		}
	}
	return n
}

// seen is the share of the model's surface that was seen.
func (f *fit) seen() float64 {
	return min(1, float64(f.on())*f.view.pitch*f.view.pitch/f.view.model.area)
}
