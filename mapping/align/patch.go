// Package align makes the surfaces that several scans share agree: it finds
// them, and solves for what moves each scan against the others and for what
// moves all of them alike, as one adjustment with an honest covariance.
package align

import (
	"cmp"
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Params is the most parameters that all scans can share.
const Params = 7

// Patch is a small flat piece of surface as one part of a scan saw it.
type Patch struct {
	Part int
	geom.Moments
	Normal r3.Vec         // toward the eye
	Rough  float64        // rms of its points across it, mm
	Drift  [Params]r3.Vec // by how much its middle moves for a unit of each shared parameter
	cell   index
}

// index is the place of a cell in the grid.
type index [3]int32

// edge of the cells in which patches are gathered, mm: wide enough for a normal
// good to a degree or two from points a noise of 3 mm apart, small against a
// machine's walls.
const edge = 100.0

// Cells gathers points into patches, one set for each part of a scan and cell.
type Cells map[cellKey]*gathered

type cellKey struct {
	at   index
	part int32
}

// gathered sums up the points of one part in one cell.
type gathered struct {
	geom.Moments
	toward r3.Vec
	drift  [Params]r3.Vec // sums over the points
	plane  geom.Plane
	within float64 // how far from the plane points count, mm; 0: anywhere
}

func indexOf(p r3.Vec) index {
	// A third of an edge off zero: a floor at z = 0 must not fall on a boundary.
	at := func(x float64) int32 { return int32(math.Floor(x/edge + 1./3)) }
	return index{at(p.X), at(p.Y), at(p.Z)}
}

// Add takes in the moments of points of a part whose eye lies in the direction
// toward, with how they move for a unit of each shared parameter; drift may be
// nil.
func (c Cells) Add(part int, m geom.Moments, toward r3.Vec, drift *[Params]r3.Vec) {
	key := cellKey{indexOf(m.Mean), int32(part)}
	g := c[key]
	if g == nil {
		g = new(gathered)
		c[key] = g
	}
	if g.within > 0 && math.Abs(g.plane.Distance(m.Mean)) > g.within {
		return
	}
	g.Merge(m)
	g.toward = r3.Add(g.toward, r3.Scale(m.N, toward))
	if drift != nil {
		for k := range drift {
			g.drift[k] = r3.Add(g.drift[k], r3.Scale(m.N, drift[k]))
		}
	}
}

// trim is how many deviations off their plane points may lie to count: of normal
// noise one in eighty does not, and a spike that matters does not.
const trim = 2.5

// Trim forgets the points but for the plane through those of each cell: what is
// added from then on counts only near it. A spike of some centimetres would
// else draw a patch of a hundred points off by more than noise does.
func (c Cells) Trim() {
	for _, g := range c {
		if g.N == 0 {
			continue
		}
		plane, variance := g.Plane()
		*g = gathered{plane: plane, within: max(trim*math.Sqrt(variance[0]), quietest)}
	}
}

// What makes the points of a cell a patch.
const (
	fewest = 12        // points: a plane takes three, and its roughness must show
	spread = edge / 16 // mm, rms along the narrow side: the turn must be told
	flat   = 0.2       // of that: a surface, not a heap
)

// Patches are the flat cells, by part and place.
func (c Cells) Patches() []Patch {
	var out []Patch
	for key, g := range c {
		if g.N < fewest {
			continue
		}
		plane, variance := g.Plane()
		narrow := math.Sqrt(variance[1])
		rough := math.Sqrt(variance[0])
		if narrow < spread || rough > flat*narrow {
			continue
		}
		p := Patch{Part: int(key.part), Moments: g.Moments, Normal: plane.Normal, Rough: rough, cell: key.at}
		if r3.Dot(p.Normal, g.toward) < 0 {
			p.Normal = r3.Scale(-1, p.Normal)
		}
		for k, d := range g.drift {
			p.Drift[k] = r3.Scale(1/g.N, d)
		}
		out = append(out, p)
	}
	slices.SortFunc(out, func(a, b Patch) int {
		return cmp.Or(cmp.Compare(a.Part, b.Part), slices.Compare(a.cell[:], b.cell[:]))
	})
	return out
}
