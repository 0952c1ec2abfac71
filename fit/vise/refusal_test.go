package vise

import (
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Of what does not stand the nearest to the hint is told, but what may be a vise only
// where none is known to be.
func TestRefusalTellsOfWhatIsMeant(t *testing.T) {
	t.Parallel()
	hint := r3.Vec{X: 1000}
	fallenAt := func(off float64, stage int) *refusal {
		r := refuse(stage, "", "")
		r.pose = geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 1000 + off}}
		r.size[width], r.size[depthFixed], r.size[depthMoving] = 40, 15, 15
		return r
	}
	blind, mirror, face, shape := fallenAt(-20, stageBlind), fallenAt(60, stageMirror), fallenAt(-90, stageFace), fallenAt(0, stageShape)
	stands := Located{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 1000, Y: 300}}}
	near := Located{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 1000, Y: 40}}}
	for name, x := range map[string]struct {
		found  []Located
		fallen []*refusal
		want   *refusal
	}{
		"the nearest":              {nil, []*refusal{face, mirror, shape}, mirror},
		"known before possible":    {nil, []*refusal{blind, mirror}, mirror},
		"possible alone":           {nil, []*refusal{blind, shape}, blind},
		"possible before far ones": {[]Located{near}, []*refusal{blind, mirror}, blind},
		"far ones after all":       {[]Located{stands}, []*refusal{shape, mirror}, mirror},
		"beyond reach":             {nil, []*refusal{fallenAt(hintReach+10, stageMirror)}, nil},
	} {
		if got := meant(x.found, x.fallen, &hint); got != x.want {
			t.Errorf("%s: told of %+v", name, got)
		}
	}
}
