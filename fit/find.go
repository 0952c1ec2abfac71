package fit

import (
	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/cell"
)

// Find makes named objects of a cloud: the room, what cell.yaml wants, then
// whatever else stands there. What was wanted and is not carried by evidence is
// refused; surfaces that belong to no object stay loose.
func Find(cloud *mapping.Cloud, wanted []cell.Wanted) *Findings {
	return deal(newSurvey(cloud, surface.Find(cloud)), wanted)
}

// deal hands the surfaces out to objects.
func deal(s *survey, wanted []cell.Wanted) *Findings {
	f := &Findings{}
	if floor, ok := s.findFloor(); ok {
		f.Objects = append(f.Objects, floor)
	}
	if ceiling, ok := s.findCeiling(); ok {
		f.Objects = append(f.Objects, ceiling)
	}
	f.add(s.findWalls(), facing)
	f.add(s.findPosts(), origin)
	for i := range s.surfaces {
		if !s.taken[i] {
			f.Loose = append(f.Loose, s.surfaces[i])
		}
	}
	return f
}
