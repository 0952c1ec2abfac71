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
	f := newSurvey(cloud, surface.Find(cloud)).deal(wanted)
	f.adrift(cloud.Aligned)
	return f
}

// deal hands the surfaces out to objects.
func (s *survey) deal(wanted []cell.Wanted) *Findings {
	f := &Findings{}
	s.dealFloor(f, wanted)
	stations := s.dealEnclosures(f, wanted)
	s.dealCeiling(f, wanted, stations)
	s.findVises(f, wanted, stations)
	s.findShapes(f, wanted, stations)
	s.dealTables(f, wanted, stations)
	walls := s.findWalls(stations)
	s.dealPosts(f, wanted, stations)
	blocks := s.findBlocks()
	s.dealWalls(f, wanted, append(walls, s.findPanels(stations)...))
	s.dealInside(f, stations)
	s.dealBlocks(f, wanted, stations, append(blocks, s.findLoneFaces()...))
	f.Loose = s.rest()
	for i := range f.Objects {
		f.Loose = append(f.Loose, f.Objects[i].shed()...)
	}
	return f
}
