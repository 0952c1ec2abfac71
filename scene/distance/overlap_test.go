package distance

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Where bodies overlap, no direction parts them by a shorter way than the gap
// says. That it does part them is in TestGapsProveThemselves. The reference
// tries every direction that a facet of the set of differences can have, without
// asking which facets meet; where something is round it climbs from many places.
func TestNoShorterWayParts(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for i, one := range kinds {
		for _, other := range kinds[i:] {
			compared, worst := 0, 0.0
			for range pairs / 5 {
				a, b := drawPair(t, r, one, other)
				g := Between(a.Body, b.Body)
				if g.Distance > 0 {
					continue
				}
				compared++
				shortest := bestSlab(r, &a, &b)
				if worst = max(worst, shortest-g.Distance); worst > within {
					t.Fatalf("%s and %s: gap %+v, but along another direction it is %.9g\n%+v\n%+v", one, other, g, shortest, a, b)
				}
			}
			if t.Logf("%-9s %-9s %5d overlapping, found %.1e mm more at most", one, other, compared, worst); compared < pairs/200 {
				t.Errorf("%s and %s: only %d overlap", one, other, compared)
			}
		}
	}
}

func (d *drawn) slab(other *drawn, n r3.Vec) float64 {
	return -other.reach(r3.Scale(-1, n)) - d.reach(n)
}

// bestSlab is the greatest signed gap that it finds over all directions.
func bestSlab(r *rand.Rand, a, b *drawn) float64 {
	best, at := math.Inf(-1), r3.Vec{Z: 1}
	try := func(n r3.Vec) {
		if l := r3.Norm(n); l > 1e-9 {
			for _, s := range [2]float64{1 / l, -1 / l} {
				if w := a.slab(b, r3.Scale(s, n)); w > best {
					best, at = w, r3.Scale(s, n)
				}
			}
		}
	}
	faces, edges := a.directions()
	more, crossing := b.directions()
	for _, n := range append(faces, more...) {
		try(n)
	}
	for _, e := range edges {
		for _, f := range crossing {
			try(r3.Cross(e, f))
		}
	}
	if a.bar == nil && b.bar == nil {
		return best
	}
	best = climb(a, b, at)
	for range 4 {
		best = max(best, climb(a, b, r3.Unit(vec(r, 1))))
	}
	return best
}

// climb turns n as long as that widens the slab.
func climb(a, b *drawn, n r3.Vec) float64 {
	w := a.slab(b, n)
	for turn := 0.2; turn > 1e-9; {
		x := anyAcross(n)
		y := r3.Cross(n, x)
		better := false
		for k := range 8 {
			s, c := math.Sincos(float64(k) * math.Pi / 4)
			m := r3.Unit(r3.Add(n, r3.Scale(turn, r3.Add(r3.Scale(c, x), r3.Scale(s, y)))))
			if v := a.slab(b, m); v > w+1e-9 {
				w, n, better = v, m, true
			}
		}
		if !better {
			turn /= 2
		}
	}
	return w
}

// directions of the facets' normals and of the edges.
func (d *drawn) directions() (faces, edges []r3.Vec) {
	switch {
	case d.ball != nil:
		return nil, []r3.Vec{r3.Sub(d.ball.To, d.ball.From)}
	case d.bar != nil:
		return []r3.Vec{d.bar.Axis}, []r3.Vec{d.bar.Axis}
	}
	for _, f := range d.mesh.Faces {
		a, b, c := d.mesh.Vertices[f[0]], d.mesh.Vertices[f[1]], d.mesh.Vertices[f[2]]
		faces = append(faces, r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))
		edges = append(edges, r3.Sub(b, a), r3.Sub(c, b), r3.Sub(a, c))
	}
	return faces, edges
}
