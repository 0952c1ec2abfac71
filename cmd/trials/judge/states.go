package judge

import (
	"math"
	"math/rand/v2"

	"cellwall/fixtures"
	"cellwall/mapping/sight"
	"cellwall/scene"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r3"
)

// States is whether what is called clear is so.
type States struct {
	Clear  int     // voxels
	Touch  int     // clear voxels of which some point lies in an obstacle
	Deep   int     // points of clear voxels that lie deeper in an obstacle than a voxel's diagonal
	Worst  float64 // how deep the deepest lies, mm
	Bodies int     // random balls and capsules that were called clear
	False  int     // those of them that meet an obstacle
	Free   int     // random places in the room, in reach, two voxels' diagonals or more from everything
	Told   int     // those of them that are called clear
	Unseen float64 // m^3 in reach
	Seen   int     // random clear places 60 mm or more from everything
	Taken  int     // those of them that a padded solid takes
}

// into is how deep p lies in an obstacle, behind a wall or below the floor, mm;
// negative outside.
func into(shop *fixtures.Shop, p r3.Vec) float64 {
	return max(-shop.Distance(p), shop.Beyond(p))
}

// bodiesDrawn is how many balls and how many capsules are drawn.
const bodiesDrawn = 10_000

// ClearSpace holds every clear voxel of the scene, and bodies that are called
// clear, against the shop.
func ClearSpace(s *scene.Scene, shop *fixtures.Shop) States {
	var out States
	if s.States == nil {
		return out
	}
	clear := clearVoxels(s.States)
	out.Clear, out.Unseen = len(clear), s.Space.UnseenInReach
	l := s.States.Lattice
	for _, c := range clear {
		out.voxel(shop, l, c)
	}
	rng := rand.New(rand.NewPCG(shop.Settings.Seed, 11))
	for range bodiesDrawn {
		out.body(s.States, shop, rng, clear, 0)
		out.body(s.States, shop, rng, clear, 400)
	}
	for range bodiesDrawn {
		out.place(s.States, shop, rng)
		out.seen(s, shop, rng, clear)
	}
	return out
}

func clearVoxels(s *space.States) [][3]int {
	var out [][3]int
	for z := range s.Lattice.N[2] {
		for y := range s.Lattice.N[1] {
			for x := range s.Lattice.N[0] {
				if c := [3]int{x, y, z}; s.State(s.Lattice.Centre(c)) == space.Clear {
					out = append(out, c)
				}
			}
		}
	}
	return out
}

// voxel looks at a clear voxel, at points of it a quarter of its edge apart.
func (t *States) voxel(shop *fixtures.Shop, l sight.Lattice, c [3]int) {
	mid := l.Centre(c)
	if into(shop, mid) < -l.HalfDiagonal() {
		return
	}
	touch := false
	for i := range 125 {
		at := r3.Vec{X: float64(i%5) - 2, Y: float64(i/5%5) - 2, Z: float64(i/25) - 2}
		d := into(shop, r3.Add(mid, r3.Scale(l.Edge/4, at)))
		touch = touch || d > 0
		t.Worst = max(t.Worst, d)
		if d > 2*l.HalfDiagonal() {
			t.Deep++
		}
	}
	if touch {
		t.Touch++
	}
}

// body draws a ball, or a capsule up to so long, that starts in a clear voxel.
func (t *States) body(s *space.States, shop *fixtures.Shop, rng *rand.Rand, clear [][3]int, long float64) {
	if len(clear) == 0 {
		return
	}
	from := s.Lattice.Centre(clear[rng.IntN(len(clear))])
	along := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
	b := space.Capsule{From: from, To: r3.Add(from, r3.Scale(long*rng.Float64(), along)), Radius: 5 + 100*rng.Float64()}
	if !s.AllClear(b) {
		return
	}
	t.Bodies++
	steps := math.Ceil(r3.Norm(r3.Sub(b.To, b.From)))
	for i := 0.0; i <= steps; i++ {
		p := r3.Add(b.From, r3.Scale(i/max(steps, 1), r3.Sub(b.To, b.From)))
		if into(shop, p) > -b.Radius {
			t.False++
			return
		}
	}
}

// seenFar is how far a clear place is from everything, mm, that no padded solid
// should take.
const seenFar = 60

// seen draws a place in a clear voxel, and tells whether a solid takes it.
func (t *States) seen(s *scene.Scene, shop *fixtures.Shop, rng *rand.Rand, clear [][3]int) {
	if len(clear) == 0 {
		return
	}
	l := s.States.Lattice
	off := r3.Vec{X: rng.Float64() - .5, Y: rng.Float64() - .5, Z: rng.Float64() - .5}
	p := r3.Add(l.Centre(clear[rng.IntN(len(clear))]), r3.Scale(l.Edge, off))
	if into(shop, p) > -seenFar {
		return
	}
	t.Seen++
	if holder(s, p) >= 0 {
		t.Taken++
	}
}

// place draws a free one.
func (t *States) place(s *space.States, shop *fixtures.Shop, rng *rand.Rand) {
	n := s.Lattice.N
	size := r3.Scale(s.Lattice.Edge, r3.Vec{X: float64(n[0]) * rng.Float64(), Y: float64(n[1]) * rng.Float64(), Z: float64(n[2]) * rng.Float64()})
	p := r3.Add(s.Lattice.Origin, size)
	if into(shop, p) > -4*s.Lattice.HalfDiagonal() {
		return
	}
	t.Free++
	if s.State(p) == space.Clear {
		t.Told++
	}
}
