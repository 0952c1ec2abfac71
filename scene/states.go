package scene

import (
	"fmt"

	"cellwall/fit"
	"cellwall/mapping"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r3"
)

// statesOf works out the states of space; nil where the cloud cannot tell them.
func statesOf(c *cell.Cell, cloud *mapping.Cloud, found *fit.Findings, agreements []Agreement) *space.States {
	known := space.Known{Slack: slack(cloud, agreements), Floor: floor(found)}
	for _, i := range c.Ignore {
		known.Ignore = append(known.Ignore, i.Box)
	}
	return space.Of(cloud, known)
}

// sums are the states summed up, nil where they are.
func sums(states *space.States, least float64) *Space {
	if states == nil {
		return nil
	}
	v := states.Volumes()
	return &Space{
		Voxel: states.Lattice.Edge, LeastObstacle: least, ByNoReturn: v.ByNoReturn, Clear: v.Clear, Solid: v.Solid, Unseen: v.Unseen, UnseenInReach: v.UnseenInReach,
	}
}

// ClearRestsOn says in sentences what is not certain of clear space.
func (s *Space) ClearRestsOn() (out []string) {
	if s == nil {
		return nil
	}
	if s.LeastObstacle > 0 {
		out = append(out, fmt.Sprintf("in space that is called clear, obstacles thinner than %.0f mm may hide between the rays, as may what gives no return", s.LeastObstacle))
	}
	if s.ByNoReturn != nil {
		out = append(out, fmt.Sprintf("%.2f m3 are called clear on the word of cell.yaml alone, that where the scanner gives no return nothing is in its range; "+
			"dark, mirror-like and grazing surfaces give none either", *s.ByNoReturn))
	}
	return out
}

// surely is how many standard deviations bound an error of the arm: one in
// 16 000 is larger.
const surely = 4

// slack is how far a measured place may be off, mm: by the arm's declared
// accuracy, or by as much as a scan was seen to lie off the others.
func slack(cloud *mapping.Cloud, agreements []Agreement) float64 {
	off := surely * cloud.PoseSigma
	for _, a := range agreements {
		if a.Moved != nil {
			off = max(off, r3.Norm(a.Moved.T))
		}
	}
	return off
}

// floor is the lowest floor's plane, nil where none was found.
func floor(found *fit.Findings) *geom.Plane {
	var lowest *geom.Plane
	for i := range found.Objects {
		o := &found.Objects[i]
		if o.Kind != fit.Floor {
			continue
		}
		for j := range o.Faces {
			if p := &o.Faces[j].Plane; lowest == nil || p.Offset < lowest.Offset {
				lowest = p
			}
		}
	}
	return lowest
}
