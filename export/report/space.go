package report

import (
	"fmt"

	"cellwall/scene"
)

// volumeRow is how much space is in a state.
type volumeRow struct{ State, Why, Volume string }

// volumes lists the states, and what of the clear each object takes; none where
// they were not worked out.
func volumes(sc *scene.Scene) []volumeRow {
	s := sc.Space
	if s == nil {
		return nil
	}
	clear := fmt.Sprintf("rays or the arm itself passed all through it, and nothing was measured near; in voxels of %g mm", s.Voxel)
	if s.LeastObstacle > 0 {
		clear += fmt.Sprintf("; obstacles thinner than %.0f mm may hide between the rays, as may what gives no return", s.LeastObstacle)
	}
	m3 := func(v float64) string { return fmt.Sprintf("%.2f", v) }
	rows := []volumeRow{
		{"unseen, in reach", "the arm could touch it, it lies above the floor, and nobody has looked into it", m3(s.UnseenInReach)},
		{"unseen", "all that was not looked into, also below the floor and behind walls", m3(s.Unseen)},
		{"clear", clear, m3(s.Clear)},
		{"solid", "something was measured in it or next to it", m3(s.Solid)},
	}
	if s.ByNoReturn != nil {
		rows = append(rows, volumeRow{"clear, by no return alone", "cell.yaml says that where the scanner gives no return nothing is in its range; " +
			"dark, mirror-like and grazing surfaces give none either", m3(*s.ByNoReturn)})
	}
	for i := range sc.Objects {
		if o := &sc.Objects[i]; o.ClearTaken > 0 {
			rows = append(rows, volumeRow{"clear, taken by " + o.Name, "its solids with their margins reach into it", fmt.Sprintf("%.3f", o.ClearTaken)})
		}
	}
	return rows
}
