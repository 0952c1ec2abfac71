package fit

import (
	"testing"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// A side whose straight end was seen and one of whose end but a short piece was,
// make a mouth where both end in one plane, and only there.
func TestShortEndCountsBesideAStraightOne(t *testing.T) {
	end := border{sigma: 2}
	straight, short, unseen := cheek{ends: true, free: true, rim: end}, cheek{ends: true, rim: end}, cheek{rim: end}
	for _, c := range []struct {
		name string
		a, b cheek
		off  float64
		want bool
	}{
		{"both straight", straight, straight, 100, true},
		{"one short, in one plane", straight, short, -5, true},
		{"the other way round", short, straight, 5, true},
		{"one short, elsewhere", straight, short, 40, false},
		{"both short", short, short, 1, false},
		{"one unseen", straight, unseen, 0, false},
	} {
		if got := c.a.endsWith(&c.b, c.off); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// Between a fence and a wall the rays go through up to the ceiling, which goes on
// before them. The roof of an open machine begins where its sides do, has the
// ceiling above it, and may stick out a little; a header ends the opening lower.
func TestRoomIsNoMouth(t *testing.T) {
	down := r3.Vec{Z: -1}
	high := tile(r3.Vec{X: -300, Z: 3200}, down, 6000, 6000)
	for name, c := range map[string]struct {
		over []surface.Surface
		want bool
	}{
		"the ceiling":              {[]surface.Surface{tile(r3.Vec{X: -300, Z: 2600}, down, 5000, 5000)}, true},
		"the ceiling, well above":  {[]surface.Surface{tile(r3.Vec{X: -300, Z: 2900}, down, 5000, 5000)}, false},
		"the ceiling, beside it":   {[]surface.Surface{tile(r3.Vec{X: -300, Y: 3500, Z: 2600}, down, 5000, 5000)}, false},
		"the ceiling, before it":   {[]surface.Surface{tile(r3.Vec{X: -3000, Z: 2600}, down, 5000, 5000)}, false},
		"a roof below no ceiling":  {[]surface.Surface{tile(r3.Vec{X: 950, Z: 2600}, down, 2000, 1800)}, false},
		"a roof that sticks out":   {[]surface.Surface{tile(r3.Vec{X: 600, Z: 2600}, down, 2000, 1800), high}, false},
		"a lintel that sticks out": {[]surface.Surface{tile(r3.Vec{Z: 2600}, down, 600, 1600), high}, false},
	} {
		s := handMade(c.over...)
		for i, p := range c.over {
			s.cloud.Voxels = append(s.cloud.Voxels, voxelOf(r3.Vec{X: -800}, p.Centre, r3.Add(p.Centre, r3.Vec{X: 1})))
			s.owner, s.weight, s.total = append(s.owner, int32(i)), append(s.weight, 1), s.total+1
		}
		f := front{frame: geom.Identity(), hole: rect{lo: [2]float64{-800, 0}, hi: [2]float64{800, 2595}}}
		if got := s.underCeiling(&f); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// Something may hide where a side begins; strips that stand as high as the sides
// show where. A bed that stands apart from the sides is no strip.
func TestStripsShowWhereAHiddenSideBegins(t *testing.T) {
	toward := r3.Vec{X: -1}
	s := handMade(
		tile(r3.Vec{X: 1500, Y: 700, Z: 1000}, r3.Vec{Y: -1}, 1000, 2000), // left, from 1000 on
		tile(r3.Vec{X: 1850, Y: -700, Z: 1000}, r3.Vec{Y: 1}, 300, 2000),  // right, from 1700 on
		tile(r3.Vec{X: 990, Y: 680, Z: 1000}, toward, 60, 2000),           // strip
		tile(r3.Vec{X: 1050, Z: 400}, toward, 900, 400),                   // bed
		tile(r3.Vec{X: 1500, Y: 700, Z: 1600}, r3.Vec{Y: -1}, 1000, 3200), // a wall
	)
	cheekAt := func(i int, begins float64, ends bool) cheek {
		p := &s.surfaces[i]
		c := cheek{group: []int{i}, plane: boundOf(p), ends: ends, rim: border{at: begins - p.Centre.X}}
		c.frame = geom.Pose{R: geom.RotFromAxes(r3.Vec{X: 1}, r3.Cross(p.Plane.Normal, r3.Vec{X: 1}), p.Plane.Normal), T: p.Centre}
		return c
	}
	l, r := cheekAt(0, 1000, true), cheekAt(1, 1700, false)
	strips := s.stripsOn(&l, &r, r3.Vec{X: 1})
	if len(strips) != 1 || strips[0] != 2 {
		t.Fatalf("strips %v, want the one on the left", strips)
	}
	ended, wall := cheekAt(1, 1700, true), cheekAt(4, 1000, false)
	for name, c := range map[string]struct {
		l, r cheek
		want bool
	}{
		"hidden":                {l, r, true},
		"seen to end":           {l, ended, false},
		"higher than the strip": {wall, r, false},
	} {
		if got := s.goesOn(strips, &c.l, &c.r, 1000-1700); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
	s.taken[2] = true
	if got := s.stripsOn(&l, &r, r3.Vec{X: 1}); got != nil {
		t.Errorf("the bed %v is taken for a strip", got)
	}
}
