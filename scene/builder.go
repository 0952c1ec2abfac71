package scene

import (
	"fmt"
	"slices"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/cell"
	"cellwall/scene/space"
)

// fileRounding is taken off the margin wherever the builder asks whether a
// solid holds something, mm: scene.json keeps 1e-4 mm and STL single precision,
// and what holds here must hold for those who read the files.
const fileRounding = 0.01

// builder holds what the solids of one scene are made from.
type builder struct {
	cloud          *mapping.Cloud
	margin, behind float64
	sheets         []*surface.Surface // every plane that was found
	rays           []ray
	cover          *cover
	states         *space.States // nil where they are not known
}

func newBuilder(want cell.Scene, cloud *mapping.Cloud, found *fit.Findings, states *space.States) *builder {
	b := &builder{
		cloud: cloud, margin: want.Margin, behind: want.Behind,
		rays: someRays(cloud), states: states,
		cover: newCover(cloud, max(0, want.Margin-fileRounding)),
	}
	note := func(s *surface.Surface) {
		if s.Cylinder == nil && len(s.Outline) >= 3 {
			b.sheets = append(b.sheets, s)
		}
	}
	for i := range found.Objects {
		for j := range found.Objects[i].Faces {
			note(&found.Objects[i].Faces[j].Surface)
		}
	}
	for i := range found.Loose {
		note(&found.Loose[i])
	}
	return b
}

// prove holds the voxels that were left for the remainder against the finished
// scene. The others were held before, and adding solids takes nothing away.
func (b *builder) prove(left []int32) error {
	out := slices.DeleteFunc(left, func(i int32) bool { return b.cover.holds(b.cloud.Voxels[i].Bounds) })
	if len(out) == 0 {
		return nil
	}
	v := &b.cloud.Voxels[out[0]]
	return fmt.Errorf("%d of %d voxels lie outside the scene, the first at (%.1f, %.1f, %.1f) mm: a fault of the program, please report it",
		len(out), len(b.cloud.Voxels), v.Mean.X, v.Mean.Y, v.Mean.Z)
}
