package solid

import "slices"

// facet is a triangle of a hull under construction; across[i] is the facet on
// the other side of the edge from corner i to the next one.
type facet struct {
	wall
	corner  [3]int32
	across  [3]int32
	outside []int32 // points above it that no other facet has taken, the furthest one last
	dead    bool
}

// quickhull builds the convex hull of lattice points by adding the furthest
// point outside again and again (Barber, Dobkin and Huhdanpaa, ACM Trans. Math.
// Softw. 22 (1996) 469). All tests are exact, so the result is convex whatever
// the input; points on a facet or an edge may stay corners.
type quickhull struct {
	points []node
	facets []facet
}

// hullOf returns the hull's triangles as indices into points, which must be
// distinct. It is nil where the points lie in a plane.
func hullOf(points []node) [][3]int32 {
	q := quickhull{points: points}
	if !q.start() {
		return nil
	}
	for i := 0; i < len(q.facets); i++ {
		f := &q.facets[i]
		if f.dead || len(f.outside) == 0 {
			continue
		}
		q.add(int32(i), f.outside[len(f.outside)-1])
	}
	var out [][3]int32
	for _, f := range q.facets {
		if !f.dead {
			out = append(out, f.corner)
		}
	}
	return out
}

// start makes a tetrahedron of points far apart.
func (q *quickhull) start() bool {
	if len(q.points) < 4 {
		return false
	}
	a, b := int32(0), int32(0)
	for i, p := range q.points {
		if p.compare(q.points[a]) < 0 {
			a = int32(i)
		}
		if p.compare(q.points[b]) > 0 {
			b = int32(i)
		}
	}
	along := q.points[b].minus(q.points[a])
	c := q.furthest(func(p node) float64 {
		v := along.cross(p.minus(q.points[a]))
		if v == (node{}) {
			return 0
		}
		f := v.vec()
		return f.X*f.X + f.Y*f.Y + f.Z*f.Z
	})
	if c < 0 {
		return false
	}
	base := newWall(q.points[a], q.points[b], q.points[c])
	d := q.furthest(func(p node) float64 { return max(base.height(p), -base.height(p)) })
	if d < 0 {
		return false
	}
	if base.height(q.points[d]) > 0 {
		b, c = c, b
	}
	q.tetrahedron(a, b, c, d)
	return true
}

// furthest is the first point of greatest measure, -1 where all measure zero.
func (q *quickhull) furthest(measure func(node) float64) int32 {
	best, at := 0.0, int32(-1)
	for i, p := range q.points {
		if m := measure(p); m > best {
			best, at = m, int32(i)
		}
	}
	return at
}

// tetrahedron whose fourth corner lies below the triangle of the others.
func (q *quickhull) tetrahedron(a, b, c, d int32) {
	q.push(a, b, c, 3, 2, 1)
	q.push(a, c, d, 0, 2, 3)
	q.push(c, b, d, 0, 3, 1)
	q.push(b, a, d, 0, 1, 2)
	for i := range q.points {
		q.place(int32(i), q.facets)
	}
}

func (q *quickhull) push(a, b, c, ab, bc, ca int32) {
	q.facets = append(q.facets, facet{
		wall:   newWall(q.points[a], q.points[b], q.points[c]),
		corner: [3]int32{a, b, c}, across: [3]int32{ab, bc, ca},
	})
}

// place gives point p to the first of the facets that it lies above, and keeps
// the furthest one of each facet at the end of its list.
func (q *quickhull) place(p int32, facets []facet) {
	for i := range facets {
		f := &facets[i]
		h := f.height(q.points[p])
		if h <= 0 {
			continue
		}
		f.outside = append(f.outside, p)
		if n := len(f.outside); n > 1 && f.height(q.points[f.outside[n-2]]) > h {
			f.outside[n-1], f.outside[n-2] = f.outside[n-2], f.outside[n-1]
		}
		return
	}
}

// edge of the horizon: from a to b, with the facet that stays beyond it.
type edge struct {
	a, b   int32
	beyond int32
}

// add takes in point p, which lies above facet at: what p sees is taken away
// and the horizon is joined to p.
func (q *quickhull) add(at, p int32) {
	var horizon []edge
	var orphans []int32
	todo := []int32{at}
	q.facets[at].dead = true
	for len(todo) > 0 {
		f := &q.facets[todo[len(todo)-1]]
		todo = todo[:len(todo)-1]
		orphans = append(orphans, f.outside...)
		f.outside = nil
		for i, g := range f.across {
			switch other := &q.facets[g]; {
			case other.dead: // just now: what was dead before has no living neighbour
			case other.height(q.points[p]) > 0:
				other.dead = true
				todo = append(todo, g)
			default:
				horizon = append(horizon, edge{f.corner[i], f.corner[(i+1)%3], g})
			}
		}
	}
	q.cone(inOrder(horizon), p)
	first := len(q.facets) - len(horizon)
	for _, o := range orphans {
		if o != p {
			q.place(o, q.facets[first:])
		}
	}
}

// inOrder chains the horizon's edges into a loop.
func inOrder(horizon []edge) []edge {
	from := make(map[int32]int, len(horizon))
	for i, e := range horizon {
		from[e.a] = i
	}
	out := make([]edge, 0, len(horizon))
	for i := 0; len(out) < len(horizon); i = from[horizon[i].b] {
		out = append(out, horizon[i])
	}
	return out
}

// cone joins the loop to point p.
func (q *quickhull) cone(loop []edge, p int32) {
	first, n := int32(len(q.facets)), int32(len(loop))
	for i, e := range loop {
		k := int32(i)
		q.push(e.a, e.b, p, e.beyond, first+(k+1)%n, first+(k+n-1)%n)
		beyond := &q.facets[e.beyond]
		beyond.across[slices.Index(beyond.corner[:], e.b)] = first + k
	}
}
