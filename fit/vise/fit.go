package vise

import (
	"math"
	"sort"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// fit is the maximum-likelihood fit of the two-jaw model. Its unknowns are the
// pose (6), the sizes (numSizes), for every sweep a small rigid shift (6), for
// every face in a sweep how it wavers (3), and for every group of edge points how
// far they lie inside the true edge (1).
//
// The likelihood of a point is that of its distance to the plane of its face;
// that is linear in the point, so that each face and sweep enters by its
// moments only and a step costs the same for a thousand or a million points.
type fit struct {
	jaws
	view    *view
	centre  r3.Vec       // origin of the fit's frame, base; its axes are base's
	inJaw   geom.Pose    // jawFromFit
	all     []point      // around the jaws
	points  []point      // of them, those that are fitted to
	scans   []int32      // indices into Cloud.Scans
	sweeps  [][6]float64 // per scan: shift (mm) and rotation vector (rad) about centre
	wavers  []waver
	scale   [][numFaces]float64
	nominal []float64 // sensor noise by scan, mm
	blocks  []block
	edges   []edge
	groups  []edgeGroup
	trim    float64  // see edgeGroup
	strict  bool     // stray edges are left out
	seen    []r3.Vec // the points, and their directions to the scanner, in the jaw frame
	rays    []r3.Vec
	expect  [numSizes]Measure // prior of the sizes
	deff    float64           // variance of a mean over that of independent points
	mixture mixture
}

// block is the weighted moments of the points of one face and sweep: the sum of
// w (1, p)(1, p)^T, in the fit's frame.
type block struct {
	face  face
	scan  int32
	group int32 // edge group, or -1
	waver int   // index into fit.wavers, or noWaver
	sum   [4][4]float64
}

func (b *block) add(p r3.Vec, w float64) {
	h := [4]float64{1, p.X, p.Y, p.Z}
	for i := range h {
		for k := range h {
			b.sum[i][k] += w * h[i] * h[k]
		}
	}
}

// addAll takes in all points of the moments.
func (b *block) addAll(m *geom.Moments, centre r3.Vec, w float64) {
	p, s := vec(r3.Sub(m.Mean, centre)), m.Scatter
	scatter := [3][3]float64{{s[0], s[1], s[2]}, {s[1], s[3], s[4]}, {s[2], s[4], s[5]}}
	b.sum[0][0] += w * m.N
	for i := range 3 {
		b.sum[0][i+1] += w * m.N * p[i]
		b.sum[i+1][0] += w * m.N * p[i]
		for k := range 3 {
			b.sum[i+1][k+1] += w * (scatter[i][k] + m.N*p[i]*p[k])
		}
	}
}

const (
	roughPoints    = 8000 // of them, a jaw has some hundreds on each face
	roughlySettled = 0.05 // mm

	aDegree    = 1.5   // mm: what a jaw's ends are off by when it is turned by that
	closeGate  = 1.5   // mm: beyond, no point belongs to a face however noisy
	rounds     = 10    // of assigning and solving, at most
	edgeRounds = 3     // of these in which edges and correlation are read anew: later steps move neither
	settled    = 0.003 // mm: steps below this change no digit that is reported
	biweight   = 4.685 // Tukey's constant for 95 % efficiency (Holland and Welsch 1977)
	madToSigma = 1.4826
)

// begin gathers the points around the guess.
func (v *view) begin(g *jaws) *fit {
	f := &fit{jaws: *g, view: v, centre: g.middle(), expect: g.loosely(), deff: 1}
	f.all, f.scans = v.nearPoints(g, f.centre)
	f.sweeps = make([][6]float64, len(f.scans))
	f.scale = make([][numFaces]float64, len(f.scans))
	f.nominal = v.nominal(f.all, len(f.scans))
	f.use(thinned(f.all, roughPoints))
	return f
}

// use takes the points to fit to.
func (f *fit) use(points []point) {
	f.points = points
	f.seen, f.rays = make([]r3.Vec, len(points)), make([]r3.Vec, len(points))
	f.place()
}

// place renews what follows from the pose.
func (f *fit) place() {
	f.inJaw = geom.Pose{R: f.pose.R, T: r3.Sub(f.pose.T, f.centre)}.Inverse()
	for i := range f.points {
		p := &f.points[i]
		f.seen[i] = f.inJaw.Apply(r3.Sub(p.at, f.shift(p)))
		f.rays[i] = f.inJaw.R.Apply(p.toward)
	}
}

// roughly fits to a part of the points and to no edges: enough to tell whether
// the guess is a vise.
func (f *fit) roughly() {
	for gate := planPixels*f.view.pitch + aDegree; gate > closeGate; gate /= 1.5 { // a guess is off by a pixel of the plan and a degree
		f.round(gate)
	}
	for range rounds {
		if f.round(closeGate) < roughlySettled {
			return
		}
	}
}

// finely fits to all points and edges. The first round goes without edges, so
// that one that is not where faces and given sizes say is known for a stray.
func (f *fit) finely() {
	f.use(f.all)
	f.round(closeGate)
	for round := range rounds {
		f.strict = round > 0
		f.assign(closeGate)
		f.weigh()
		if f.strict {
			f.drop()
		}
		if round < edgeRounds {
			f.findEdges()
			f.deff = f.designEffect()
		}
		f.gather()
		if f.solve((*system).overShifts) < settled && f.strict {
			return
		}
	}
}

// round gives the points to faces and solves for the unknowns once. It returns
// how far the jaws moved, mm.
func (f *fit) round(gate float64) float64 {
	f.assign(gate)
	f.weigh()
	f.gather()
	return f.solve((*system).asExpected)
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
			p.weight = bisquare(p.off / (biweight * f.scale[p.scan][p.face]))
		}
	}
}

// bisquare is Tukey's weight: 0 beyond 1.
func bisquare(u float64) float64 {
	w := max(0, 1-u*u)
	return w * w
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
	for from := 0; from < len(f.points); {
		to := from + 1
		for to < len(f.points) && f.points[to].voxel == f.points[from].voxel {
			to++
		}
		if whole, w := f.whole(f.points[from:to]); whole != nil {
			p := &f.points[from]
			b := f.blockOf(at, p)
			b.addAll(whole, f.centre, w/(f.variance(p)))
			from = to
			continue
		}
		for i := from; i < to; i++ {
			if p := &f.points[i]; p.face < numFaces && p.weight > 0 {
				f.blockOf(at, p).add(p.at, p.weight*p.n/f.variance(p))
			}
		}
		from = to
	}
	f.waverBlocks()
}

// blockOf finds or starts the block of the point's face and sweep.
func (f *fit) blockOf(at map[[2]int32]int, p *point) *block {
	key := [2]int32{p.scan, int32(p.face)}
	k, ok := at[key]
	if !ok {
		k = len(f.blocks)
		at[key] = k
		f.blocks = append(f.blocks, block{face: p.face, scan: p.scan, group: -1, waver: noWaver})
	}
	return &f.blocks[k]
}

// variance of the point's distance to its face, with the design effect.
func (f *fit) variance(p *point) float64 {
	s := f.scale[p.scan][p.face]
	return s * s * f.deff
}

// whole returns the moments of a voxel of which only some points were kept,
// when all of these lie on one face and the rest cannot lie elsewhere, with the
// mean weight of those kept; nil where the points must speak for themselves.
func (f *fit) whole(kept []point) (*geom.Moments, float64) {
	p := &kept[0]
	vox := &f.view.cloud.Voxels[p.voxel]
	if p.face == numFaces || int(vox.Kept) != len(kept) || vox.N <= float64(len(kept)) || p.blur > 0 {
		return nil, 0
	}
	var weight float64
	for i := range kept {
		if kept[i].face != p.face || kept[i].weight == 0 {
			return nil, 0
		}
		weight += kept[i].weight / float64(len(kept))
	}
	n := f.pose.R.Apply(faces[p.face].normal)
	s := f.scale[p.scan][p.face]
	if vox.Scatter.Form(n) > vox.N*wholeSigmas*wholeSigmas*s*s {
		return nil, 0
	}
	return &vox.Moments, weight
}

// wholeSigmas: a voxel whose points scatter by more than this across the face
// holds some that are not of it.
const wholeSigmas = 2.0

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
