package shape

import (
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// tree is a bounding volume hierarchy over the facets of a model: it finds the
// facet nearest to a point, and those that a ray cuts, without a look at all.
type tree struct {
	facets []geom.Triangle // in the order of the leaves
	nodes  []node
}

// node bounds facets[from:to]; its children are the next node and the one at
// right, or it is a leaf where right is 0.
type node struct {
	geom.Bounds
	from, to, right int
}

const leafFacets = 4

func newTree(facets []geom.Triangle) *tree {
	t := &tree{facets: slices.Clone(facets)}
	t.build(0, len(facets))
	return t
}

// build halves the facets at the middle one along the longest side of their box.
func (t *tree) build(from, to int) {
	n := node{Bounds: geom.NoBounds(), from: from, to: to}
	for _, f := range t.facets[from:to] {
		for _, p := range f {
			n.Extend(p)
		}
	}
	at := len(t.nodes)
	t.nodes = append(t.nodes, n)
	if to-from <= leafFacets {
		return
	}
	size := vec(r3.Sub(n.Max, n.Min))
	axis := 0
	for k := range size {
		if size[k] > size[axis] {
			axis = k
		}
	}
	middle := func(f geom.Triangle) float64 { return vec(f[0])[axis] + vec(f[1])[axis] + vec(f[2])[axis] }
	slices.SortStableFunc(t.facets[from:to], func(a, b geom.Triangle) int {
		switch x, y := middle(a), middle(b); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	half := (from + to) / 2
	t.build(from, half)
	t.nodes[at].right = len(t.nodes)
	t.build(half, to)
}

// nearest is the index of the facet nearest to p among those within reach that
// look toward the viewer by more than grazing, and its point nearest to p; -1
// where there is none. Of facets equally near at an edge the one counts whose
// plane p lies nearer to.
func (t *tree) nearest(p, toward r3.Vec, reach float64) (facet int, foot r3.Vec) {
	facet = -1
	best, off := reach*reach, math.Inf(1)
	t.visit(0, func(b *geom.Bounds) bool { return distance2(b, p) <= best }, func(i int) {
		f := &t.facets[i]
		q := f.Closest(p)
		d2 := r3.Norm2(r3.Sub(p, q))
		if d2 > best+sameFoot {
			return
		}
		n := f.Normal()
		if r3.Dot(n, toward) <= grazing {
			return
		}
		o := math.Abs(r3.Dot(n, r3.Sub(p, q)))
		if facet >= 0 && d2 > best-sameFoot && o >= off {
			return
		}
		facet, foot, best, off = i, q, min(best, d2), o
	})
	return facet, foot
}

// sameFoot, mm^2: feet whose squared distances differ by less lie on one edge.
const sameFoot = 1e-9

// inside is how long the ray from p along d runs inside the closed model.
func (t *tree) inside(p, d r3.Vec) float64 {
	var length float64
	t.visit(0, func(b *geom.Bounds) bool { return cuts(b, p, d) }, func(i int) {
		if at, ok := t.facets[i].Cut(p, d); ok && at > 0 {
			if r3.Dot(t.facets[i].Normal(), d) > 0 {
				length += at
			} else {
				length -= at
			}
		}
	})
	return length
}

// visit calls do with the facets of all leaves whose boxes, and those round them,
// are wanted.
func (t *tree) visit(at int, want func(*geom.Bounds) bool, do func(int)) {
	n := &t.nodes[at]
	switch {
	case !want(&n.Bounds):
	case n.right == 0:
		for i := n.from; i < n.to; i++ {
			do(i)
		}
	default:
		t.visit(at+1, want, do)
		t.visit(n.right, want, do)
	}
}

// distance2 is the squared distance of p from a box.
func distance2(b *geom.Bounds, p r3.Vec) float64 {
	dx := max(b.Min.X-p.X, 0, p.X-b.Max.X)
	dy := max(b.Min.Y-p.Y, 0, p.Y-b.Max.Y)
	dz := max(b.Min.Z-p.Z, 0, p.Z-b.Max.Z)
	return dx*dx + dy*dy + dz*dz
}

// cuts tells whether the ray from p along d meets a box (Kay and Kajiya, SIGGRAPH
// 1986).
func cuts(box *geom.Bounds, p, d r3.Vec) bool {
	near, far := 0.0, math.Inf(1)
	lo, hi, a, b := vec(box.Min), vec(box.Max), vec(p), vec(d)
	for k := range 3 {
		if b[k] == 0 {
			if a[k] < lo[k] || a[k] > hi[k] {
				return false
			}
			continue
		}
		t0, t1 := (lo[k]-a[k])/b[k], (hi[k]-a[k])/b[k]
		near, far = max(near, min(t0, t1)), min(far, max(t0, t1))
	}
	return near <= far
}

func vec(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }
