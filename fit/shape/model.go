package shape

import (
	"math"
	"math/rand/v2"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Model is a closed surface of facets that look outward, in its own frame, mm.
type Model struct {
	tree    *tree
	bounds  geom.Bounds
	middle  r3.Vec  // of the bounds
	size    float64 // diagonal of the bounds
	area    float64
	samples []sample // spread evenly over the surface
}

// sample is a point of the surface with its outward normal.
type sample struct{ at, normal r3.Vec }

// surfaceSamples on a model: some tens on every face that matters.
const surfaceSamples = 400

// NewModel prepares facets for matching. They are those of a closed solid.
func NewModel(facets []geom.Triangle) *Model {
	m := &Model{tree: newTree(facets)}
	m.bounds = m.tree.nodes[0].Bounds
	m.middle = r3.Scale(0.5, r3.Add(m.bounds.Min, m.bounds.Max))
	m.size = r3.Norm(r3.Sub(m.bounds.Max, m.bounds.Min))
	for i := range facets {
		m.area += facets[i].Area()
	}
	m.spread(rand.New(rand.NewPCG(1, surfaceSamples)))
	return m
}

// spread draws the samples at equal steps of area along the list of facets, each
// at a random place of its facet (Osada and others, ACM Trans. Graph. 21 (2002)
// 807, equation 1).
func (m *Model) spread(rng *rand.Rand) {
	step := m.area / surfaceSamples
	left := step / 2
	for i := range m.tree.facets {
		f := &m.tree.facets[i]
		for left -= f.Area(); left < 0; left += step {
			a, b := math.Sqrt(rng.Float64()), rng.Float64()
			at := r3.Add(r3.Scale(1-a, f[0]), r3.Add(r3.Scale(a*(1-b), f[1]), r3.Scale(a*b, f[2])))
			m.samples = append(m.samples, sample{at, f.Normal()})
		}
	}
}

// Size is the diagonal of the box round the model, mm.
func (m *Model) Size() float64 { return m.size }

// apart is how far two poses put the corners of the model's box from each other,
// mm, root mean square.
func (m *Model) apart(a, b geom.Pose) float64 {
	var sum float64
	for _, p := range m.corners() {
		sum += r3.Norm2(r3.Sub(a.Apply(p), b.Apply(p)))
	}
	return math.Sqrt(sum / 8)
}

func (m *Model) corners() [8]r3.Vec {
	return m.boxAt(geom.Identity()).Corners()
}

// boxAt is the box round the model at the pose.
func (m *Model) boxAt(p geom.Pose) geom.Box {
	return geom.Box{Pose: geom.Pose{R: p.R, T: p.Apply(m.middle)}, Size: r3.Sub(m.bounds.Max, m.bounds.Min)}
}

// reach is the radius of the sphere about the middle that holds the model.
func (m *Model) reach() float64 { return m.size / 2 }
