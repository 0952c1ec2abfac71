package scene

import (
	"fmt"

	"cellwall/fit"
	"cellwall/mapping"
	"cellwall/mapping/cell"
	"cellwall/scene/space"
)

// Build makes the collision scene of what was found in the cloud. Every object
// gets its solids; what the cloud holds beyond them goes into a remainder, so
// that each used voxel lies inside the solids grown by the cell's margin. That
// is proved voxel by voxel at the end, and Build fails if it does not hold.
func Build(c *cell.Cell, cloud *mapping.Cloud, found *fit.Findings) (*Scene, error) {
	agreements := agreement(cloud, found)
	s, err := build(c, cloud, found, statesOf(c, cloud, found, agreements))
	if err != nil {
		return nil, err
	}
	s.Agreement = agreements
	return s, nil
}

// build makes the scene of what is known of space too, which may be nothing.
func build(c *cell.Cell, cloud *mapping.Cloud, found *fit.Findings, states *space.States) (*Scene, error) {
	s := &Scene{
		Cell: c.Name, NotLocated: found.Refused, Points: cloud.Counts, Scans: cloud.Scans,
		States: states, Space: sums(states, c.Scene.LeastObstacle), Placed: cloud.Placed,
	}
	b := newBuilder(c.Scene, cloud, found, s.States)
	for i := range found.Objects {
		solids, err := b.solids(&found.Objects[i])
		if err != nil {
			return nil, fmt.Errorf("object %q: %w", found.Objects[i].Name, err)
		}
		b.cover.add(solids...)
		s.Objects = append(s.Objects, Object{
			Object: found.Objects[i], Solids: solids, Margin: b.margin, ClearTaken: b.clearTaken(solids), Claims: claims(c.Wanted, found.Objects[i].Name),
		})
	}
	rest, left, err := b.remainder(found.Loose)
	if err != nil {
		return nil, fmt.Errorf("remainder: %w", err)
	}
	if len(rest.Solids) > 0 {
		s.Objects = append(s.Objects, rest)
	}
	if err := b.prove(left); err != nil {
		return nil, err
	}
	return s, nil
}
