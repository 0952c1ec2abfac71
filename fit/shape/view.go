package shape

import (
	"math"
	"slices"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// view is what was seen where the object is looked for, cut into patches with
// normals.
type view struct {
	cloud   *mapping.Cloud
	model   *Model
	want    Want
	pitch   float64 // edge of the patches' grid, mm
	patches []patch
	at      map[[3]int32]int32 // grid cell -> patch
}

// patch is a cell of the grid with the points of all scans in it.
type patch struct {
	geom.Moments
	cell   [3]int32
	normal r3.Vec // toward the side from which it was seen; zero at an edge, or of too few points
	toward r3.Vec // to the scanner, unit
}

const (
	finestPitch  = 4.0  // mm: finer patches hold too few points for a normal
	pitchShare   = 0.06 // of the model's size: some ten patches across it
	minPatch     = 8    // points round a patch, for a normal
	leastPatches = 20
	grazing      = 0.17 // cosine: past 80 degrees a return says little of a face
)

func look(c *mapping.Cloud, m *Model, want Want) *view {
	v := &view{cloud: c, model: m, want: want, at: map[[3]int32]int32{}}
	v.pitch = max(finestPitch, pitchShare*m.size/2, v.usualEdge())
	for _, i := range want.Voxels {
		vox := &c.Voxels[i]
		if float64(vox.Edge) > 1.5*v.pitch || !v.wanted(vox.Mean) {
			continue
		}
		key := v.cell(vox.Mean)
		k, ok := v.at[key]
		if !ok {
			k = int32(len(v.patches))
			v.at[key] = k
			v.patches = append(v.patches, patch{cell: key})
		}
		p := &v.patches[k]
		p.Merge(vox.Moments)
		p.toward = r3.Add(p.toward, r3.Scale(vox.N, vox.Toward))
	}
	for i := range v.patches {
		v.orient(&v.patches[i])
	}
	return v
}

// usualEdge is the median edge of the voxels near the hint.
func (v *view) usualEdge() float64 {
	var edges []float32
	for _, i := range v.want.Voxels {
		if vox := &v.cloud.Voxels[i]; v.wanted(vox.Mean) {
			edges = append(edges, vox.Edge)
		}
	}
	if len(edges) == 0 {
		return 0
	}
	slices.Sort(edges)
	return min(float64(edges[len(edges)/2]), pitchShare*v.model.size)
}

// wanted tells whether p may be of the object: all of it lies within its size of
// the hint, where there is one.
func (v *view) wanted(p r3.Vec) bool {
	return v.want.Near == nil || r3.Norm(r3.Sub(p, *v.want.Near)) < v.model.size+v.model.reach()
}

func (v *view) cell(p r3.Vec) [3]int32 {
	return [3]int32{int32(math.Floor(p.X / v.pitch)), int32(math.Floor(p.Y / v.pitch)), int32(math.Floor(p.Z / v.pitch))}
}

// orient gives the patch its normal from the 27 cells round it: none where they
// are thicker than a flat piece is, by noise and sweeps that disagree.
func (v *view) orient(p *patch) {
	p.toward = r3.Unit(p.toward)
	var m geom.Moments
	for dx := int32(-1); dx <= 1; dx++ {
		for dy := int32(-1); dy <= 1; dy++ {
			for dz := int32(-1); dz <= 1; dz++ {
				if k, ok := v.at[[3]int32{p.cell[0] + dx, p.cell[1] + dy, p.cell[2] + dz}]; ok {
					m.Merge(v.patches[k].Moments)
				}
			}
		}
	}
	if m.N < minPatch {
		return
	}
	pl, spread := m.Plane()
	if math.Sqrt(spread[0]) > 0.2*v.pitch || math.Sqrt(spread[1]) < 0.4*v.pitch {
		return
	}
	if p.normal = pl.Normal; r3.Dot(p.normal, p.toward) < 0 {
		p.normal = r3.Scale(-1, p.normal)
	}
}

// oriented tells whether the patch has a normal.
func (p *patch) oriented() bool { return p.normal != r3.Vec{} }
