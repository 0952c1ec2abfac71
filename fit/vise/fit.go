package vise

import (
	"math"
	"sort"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// fit is the maximum-likelihood fit of the two-jaw model. Its unknowns are the
// pose (6), the sizes (numSizes), for every sweep a small rigid shift (6), and
// for every group of edge points how far they lie inside the true edge (1).
//
// The likelihood of a point is that of its distance to the plane of its face;
// that is linear in the point, so that each face and sweep enters by its
// moments only and a step costs the same for a thousand or a million points.
type fit struct {
	jaws
	view    *view
	centre  r3.Vec    // origin of the fit's frame, base; its axes are base's
	inJaw   geom.Pose // jawFromFit
	points  []point
	scans   []int32      // indices into Cloud.Scans
	sweeps  [][6]float64 // per scan: shift (mm) and rotation vector (rad) about centre
	scale   [][numFaces]float64
	nominal []float64 // sensor noise by scan, mm
	blocks  []block
	edges   []edge
	groups  []edgeGroup
	seen    []r3.Vec // the points, and their directions to the scanner, in the jaw frame
	rays    []r3.Vec
	expect  [numSizes]Measure // prior of the sizes
	deff    float64           // variance of a mean over that of independent points
	high    Measure           // the jaws' height
	mixture mixture
}

// block is the weighted moments of the points of one face and sweep: the sum of
// w (1, p)(1, p)^T, in the fit's frame.
type block struct {
	face  face
	scan  int32
	group int32 // edge group, or -1
	sum   [4][4]float64
	count float64
}

func (b *block) add(p r3.Vec, w float64) {
	h := [4]float64{1, p.X, p.Y, p.Z}
	for i := range h {
		for k := range h {
			b.sum[i][k] += w * h[i] * h[k]
		}
	}
}

const (
	wideGate   = 4.0   // mm: a guess is off by a pixel of the plan and a degree
	closeGate  = 1.5   // mm: beyond, no point belongs to a face however noisy
	rounds     = 12    // of assigning and solving; the gate halves until closeGate
	settled    = 0.002 // mm: steps below this change no digit that is reported
	biweight   = 4.685 // Tukey's constant for 95 % efficiency (Holland and Welsch 1977)
	madToSigma = 1.4826
)

// begin gathers the points around the guess.
func (v *view) begin(g *jaws, expect [numSizes]Measure) *fit {
	f := &fit{jaws: *g, view: v, centre: g.middle(), expect: expect, deff: 1}
	f.points, f.scans = v.nearPoints(g, f.centre)
	f.sweeps = make([][6]float64, len(f.scans))
	f.scale = make([][numFaces]float64, len(f.scans))
	f.nominal = f.view.nominal(f.points, len(f.scans))
	f.place()
	return f
}

// place renews what follows from the pose.
func (f *fit) place() {
	f.inJaw = geom.Pose{R: f.pose.R, T: r3.Sub(f.pose.T, f.centre)}.Inverse()
	f.seen, f.rays = make([]r3.Vec, len(f.points)), make([]r3.Vec, len(f.points))
	for i := range f.points {
		p := &f.points[i]
		f.seen[i] = f.inJaw.Apply(r3.Sub(p.at, f.shift(p)))
		f.rays[i] = f.inJaw.R.Apply(p.toward)
	}
}

// run alternates between giving the points to faces and solving for the
// unknowns until nothing moves.
func (f *fit) run() {
	gate := wideGate
	for round := range rounds {
		f.assign(gate)
		f.weigh()
		f.gather()
		if gate == closeGate {
			f.findEdges()
			f.deff = f.designEffect()
		}
		step := f.solve()
		if gate == closeGate && step < settled && round > 5 {
			break
		}
		gate = max(gate/1.5, closeGate)
	}
}

// weigh estimates, for every face and sweep, the scale of the residuals and
// gives every point its robust weight.
func (f *fit) weigh() {
	residuals := make([][numFaces][]float64, len(f.scans))
	for i := range f.points {
		if p := &f.points[i]; p.face < numFaces {
			r := &residuals[p.scan][p.face]
			*r = append(*r, math.Abs(p.off))
		}
	}
	for s := range residuals {
		for k, r := range residuals[s] {
			f.scale[s][k] = max(madToSigma*median(r), f.leastScale(s))
		}
	}
	for i := range f.points {
		if p := &f.points[i]; p.face < numFaces {
			u := p.off / (biweight * f.scale[p.scan][p.face])
			p.weight = max(0, 1-u*u) * max(0, 1-u*u)
		}
	}
}

// leastScale keeps the scale of a handful of points from collapsing: a third of
// the sensor's noise at the sweep's range, for a face seen at 70 degrees.
func (f *fit) leastScale(scan int) float64 {
	return f.nominal[scan] / 3
}

// gather sums the points up into blocks.
func (f *fit) gather() {
	at := map[[2]int32]int{}
	f.blocks = f.blocks[:0]
	for i := range f.points {
		p := &f.points[i]
		if p.face == numFaces || p.weight == 0 {
			continue
		}
		key := [2]int32{p.scan, int32(p.face)}
		k, ok := at[key]
		if !ok {
			k = len(f.blocks)
			at[key] = k
			f.blocks = append(f.blocks, block{face: p.face, scan: p.scan, group: -1})
		}
		s := f.scale[p.scan][p.face]
		f.blocks[k].add(p.at, p.weight*p.n/(s*s*f.deff))
		f.blocks[k].count += p.weight * p.n
	}
}

// shift is where the sweep's rigid shift carries the point.
func (f *fit) shift(p *point) r3.Vec {
	s := &f.sweeps[p.scan]
	return r3.Add(r3.Vec{X: s[0], Y: s[1], Z: s[2]}, r3.Cross(r3.Vec{X: s[3], Y: s[4], Z: s[5]}, p.at))
}

// median sorts x. It is 0 for no values.
func median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	sort.Float64s(x)
	return x[len(x)/2]
}
