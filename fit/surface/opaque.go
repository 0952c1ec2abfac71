package surface

import (
	"cellwall/mapping/cores"

	"gonum.org/v1/gonum/spatial/r3"
)

// One sweep cannot see two sheets of which one lies right behind the other. Where
// a region's voxels lie among those of a larger one that runs along it, they are
// not a face but what falls out of the band about that face: tails of the noise
// of a far line, points that the laser's spot mixed of two places on a surface
// that it grazes.

// amongMost is the share of a region's voxels that may lie among those of another
// face: along its rim some do.
const amongMost = 0.5

// unveil gives up the regions that lie among the voxels of a larger one.
func (f *field) unveil() {
	veiled := make([]bool, len(f.regions))
	cores.Each(len(f.regions), func(i int) { veiled[i] = f.veiled(int32(i)) })
	for i, o := range f.owner {
		if o != none && veiled[o] {
			f.owner[i] = none
		}
	}
	f.drop(func(i int) bool { return veiled[i] })
}

// veiled tells whether most of region b's voxels lie in nodes in which the same
// sweep saw more of a larger region that runs along it.
func (f *field) veiled(b int32) bool {
	r := &f.regions[b]
	level := f.fine(r)
	among := 0
	for i := 0; i < len(r.members); {
		code := f.spots[r.members[i]].code >> (3 * level)
		own := i
		for i < len(r.members) && f.spots[r.members[i]].code>>(3*level) == code {
			i++
		}
		nd := &f.levels[level][f.index[level].find(code)]
		if f.mingled(b, nd) {
			among += i - own
		}
	}
	return float64(among) > amongMost*float64(len(r.members))
}

// fine is the level of the smallest nodes of two voxels of the region.
func (f *field) fine(r *region) int {
	var widest float32
	for _, m := range r.members {
		widest = max(widest, f.spots[m].edge)
	}
	level := 0
	for level < f.near && edge(level) < 2*float64(widest) {
		level++
	}
	return level
}

// mingled tells whether a node of region b holds a good part of larger regions
// along it.
func (f *field) mingled(b int32, nd *node) bool {
	mine, others := 0, 0
	for _, o := range f.owner[nd.first:nd.last] {
		switch {
		case o == none:
		case o == b:
			mine++
		case f.regions[o].points > f.regions[b].points && r3.Dot(f.regions[o].plane.Normal, f.regions[b].plane.Normal) > parallel:
			others++
		}
	}
	return others*3 >= mine
}
