package sight

import (
	"fmt"
	"math"
	"sync"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Grid says which cubes were crossed. Any number of goroutines may cross it at
// once: crossing only ever sets bits, so the order does not show.
type Grid struct {
	lattice Lattice
	gap     float64 // rays that run further apart cross nothing, mm
	crossed Bits
	claims  *claims // nil where none are taken
	reach   arm.Reach
}

// MostCubes bounds a lattice, and so the memory of what is made over it: 128
// MiB a set.
const MostCubes = 1 << 30

// New is an empty grid over the arm's reach, for voxels of that edge, mm: the
// grid's own cubes have half of it, so that a voxel of which a part was never
// crossed can be told from one that was crossed throughout. Rays
// that run further apart than gap mm cross nothing. Voxels so fine that the grid
// would not fit into memory are an error.
func New(reach arm.Reach, voxel, gap float64) (*Grid, error) {
	b := geom.NoBounds()
	r := r3.Vec{X: reach.Radius, Y: reach.Radius, Z: reach.Radius}
	for _, c := range reach.Centres {
		b.Extend(r3.Sub(c, r))
		b.Extend(r3.Add(c, r))
	}
	if b.Empty() {
		return nil, fmt.Errorf("the arm has no joints, so no reach")
	}
	size := r3.Sub(b.Max, b.Min)
	if cubes := 8 * (size.X/voxel + 2) * (size.Y/voxel + 2) * (size.Z/voxel + 2); cubes > MostCubes {
		least := math.Ceil(voxel * math.Cbrt(cubes/MostCubes) * 1.02)
		return nil, fmt.Errorf("voxels of %g mm over a reach of %.0f mm are too many; use %.0f mm or more", voxel, reach.Radius, least)
	}
	l := Round(b, voxel).Halved()
	return &Grid{lattice: l, gap: gap, crossed: NewBits(l), reach: reach}, nil
}

// Lattice of the grid's cubes; two along each axis make a voxel.
func (g *Grid) Lattice() Lattice { return g.lattice }

// Gap is how far apart rays that count may run, mm.
func (g *Grid) Gap() float64 { return g.gap }

// Crossed is the set of cubes that were crossed. It is the grid's own.
func (g *Grid) Crossed() Bits { return g.crossed }

// TakeClaims makes room for the ways that rays only claim to have crossed.
func (g *Grid) TakeClaims() { g.claims = &claims{} }

// Claimed is the set of cubes that were crossed if the rays' claims are right, the
// crossed ones among them; ok is false where no claims are taken. A claim whose way
// leads through one of the cubes met, where something was measured, is wrong as a
// whole: what stands there gave that ray no return.
func (g *Grid) Claimed(met Bits) (all Bits, ok bool) {
	if g.claims == nil {
		return Bits{}, false
	}
	all = g.crossed.Clone()
	for _, way := range g.claims.ways {
		if !g.leads(way, met) {
			g.walk(all, way[0], way[1])
		}
	}
	return all, true
}

// leads tells whether the way leads through a cube of the set, as seen at every
// half edge.
func (g *Grid) leads(way [2]r3.Vec, set Bits) bool {
	d := r3.Sub(way[1], way[0])
	n := math.Ceil(2 * r3.Norm(d) / g.lattice.Edge)
	for i := 0.0; i <= n; i++ {
		if c := g.lattice.At(r3.Add(way[0], r3.Scale(i/n, d))); g.lattice.Holds(c) && set.Has(c) {
			return true
		}
	}
	return false
}

// claims are the ways that rays without a return claim to have crossed, from and
// to, in no order.
type claims struct {
	mu   sync.Mutex
	ways [][2]r3.Vec
}

func (c *claims) take(ways [][2]r3.Vec) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.ways = append(c.ways, ways...)
}

// Reach is the region that the grid covers.
func (g *Grid) Reach() arm.Reach { return g.reach }
