package scene

import (
	"fmt"

	"cellwall/fit"
	"cellwall/mapping"
	"cellwall/mapping/cell"
)

// Build makes the collision scene of what was found in the cloud. Every object
// gets its solids; what the cloud holds beyond them goes into a remainder, so
// that each used voxel lies inside the solids grown by the cell's margin. That
// is proved voxel by voxel at the end, and Build fails if it does not hold.
func Build(c *cell.Cell, cloud *mapping.Cloud, found *fit.Findings) (*Scene, error) {
	s := &Scene{
		Cell: c.Name, NotLocated: found.Refused, Points: cloud.Counts, Scans: cloud.Scans,
		Agreement: agreement(cloud, found), Placed: cloud.Placed,
	}
	s.look(c, cloud, found)
	b := newBuilder(c.Scene, cloud, found)
	for i := range found.Objects {
		solids, err := b.solids(&found.Objects[i])
		if err != nil {
			return nil, fmt.Errorf("object %q: %w", found.Objects[i].Name, err)
		}
		b.cover.add(solids...)
		s.Objects = append(s.Objects, Object{
			Object: found.Objects[i], Solids: solids, Margin: b.margin, Claims: claims(c.Wanted, found.Objects[i].Name),
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
