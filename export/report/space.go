package report

import (
	"fmt"

	"cellwall/scene"
)

// volumeRow is how much space is in a state.
type volumeRow struct{ State, Why, Volume string }

// volumes lists the states, none where they were not worked out.
func volumes(s *scene.Space) []volumeRow {
	if s == nil {
		return nil
	}
	m3 := func(v float64) string { return fmt.Sprintf("%.2f", v) }
	return []volumeRow{
		{"unseen, in reach", "the arm could touch it, it lies above the floor, and nobody has looked into it", m3(s.UnseenInReach)},
		{"unseen", "all that was not looked into, also below the floor and behind walls", m3(s.Unseen)},
		{"clear", fmt.Sprintf("rays or the arm itself passed all through it, and nothing was measured near; in voxels of %g mm", s.Voxel), m3(s.Clear)},
		{"solid", "something was measured in it or next to it", m3(s.Solid)},
	}
}
