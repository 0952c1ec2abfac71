package scene

import (
	"fmt"
	"maps"
	"slices"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// remainder is what no object explains: the loose planes with slabs behind
// them (the faint ones as slabs only), then convex pieces round the voxels that nothing holds yet, which are
// left.
func (b *builder) remainder(loose []surface.Surface) (rest Object, left []int32, err error) {
	rest = Object{Object: fit.Object{Name: string(Remainder), Kind: Remainder}, Margin: b.margin}
	for i := range loose {
		s := &loose[i]
		if s.Cylinder != nil || len(s.Outline) < 3 {
			continue
		}
		if !s.Faint() {
			rest.Faces = append(rest.Faces, fit.Face{Name: fmt.Sprintf("plane-%d", len(rest.Faces)+1), Surface: *s})
		}
		if b.held(s.Voxels) {
			continue
		}
		slabs, err := b.slabs(s, b.behind)
		if err != nil {
			return rest, nil, err
		}
		b.cover.add(slabs...)
		rest.Solids = append(rest.Solids, slabs...)
	}
	left = b.cover.left()
	crumbs, err := b.crumbs(left)
	if err != nil {
		return rest, nil, err
	}
	b.cover.add(crumbs...)
	rest.Solids = append(rest.Solids, crumbs...)
	rest.ClearTaken = b.clearTaken(rest.Solids)
	return rest, left, nil
}

// finest is the edge of the cells in which wrapping counts what is occupied, mm:
// about a voxel of what was measured from nearby.
const finest = 25

// crumbs are the solids round the voxels left, wrapped on a grid as coarse as
// they are: what was scanned with lines far apart hangs together all the same.
func (b *builder) crumbs(left []int32) ([]solid.Solid, error) {
	boxes := make(map[grid][]geom.Bounds)
	for _, i := range left {
		v := &b.cloud.Voxels[i]
		g := grid(max(finest, v.Edge))
		boxes[g] = append(boxes[g], padded(v.Bounds))
	}
	var out []solid.Solid
	for _, g := range slices.Sorted(maps.Keys(boxes)) {
		s, err := g.wrap(boxes[g], b.swallows)
		if err != nil {
			return nil, err
		}
		out = append(out, s...)
	}
	return out, nil
}

// held tells whether the solids so far explain a loose surface.
func (b *builder) held(voxels []int32) bool {
	held := 0
	for _, i := range voxels {
		if b.cover.holds(b.cloud.Voxels[i].Bounds) {
			held++
		}
	}
	return held > 0 && float64(held) >= explained*float64(len(voxels))
}

// padded keeps a voxel with a single point from being flat.
func padded(b geom.Bounds) geom.Bounds {
	const pad = leastThick / 2.
	p := r3.Vec{X: pad, Y: pad, Z: pad}
	return geom.Bounds{Min: r3.Sub(b.Min, p), Max: r3.Add(b.Max, p)}
}
