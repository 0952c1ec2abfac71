package reach

import (
	"math"
	"slices"
	"sync"

	"cellwall/mapping/geom"
	"cellwall/scene/distance"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// grains are along each side of a voxel: the arm's boundary runs through
	// voxels that are not clear as a whole, and what the arm has been in is told
	// apart at a quarter of them, in the 64 bits of a word.
	grains = 4
	// thinning, mm, is how far both ends of a link move before its place is kept
	// anew. Between two places a capsule of 14 mm, a slim tool, leaves a groove
	// of 14 - sqrt(14^2 - 5^2) = 0.9 mm; with that and finestUnseen a way that was
	// gone once can be gone again.
	thinning = 10
	scallop  = 1 + finestUnseen
)

// been are the places that the arm's own links took up where it scanned from:
// what the arm has been in was clear then, whatever rays saw.
type been struct {
	kept, last []distance.Capsule // of each capsule of the arm
	places     []distance.Body
}

// note where the links are, each where it has moved from what was kept. Where
// the arm jumps, as from one scan to the next, it keeps both sides.
func (b *been) note(links []distance.Capsule) {
	if b.kept == nil {
		b.kept, b.last = slices.Clone(links), slices.Clone(links)
		for _, c := range links {
			b.places = append(b.places, c)
		}
	}
	for k, c := range links {
		if apart(c, b.last[k]) >= thinning && b.last[k] != b.kept[k] {
			b.places = append(b.places, b.last[k])
		}
		if apart(c, b.kept[k]) >= thinning {
			b.kept[k] = c
			b.places = append(b.places, c)
		}
		b.last[k] = c
	}
}

// all are the places, the last ones too.
func (b *been) all() []distance.Body {
	out := slices.Clone(b.places)
	for _, c := range b.last {
		out = append(out, c)
	}
	return out
}

func apart(a, b distance.Capsule) float64 {
	return max(r3.Norm(r3.Sub(a.From, b.From)), r3.Norm(r3.Sub(a.To, b.To)))
}

// seen tells what parts of the arm lie in space that was seen, or that the arm
// has been in.
type seen struct {
	states *space.States
	places *distance.Tree
	bodies []distance.Body

	mutex sync.RWMutex
	known map[[3]int]uint64 // grains of a voxel that the arm has been in
}

// Look has moves held against the states of space. What the arm has been in,
// as far as Been was told before, counts as seen, to a quarter of a voxel.
func (c *Checker) Look(states *space.States) {
	places := c.been.all()
	s := &seen{states: states, places: distance.NewTree(places), bodies: places, known: map[[3]int]uint64{}}
	c.Unseen = s.unseen
}

// unseen tells whether the link meets a grain that was not seen. A link slimmer
// than a grain is taken as wide as one. A long link is looked at in lengths as
// long as it is wide: the boxes round those hold far fewer voxels.
func (s *seen) unseen(link distance.Capsule) bool {
	link.Radius = max(link.Radius, s.states.Lattice.HalfDiagonal()/grains)
	along := r3.Sub(link.To, link.From)
	lengths := math.Ceil(max(1, r3.Norm(along)/(2*link.Radius)))
	for i := range int(lengths) {
		length := distance.Capsule{
			From:   r3.Add(link.From, r3.Scale(float64(i)/lengths, along)),
			To:     r3.Add(link.From, r3.Scale(float64(i+1)/lengths, along)),
			Radius: link.Radius,
		}
		if s.unseenIn(length) {
			return true
		}
	}
	return false
}

func (s *seen) unseenIn(link distance.Capsule) bool {
	l := s.states.Lattice
	around := link.Bounds()
	if !l.Holds(l.At(around.Min)) || !l.Holds(l.At(around.Max)) {
		return true // nothing is known beyond
	}
	lo, hi := l.Span(around)
	for z := lo[2]; z <= hi[2]; z++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for x := lo[0]; x <= hi[0]; x++ {
				voxel := [3]int{x, y, z}
				centre := l.Centre(voxel)
				if holds(link, centre, l.HalfDiagonal()) && s.states.State(centre) == space.Unseen && s.meets(link, voxel) {
					return true
				}
			}
		}
	}
	return false
}

// meets tells whether a grain of the unseen voxel lies in the link, and the arm
// has not been in it.
func (s *seen) meets(link distance.Capsule, voxel [3]int) bool {
	was := s.grains(voxel)
	for g := range grains * grains * grains {
		if was>>g&1 == 0 && holds(link, s.grain(voxel, g), 0) {
			return true
		}
	}
	return false
}

// grain is the middle of one of a voxel's.
func (s *seen) grain(voxel [3]int, g int) r3.Vec {
	l := s.states.Lattice
	at := func(i int) float64 { return (float64(i)+.5)/grains - .5 }
	return r3.Add(l.Centre(voxel), r3.Scale(l.Edge, r3.Vec{X: at(g % grains), Y: at(g / grains % grains), Z: at(g / grains / grains)}))
}

// grains of the voxel that the arm has been in, a bit each.
func (s *seen) grains(voxel [3]int) uint64 {
	s.mutex.RLock()
	was, ok := s.known[voxel]
	s.mutex.RUnlock()
	if ok {
		return was
	}
	half := s.states.Lattice.Edge / 2
	by, centre := r3.Vec{X: half, Y: half, Z: half}, s.states.Lattice.Centre(voxel)
	s.places.Near(geom.Bounds{Min: r3.Sub(centre, by), Max: r3.Add(centre, by)}, 0, func(i int) {
		place := s.bodies[i].(distance.Capsule)
		for g := range grains * grains * grains {
			if was != math.MaxUint64 && was>>g&1 == 0 && holds(place, s.grain(voxel, g), scallop) {
				was |= 1 << g
			}
		}
	})
	s.mutex.Lock()
	s.known[voxel] = was
	s.mutex.Unlock()
	return was
}

// holds tells whether p lies in the capsule grown by margin.
func holds(c distance.Capsule, p r3.Vec, margin float64) bool {
	return space.Capsule(c).Contains(p, margin)
}
