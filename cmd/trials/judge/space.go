package judge

import (
	"math"
	"math/rand/v2"

	"cellwall/fixtures"
	"cellwall/mapping/cores"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// Space is how well the padded solids fill what is there, and only that.
type Space struct {
	Reached, Covered int            // true surface points that a ray reached and gave a return from, and those in a padded solid
	Free, Blocked    int            // random points 100 mm or more from everything and those in a padded solid
	Outside          map[string]int // reached points outside, by true object
	Silent           map[string]int // outside too, but the scanner gave no return from there
	BlockedBy        map[string]int // blocked points, by scene object
}

// farFromAll is how far a free point is from everything, mm.
const farFromAll = 100

// CoveredShare is the part of the reached surface that is inside the scene.
func (s Space) CoveredShare() float64 { return share(s.Covered, s.Reached) }

// BlockedShare is the part of free space that the scene takes away.
func (s Space) BlockedShare() float64 { return share(s.Blocked, s.Free) }

func share(part, whole int) float64 {
	if whole == 0 {
		return math.NaN()
	}
	return float64(part) / float64(whole)
}

func covering(s *scene.Scene, shop *fixtures.Shop, points int) Space {
	out := Space{Outside: map[string]int{}, Silent: map[string]int{}, BlockedBy: map[string]int{}}
	reached := shop.Reached(points)
	inside := holders(s, len(reached), func(i int) r3.Vec { return reached[i].Point })
	for i, by := range inside {
		name := shop.Truth.Objects[reached[i].Object].Name
		switch {
		case reached[i].Returned && by >= 0:
			out.Reached++
			out.Covered++
		case reached[i].Returned:
			out.Reached++
			out.Outside[name]++
		case by < 0:
			out.Silent[name]++
		}
	}
	free := freePoints(shop, points)
	for _, by := range holders(s, len(free), func(i int) r3.Vec { return free[i] }) {
		out.Free++
		if by >= 0 {
			out.Blocked++
			out.BlockedBy[s.Objects[by].Name]++
		}
	}
	return out
}

// freePoints draws n points of the room that are far from everything.
func freePoints(shop *fixtures.Shop, n int) []r3.Vec {
	rng := rand.New(rand.NewPCG(shop.Settings.Seed, 7))
	b := shop.Bounds()
	var out []r3.Vec
	for range 50 * n {
		p := r3.Vec{
			X: b.Min.X + rng.Float64()*(b.Max.X-b.Min.X),
			Y: b.Min.Y + rng.Float64()*(b.Max.Y-b.Min.Y),
			Z: b.Min.Z + rng.Float64()*(b.Max.Z-b.Min.Z),
		}
		if shop.Free(p, farFromAll) {
			out = append(out, p)
		}
		if len(out) == n {
			break
		}
	}
	return out
}

// holders tells for each point which object's padded solids hold it, -1: none.
func holders(s *scene.Scene, n int, point func(int) r3.Vec) []int {
	out := make([]int, n)
	cores.Each(n, func(i int) { out[i] = holder(s, point(i)) })
	return out
}

func holder(s *scene.Scene, p r3.Vec) int {
	for i := range s.Objects {
		for _, body := range s.Objects[i].Solids {
			if body.Contains(p, s.Objects[i].Margin) {
				return i
			}
		}
	}
	return -1
}
