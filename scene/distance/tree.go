package distance

import (
	"cmp"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Tree finds those of many bodies that are near a given one, by a binary tree of
// boxes round them.
type Tree struct {
	bodies []Body
	nodes  []node // the root first; empty where there are no bodies
}

// node of the tree: a leaf where it has no halves.
type node struct {
	bounds    geom.Bounds
	order     []int // indices of the bodies within
	low, high int   // its halves, as nodes; 0 in a leaf
}

// leafSize is how many bodies are worth a box of their own: looking at a box
// costs about as much as a closed form.
const leafSize = 2

// NewTree over the bodies, by halves along the longest side of the boxes'
// middles.
func NewTree(bodies []Body) *Tree {
	t := &Tree{bodies: bodies}
	if len(bodies) == 0 {
		return t
	}
	order := make([]int, len(bodies))
	bounds := make([]geom.Bounds, len(bodies))
	for i, b := range bodies {
		order[i], bounds[i] = i, b.Bounds()
	}
	t.grow(order, bounds)
	return t
}

func (t *Tree) grow(order []int, bounds []geom.Bounds) int {
	at := len(t.nodes)
	n := node{bounds: geom.NoBounds(), order: order}
	middles := geom.NoBounds()
	for _, i := range order {
		n.bounds.Extend(bounds[i].Min)
		n.bounds.Extend(bounds[i].Max)
		middles.Extend(middle(bounds[i]))
	}
	t.nodes = append(t.nodes, n)
	if len(order) <= leafSize {
		return at
	}
	axis := longest(r3.Sub(middles.Max, middles.Min))
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(triple(middle(bounds[i]))[axis], triple(middle(bounds[j]))[axis])
	})
	half := len(order) / 2
	low := t.grow(order[:half], bounds)
	high := t.grow(order[half:], bounds)
	t.nodes[at].low, t.nodes[at].high = low, high
	return at
}

func middle(b geom.Bounds) r3.Vec { return r3.Scale(0.5, r3.Add(b.Min, b.Max)) }

func longest(v r3.Vec) int {
	switch {
	case v.X >= v.Y && v.X >= v.Z:
		return 0
	case v.Y >= v.Z:
		return 1
	}
	return 2
}

// Near calls visit with the index of every body whose bounds come within margin
// of b, and of no body whose bounds do not.
func (t *Tree) Near(b geom.Bounds, margin float64, visit func(i int)) {
	if len(t.nodes) > 0 {
		t.near(0, b, margin, visit)
	}
}

func (t *Tree) near(at int, b geom.Bounds, margin float64, visit func(i int)) {
	n := &t.nodes[at]
	if between(n.bounds, b) > margin*margin {
		return
	}
	if n.low == 0 {
		for _, i := range n.order {
			if between(t.bodies[i].Bounds(), b) <= margin*margin {
				visit(i)
			}
		}
		return
	}
	t.near(n.low, b, margin, visit)
	t.near(n.high, b, margin, visit)
}

// between is the squared distance of two boxes.
func between(a, b geom.Bounds) float64 {
	x := max(0, a.Min.X-b.Max.X, b.Min.X-a.Max.X)
	y := max(0, a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y)
	z := max(0, a.Min.Z-b.Max.Z, b.Min.Z-a.Max.Z)
	return x*x + y*y + z*z
}

// Nearest is the least gap from b to a body nearer than limit, and the body's
// index; -1 where there is none. Of bodies that b overlaps it is the deepest.
func (t *Tree) Nearest(b Body, limit float64) (Gap, int) {
	best, index := Gap{Distance: limit}, -1
	if len(t.nodes) > 0 {
		t.nearest(0, b, b.Bounds(), &best, &index)
	}
	return best, index
}

func (t *Tree) nearest(at int, b Body, bounds geom.Bounds, best *Gap, index *int) {
	n := &t.nodes[at]
	if n.low == 0 {
		for _, i := range n.order {
			if !worth(between(t.bodies[i].Bounds(), bounds), best.Distance) {
				continue
			}
			if g := Between(b, t.bodies[i]); g.Distance < best.Distance {
				*best, *index = g, i
			}
		}
		return
	}
	first, second := n.low, n.high
	d, e := between(t.nodes[first].bounds, bounds), between(t.nodes[second].bounds, bounds)
	if e < d {
		first, second, d, e = second, first, e, d
	}
	if worth(d, best.Distance) {
		t.nearest(first, b, bounds, best, index)
	}
	if worth(e, best.Distance) {
		t.nearest(second, b, bounds, best, index)
	}
}

// worth tells whether what lies within boxes that are apart by the root of
// squared may be nearer than best. Boxes that overlap say nothing of how deep.
func worth(squared, best float64) bool {
	return squared == 0 || best > 0 && squared < best*best
}
