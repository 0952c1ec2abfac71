package moves

import (
	"cellwall/mapping/geom"
	"cellwall/scene"
)

// widest is how many jaw widths wide the body of a vise is at most (common practice: a
// vise's body is about as wide as its jaws); a machine's table is several times wider.
const widest = 2

// under are the faces of a block that is the body which a vise's jaws stand on: a top of
// it lies at their foot, it reaches under the gap between them, and it is too narrow for
// a table. What rises above their foot, as a part between them does, is not of it. nil
// where the block is none.
func under(block, vise *scene.Object) (out []patch) {
	width, high, open := vise.Measures["jaw_width_mm"].Value, vise.Measures["jaw_height_mm"].Value, vise.Measures["opening_mm"].Value
	in, b := vise.Pose.Inverse(), geom.NoBounds()
	slack, carries := slacks[len(slacks)-1].offset, false
	for _, p := range patches(block) {
		above := in.Apply(p.centre).Z + high
		if above > slack {
			continue
		}
		carries = carries || isLevel(&p, vise.Pose.R.Axis(2)) && -above < slack
		out = append(out, p)
		for _, q := range p.outline {
			b.Extend(in.Apply(q))
		}
	}
	if width == 0 || high == 0 || !carries || b.Max.X-b.Min.X > widest*width ||
		b.Min.X > 0 || b.Max.X < 0 || b.Min.Y > open/2 || b.Max.Y < open/2 {
		return nil
	}
	return out
}
