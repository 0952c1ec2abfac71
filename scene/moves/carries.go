package moves

import (
	"math"

	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// widest is how many jaw widths wide the body of a vise is at most (common practice: a
// vise's body is about as wide as its jaws); a machine's table is several times wider.
const widest = 2

// carries tells whether the block is the body that a vise's jaws stand on: it ends at
// their foot, lies under the gap between them, and is too narrow for a table.
func carries(block, vise *scene.Object) bool {
	width, high, open := vise.Measures["jaw_width_mm"].Value, vise.Measures["jaw_height_mm"].Value, vise.Measures["opening_mm"].Value
	if width == 0 || high == 0 || len(block.Faces) == 0 {
		return false
	}
	in, b := vise.Pose.Inverse(), geom.NoBounds()
	for i := range block.Faces {
		for _, p := range block.Faces[i].Outline {
			b.Extend(in.Apply(p))
		}
	}
	foot := r3.Vec{Y: open / 2, Z: -high}
	slack := slacks[len(slacks)-1].offset
	return math.Abs(b.Max.Z-foot.Z) < slack && b.Min.X < 0 && b.Max.X > 0 && b.Min.Y < foot.Y && b.Max.Y > foot.Y && b.Max.X-b.Min.X < widest*width
}
