package shape

import (
	"math"
	"sort"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// fit is the least-squares fit of the model to points: the pose, and for every
// sweep a small rigid displacement. A point counts by its distance along the
// normal of the facet that is nearest to it, in a robust loss.
type fit struct {
	view   *view
	pose   geom.Pose
	points []point
	scans  []int32      // indices into Cloud.Scans
	sweeps [][6]float64 // per scan: shift (mm) and rotation vector (rad) about the model's middle
	floor  []float64    // per scan: a third of the sensor's noise, mm
	scale  []float64    // per scan: of the residuals, mm
	deff   float64      // variance of a mean over that of independent points

	failed     bool
	cov, noise geom.Cov6 // of the pose of the model's middle
	sweepSigma float64

	score     float64
	explained []bool // patches of the view
	against   int
	near      int
}

// point is a measured one with its foot on the model.
type point struct {
	at     r3.Vec // base
	toward r3.Vec // to the scanner, base
	n      float64
	scan   int32
	normal r3.Vec // of the facet at its foot, base; zero where it has none
	off    float64
	weight float64
}

const (
	wideGate   = 0.06 // of the model's size: what a guess is off by
	closeGate  = 1.5  // mm: beyond, no point belongs to the surface however noisy
	offFacet   = 0.5  // mm: a foot on an edge lies aside by no more on a curved surface
	rounds     = 25
	settled    = 0.003 // mm
	biweight   = 4.685 // Tukey's constant for 95 % efficiency (Holland and Welsch 1977)
	madToSigma = 1.4826
	mostPoints = 20000 // on the object: more do not better what sweeps disagree by
	fewPoints  = 12
	leastScale = 0.005 // mm: no scanner that is carried by an arm is better
)

// centre is where the model's middle lies, base.
func (f *fit) centre() r3.Vec { return f.pose.Apply(f.view.model.middle) }

// begin takes the patches as points, with the scans as one: enough to tell
// whether a guess holds.
func (v *view) begin(pose geom.Pose) *fit {
	f := &fit{view: v, pose: pose, deff: 1, sweeps: make([][6]float64, 1), scans: []int32{-1}, scale: make([]float64, 1), floor: []float64{leastScale}}
	at := pose.Apply(v.model.middle)
	for i := range v.patches {
		p := &v.patches[i]
		if p.oriented() && r3.Norm(r3.Sub(p.Mean, at)) < v.model.reach()*1.5 {
			f.points = append(f.points, point{at: p.Mean, toward: p.normal, n: 1})
		}
	}
	return f
}

// roughly fits to the patches, with a gate that closes.
func (f *fit) roughly() {
	last := max(closeGate, f.view.pitch/4)
	for gate := wideGate * f.view.model.size; ; gate = max(gate/1.5, last) {
		moved := f.step(gate, (*fit).damped)
		if f.failed || gate == last && moved < f.view.pitch/100 {
			return
		}
		if gate == last {
			for range rounds {
				if f.step(gate, (*fit).damped) < f.view.pitch/100 || f.failed {
					return
				}
			}
			return
		}
	}
}

// finely fits to the raw points, sweep by sweep.
func (f *fit) finely() {
	f.gather()
	for round := range rounds {
		if f.step(closeGate, (*fit).mixed) < settled && round > 2 || f.failed {
			return
		}
		if round < 3 { // later steps do not move it
			f.deff = f.designEffect()
		}
	}
}

// gather takes the points round the model: the samples that voxels kept, or their
// means.
func (f *fit) gather() {
	v, box := f.view, f.view.model.boxAt(f.pose).Grown(2*closeGate)
	slot := map[int32]int32{}
	f.points, f.scans = nil, nil
	var noise, count []float64
	for _, i := range v.want.Voxels {
		vox := &v.cloud.Voxels[i]
		if float64(vox.Edge) > 1.5*v.pitch || !box.Grown(float64(vox.Edge)).Contains(vox.Mean) {
			continue
		}
		s, ok := slot[vox.Scan]
		if !ok {
			s = int32(len(f.scans))
			slot[vox.Scan] = s
			f.scans, noise, count = append(f.scans, vox.Scan), append(noise, 0), append(count, 0)
		}
		noise[s] += v.cloud.Noise.Sigma(vox.Range)
		count[s]++
		p := point{toward: vox.Toward, n: vox.N / float64(max(vox.Kept, 1)), scan: s}
		if vox.Kept == 0 {
			p.at = vox.Mean
			f.points = append(f.points, p)
		}
		for _, q := range v.cloud.Samples[vox.First : vox.First+vox.Kept] {
			p.at = r3.Vec{X: float64(q[0]), Y: float64(q[1]), Z: float64(q[2])}
			f.points = append(f.points, p)
		}
	}
	f.thin()
	f.sweeps, f.scale, f.floor = make([][6]float64, len(f.scans)), make([]float64, len(f.scans)), make([]float64, len(f.scans))
	for s := range f.floor {
		f.floor[s] = max(noise[s]/count[s]/3, leastScale)
	}
}

// thin keeps every k-th point, so that about mostPoints are left.
func (f *fit) thin() {
	k := (len(f.points) + mostPoints - 1) / mostPoints
	if k < 2 {
		return
	}
	n := 0
	for i := k / 2; i < len(f.points); i += k {
		f.points[n] = f.points[i]
		f.points[n].n *= float64(k)
		n++
	}
	f.points = f.points[:n]
}

// step finds feet and weights under the present pose, takes one step, and returns
// how far it moved the model, mm.
func (f *fit) step(gate float64, solve func(*fit, float64) [6]float64) float64 {
	f.place(gate)
	if f.count() < fewPoints {
		f.failed = true
		return 0
	}
	d := solve(f, gate)
	f.pose = f.moved(d)
	return math.Hypot(r3.Norm(r3.Vec{X: d[0], Y: d[1], Z: d[2]}), r3.Norm(r3.Vec{X: d[3], Y: d[4], Z: d[5]})*f.view.model.reach())
}

// moved is the pose after a displacement of the model's middle and a turn about
// it.
func (f *fit) moved(d [6]float64) geom.Pose {
	c := f.centre()
	about := geom.Pose{R: f.pose.R, T: c}.Perturb(d)
	return geom.Pose{R: about.R, T: r3.Sub(about.T, about.R.Apply(f.view.model.middle))}
}

// place gives every point its foot, its distance and its robust weight.
func (f *fit) place(gate float64) {
	inv := f.pose.Inverse()
	c := f.centre()
	off := make([][]float64, len(f.scans))
	for i := range f.points {
		p := &f.points[i]
		f.seat(p, inv, c, gate)
		if p.weight > 0 {
			off[p.scan] = append(off[p.scan], math.Abs(p.off))
		}
	}
	for s := range off {
		f.scale[s] = max(madToSigma*median(off[s]), f.floor[s])
	}
	for i := range f.points {
		if p := &f.points[i]; p.weight > 0 {
			p.weight = bisquare(p.off / (biweight * f.scale[p.scan]))
		}
	}
}

// seat finds the point's foot; its weight is 0 where there is none.
func (f *fit) seat(p *point, inv geom.Pose, centre r3.Vec, gate float64) {
	p.weight = 0
	s := &f.sweeps[p.scan]
	arm := r3.Sub(p.at, centre)
	shift := r3.Add(r3.Vec{X: s[0], Y: s[1], Z: s[2]}, r3.Cross(r3.Vec{X: s[3], Y: s[4], Z: s[5]}, arm))
	q := inv.Apply(r3.Sub(p.at, shift))
	k, foot := f.view.model.tree.nearest(q, inv.R.Apply(p.toward), gate)
	if k < 0 {
		return
	}
	n := f.view.model.tree.facets[k].Normal()
	d := r3.Sub(q, foot)
	p.off = r3.Dot(n, d)
	if r3.Norm2(d)-p.off*p.off > offFacet*offFacet {
		return
	}
	p.normal, p.weight = f.pose.R.Apply(n), 1
}

// bisquare is Tukey's weight: 0 beyond 1.
func bisquare(u float64) float64 {
	w := max(0, 1-u*u)
	return w * w
}

// median sorts x. It is 0 for no values.
func median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	sort.Float64s(x)
	return x[len(x)/2]
}

// count of the points that lie on the surface.
func (f *fit) count() int {
	n := 0
	for i := range f.points {
		if f.points[i].weight > 0 {
			n++
		}
	}
	return n
}

// rms of the points that lie on the surface, mm.
func (f *fit) rms() float64 {
	var sum, n float64
	for i := range f.points {
		if p := &f.points[i]; p.weight > 0 {
			sum, n = sum+p.n*p.off*p.off, n+p.n
		}
	}
	return math.Sqrt(sum / max(n, 1))
}
