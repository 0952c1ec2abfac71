package scene

import (
	"cellwall/fit/surface"
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// remainder gives solids to what no object explains: slabs behind the loose
// planes, then convex pieces round the voxels that nothing holds yet, which are
// left.
func (b *builder) remainder(loose []surface.Surface) (out []solid.Solid, left []int32, err error) {
	for i := range loose {
		s := &loose[i]
		if s.Cylinder != nil || len(s.Outline) < 3 || b.held(s.Voxels) {
			continue
		}
		slabs, err := b.slabs(s)
		if err != nil {
			return nil, nil, err
		}
		b.cover.add(slabs...)
		out = append(out, slabs...)
	}
	left = b.cover.left()
	boxes := make([]geom.Bounds, len(left))
	for i, v := range left {
		boxes[i] = padded(b.cloud.Voxels[v].Bounds)
	}
	crumbs, err := wrap(boxes)
	if err != nil {
		return nil, nil, err
	}
	b.cover.add(crumbs...)
	return append(out, crumbs...), left, nil
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
