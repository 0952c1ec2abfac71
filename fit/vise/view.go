package vise

import (
	"math"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// view is the cloud inside the place, cut into small patches whose attitude is
// known.
type view struct {
	cloud   *mapping.Cloud
	place   Place
	up      r3.Vec
	voxels  []int32 // indices into cloud.Voxels, inside the place
	pitch   float64 // edge length of the patches' grid, mm
	apart   bool    // wide voxels that kept their points count by these
	patches []patch
	at      map[uint64]int32 // grid cell -> patch
	hits    hits             // memory of the layer looked at last
}

// patch is a cell of the view's grid with the points of all scans in it.
type patch struct {
	geom.Moments
	cell   [3]int32
	normal r3.Vec // toward the side from which it was seen
	lies   attitude
}

// attitude sorts patches by their normal.
type attitude int

const (
	unclear attitude = iota // an edge, a corner, or too few points
	level                   // looking up
	upright                 // looking sideways
	sloping
)

const (
	finestPitch   = 5.0  // mm: four patches across the least jaw height of the trade
	coarsestPitch = 15.0 // mm: beyond, a jaw has no patch free of its edges
	fewVoxels     = 300  // a size of voxels that fewer than this have is not what the place was scanned with
	minPatch      = 8    // points around a patch, for a normal
)

// tiltLimit: a vise stands level but for shims and the floor's slope. Patches
// scatter by some degrees more.
var (
	cosLevel  = math.Cos(14 * math.Pi / 180)
	sinUpward = math.Sin(14 * math.Pi / 180)
)

// look cuts the cloud inside the place into the finest patches that it has points
// for.
func look(c *mapping.Cloud, place Place) *view {
	v := &view{cloud: c, place: place, up: place.Frame.R.Axis(2)}
	inside := place.Box
	for i := range c.Voxels {
		if inside.Contains(c.Voxels[i].Mean) {
			v.voxels = append(v.voxels, int32(i))
		}
	}
	v.cut(v.finest())
	return v
}

// coarser is the same cloud in patches twice as large; nil where these would be too
// large. Scans lie closer together where they were made from near: of a vise beside
// the one that was looked at, the finest patches hold too few points each.
func (v *view) coarser() *view {
	if 2*v.pitch > coarsestPitch {
		return nil
	}
	c := &view{cloud: v.cloud, place: v.place, up: v.up, voxels: v.voxels, apart: true}
	c.cut(2 * v.pitch)
	return c
}

// cut makes the patches.
func (v *view) cut(pitch float64) {
	v.pitch, v.at = pitch, map[uint64]int32{}
	toward := v.fill()
	for i := range v.patches {
		v.orient(&v.patches[i], toward[i])
	}
}

// finest is the edge length of the finest voxels of which there are enough to
// see a vise by.
func (v *view) finest() float64 {
	count := map[float32]int{}
	for _, i := range v.voxels {
		count[v.cloud.Voxels[i].Edge]++
	}
	edge := coarsestPitch
	for e, n := range count {
		if n >= fewVoxels {
			edge = min(edge, float64(e))
		}
	}
	return max(edge, finestPitch)
}

// fill merges the voxels into patches and returns, beside each, the summed
// direction toward the scanner.
func (v *view) fill() []r3.Vec {
	var toward []r3.Vec
	for _, i := range v.voxels {
		vox := &v.cloud.Voxels[i]
		if !v.uses(vox) {
			continue
		}
		patchAt := func(p r3.Vec, n float64) *patch {
			key := v.cell(p)
			k, ok := v.at[packed(key)]
			if !ok {
				k = int32(len(v.patches))
				v.at[packed(key)] = k
				v.patches = append(v.patches, patch{cell: key})
				toward = append(toward, r3.Vec{})
			}
			toward[k] = r3.Add(toward[k], r3.Scale(n, vox.Toward))
			return &v.patches[k]
		}
		if !v.wide(vox) {
			patchAt(vox.Mean, vox.N).Merge(vox.Moments)
			continue
		}
		n := vox.N / float64(vox.Kept)
		v.each(vox, func(p r3.Vec) { patchAt(p, n).Add(p, n) })
	}
	return toward
}

// wide tells whether the voxel is too wide to tell a jaw by.
func (v *view) wide(vox *mapping.Voxel) bool { return float64(vox.Edge) > 1.5*v.pitch }

// uses tells whether the voxel is fine enough, or its points by themselves are.
func (v *view) uses(vox *mapping.Voxel) bool { return !v.wide(vox) || v.apart && vox.Kept > 0 }

func (v *view) cell(p r3.Vec) [3]int32 {
	return [3]int32{int32(math.Floor(p.X / v.pitch)), int32(math.Floor(p.Y / v.pitch)), int32(math.Floor(p.Z / v.pitch))}
}

// packed is a cell as one number, 21 bits an axis: the grid reaches further than a
// robot.
func packed(cell [3]int32) uint64 {
	const mask = 1<<21 - 1
	return uint64(cell[0])&mask<<42 | uint64(cell[1])&mask<<21 | uint64(cell[2])&mask
}

// liesAt is the attitude of the patch that holds p.
func (v *view) liesAt(p r3.Vec) attitude {
	if k, ok := v.at[packed(v.cell(p))]; ok {
		return v.patches[k].lies
	}
	return unclear
}

// near calls do with every patch in the cells up to reach away from key.
func (v *view) near(key [3]int32, reach int32, do func(int32)) {
	for dx := -reach; dx <= reach; dx++ {
		for dy := -reach; dy <= reach; dy++ {
			for dz := -reach; dz <= reach; dz++ {
				if k, ok := v.at[packed([3]int32{key[0] + dx, key[1] + dy, key[2] + dz})]; ok {
					do(k)
				}
			}
		}
	}
}

// orient gives the patch its normal from its 27 neighbours and sorts it. A
// neighbourhood that spans an edge is as thick as a fifth of its size and more,
// where a flat one is only as thick as noise and disagreement of sweeps.
func (v *view) orient(p *patch, toward r3.Vec) {
	var m geom.Moments
	v.near(p.cell, 1, func(k int32) { m.Merge(v.patches[k].Moments) })
	if m.N < minPatch {
		return
	}
	pl, spread := m.Plane()
	if math.Sqrt(spread[0]) > 0.2*v.pitch || math.Sqrt(spread[1]) < 0.4*v.pitch {
		return
	}
	if r3.Dot(pl.Normal, toward) < 0 {
		pl.Normal = r3.Scale(-1, pl.Normal)
	}
	p.normal = pl.Normal
	switch c := r3.Dot(pl.Normal, v.up); {
	case c > cosLevel:
		p.lies = level
	case math.Abs(c) < sinUpward:
		p.lies = upright
	default:
		p.lies = sloping
	}
}
