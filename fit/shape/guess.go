package shape

import (
	"math"
	"math/rand/v2"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Two oriented points whose normals are not parallel fix a pose. A pair of the
// cloud is looked up among those of the model by its distance and three angles,
// which no motion changes (point pair features: Drost and others, CVPR 2010,
// equation 1); each pair found gives a pose, that is scored by how much of the
// model has its like in the cloud there.

const (
	pairDraws   = 6000 // pairs of the cloud: with a tenth of it of the object, some sixty lie on it
	pairChoices = 40   // of the model's pairs alike, at most
	quickLook   = 40   // samples after which a pose is given up that has too few
	quickShare  = 0.1  // of them: an object seen from one side shows that much
	angleBins   = 15   // of 12 degrees, three times what a patch's normal is off by
	sizeBins    = 24   // of the distance, up to the model's size
	leastTurn   = 0.34 // sine between the normals of a pair: 20 degrees
	leastApart  = 0.1  // of the model's size, between the points of a pair
	likeness    = 0.9  // cosine between normals that are alike: 25 degrees
	poseSeed    = 0x5ca1e
)

// pairKey is what a motion leaves of a pair.
type pairKey [4]uint8

// pair holds two oriented points.
type pair struct{ a, b sample }

// key of the pair; not ok where its points or normals do not fix a pose well.
func (p pair) key(size float64) (k pairKey, ok bool) {
	d := r3.Sub(p.b.at, p.a.at)
	l := r3.Norm(d)
	if l < leastApart*size || l > size || r3.Norm(r3.Cross(p.a.normal, p.b.normal)) < leastTurn {
		return k, false
	}
	d = r3.Scale(1/l, d)
	k[0] = uint8(l / size * (sizeBins - 1))
	for i, c := range [3]float64{r3.Dot(p.a.normal, d), r3.Dot(p.b.normal, d), r3.Dot(p.a.normal, p.b.normal)} {
		k[1+i] = uint8(math.Acos(max(-1, min(1, c))) / math.Pi * (angleBins - 1e-9))
	}
	return k, true
}

// frame is parentFromPair: Z along the first normal, X along the part of the
// second one that is square to it.
func (p pair) frame() geom.Pose {
	z := p.a.normal
	x := r3.Unit(r3.Sub(p.b.normal, r3.Scale(r3.Dot(z, p.b.normal), z)))
	return geom.Pose{R: geom.RotFromAxes(x, r3.Cross(z, x), z), T: r3.Scale(0.5, r3.Add(p.a.at, p.b.at))}
}

// pairs of the model by their keys.
func (m *Model) pairs() map[pairKey][]pair {
	out := map[pairKey][]pair{}
	for i, a := range m.samples {
		for k, b := range m.samples {
			if p := (pair{a, b}); i != k {
				if key, ok := p.key(m.size); ok {
					out[key] = append(out[key], p)
				}
			}
		}
	}
	return out
}

// guess is a pose with the share of the model's samples that it explains.
type guess struct {
	pose  geom.Pose
	score float64
}

// guesses are the best poses of the pairs drawn, no two at one place.
func (v *view) guesses() []geom.Pose {
	rng := rand.New(rand.NewPCG(poseSeed, uint64(len(v.patches))))
	model, near := v.model.pairs(), v.neighbours()
	order := rng.Perm(len(v.model.samples))
	var all []guess
	for range pairDraws {
		p, ok := near.draw(v, rng)
		if !ok {
			continue
		}
		key, ok := p.key(v.model.size)
		if !ok {
			continue
		}
		alike, at := model[key], p.frame()
		for range min(pairChoices, len(alike)) {
			g := guess{pose: at.Mul(alike[rng.IntN(len(alike))].frame().Inverse())}
			if g.score = v.score(g.pose, order); g.score > 0 {
				all = append(all, g)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b guess) int {
		switch {
		case a.score > b.score:
			return -1
		case a.score < b.score:
			return 1
		}
		return 0
	})
	var kept []geom.Pose
	for _, g := range all {
		if len(kept) == mostFits {
			break
		}
		if !slices.ContainsFunc(kept, func(k geom.Pose) bool { return v.model.apart(g.pose, k) < guessApart*v.model.size }) {
			kept = append(kept, g.pose)
		}
	}
	return kept
}

// score is the share of the model's samples, taken in the given order, that lie
// on a patch with a normal like theirs; 0 where a quick look finds too few.
func (v *view) score(pose geom.Pose, order []int) float64 {
	hits := 0
	for n, i := range order {
		if n == quickLook && float64(hits) < quickShare*quickLook {
			return 0
		}
		s := &v.model.samples[i]
		if v.has(pose.Apply(s.at), pose.R.Apply(s.normal)) {
			hits++
		}
	}
	return float64(hits) / float64(len(order))
}

// has tells whether a patch with about this normal, or one at an edge, which has
// none, lies within its cell of p.
func (v *view) has(p, normal r3.Vec) bool {
	for _, step := range [3]float64{0, 0.5, -0.5} {
		k, ok := v.at[v.cell(r3.Add(p, r3.Scale(step*v.pitch, normal)))]
		if ok && (!v.patches[k].oriented() || r3.Dot(v.patches[k].normal, normal) > likeness) {
			return true
		}
	}
	return false
}

// neighbours finds patches near each other: lists of the oriented ones by coarse
// cells as large as the model.
type neighbours struct {
	edge     float64
	oriented []int32
	cells    map[[3]int32][]int32
}

func (v *view) neighbours() *neighbours {
	n := &neighbours{edge: v.model.size / 2, cells: map[[3]int32][]int32{}}
	for i := range v.patches {
		if v.patches[i].oriented() {
			n.oriented = append(n.oriented, int32(i))
			k := n.cell(v.patches[i].Mean)
			n.cells[k] = append(n.cells[k], int32(i))
		}
	}
	return n
}

func (n *neighbours) cell(p r3.Vec) [3]int32 {
	return [3]int32{int32(math.Floor(p.X / n.edge)), int32(math.Floor(p.Y / n.edge)), int32(math.Floor(p.Z / n.edge))}
}

// draw takes a patch at random, and one more near it.
func (n *neighbours) draw(v *view, rng *rand.Rand) (pair, bool) {
	if len(n.oriented) == 0 {
		return pair{}, false
	}
	a := &v.patches[n.oriented[rng.IntN(len(n.oriented))]]
	k := n.cell(a.Mean)
	for i := range k {
		k[i] += int32(rng.IntN(3)) - 1
	}
	others := n.cells[k]
	if len(others) == 0 {
		return pair{}, false
	}
	b := &v.patches[others[rng.IntN(len(others))]]
	return pair{sample{a.Mean, a.normal}, sample{b.Mean, b.normal}}, true
}
