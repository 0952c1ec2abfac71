package vise

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// point is a measured point near the jaws, in the fit's frame: base axes, the
// origin at the fit's centre.
type point struct {
	at     r3.Vec
	toward r3.Vec  // to the scanner, unit, base axes
	n      float64 // measured points that it stands for
	blur   float64 // 0 for a raw point; half the voxel where it is a voxel's mean, mm
	voxel  int32
	scan   int32 // index into fit.scans
	face   face  // numFaces: none
	off    float64
	weight float64 // of the robust loss
}

// nearPoints gathers the points on and around the jaws and those whose rays
// came past them, and the scans that they are of. A voxel that kept none of its
// points counts as one point of its weight.
func (v *view) nearPoints(j *jaws, centre r3.Vec) (points []point, scans []int32) {
	voxels := v.nearVoxels(j)
	total := 0
	for _, i := range voxels {
		total += int(max(v.cloud.Voxels[i].Kept, 1))
	}
	points = make([]point, 0, total)
	slot := map[int32]int32{}
	drift := v.drifts(voxels)
	for _, i := range voxels {
		vox := &v.cloud.Voxels[i]
		s, ok := slot[vox.Scan]
		if !ok {
			s = int32(len(scans))
			slot[vox.Scan] = s
			scans = append(scans, vox.Scan)
		}
		p := point{n: vox.N / float64(max(vox.Kept, 1)), voxel: i, scan: s, face: numFaces}
		if vox.Kept == 0 {
			p.blur = float64(vox.Edge) / 2
		}
		eye, turn := vox.Eye(), drift[vox.Scan]
		v.each(vox, func(q r3.Vec) {
			p.at = r3.Sub(q, centre)
			p.toward = r3.Unit(r3.Sub(r3.Add(eye, turn.Apply(r3.Sub(q, vox.Mean))), q))
			points = append(points, p)
		})
	}
	return points, scans
}

// nearVoxels lists the voxels on and around the jaws, and those whose rays came
// close by.
func (v *view) nearVoxels(j *jaws) []int32 {
	region := j.region().Grown(gatherRim)
	half, inverse := r3.Scale(0.5, region.Size), region.Pose.Inverse()
	var near []int32
	for _, i := range v.voxels {
		vox := &v.cloud.Voxels[i]
		if !v.uses(vox) {
			continue
		}
		q := inverse.Apply(vox.Mean)
		if pierces(q, inverse.R.Apply(vox.Toward), r3.Scale(-1, half), half) {
			near = append(near, i)
		}
	}
	return near
}

// thinned keeps every k-th point, so that about most are left, each standing
// for k.
func thinned(points []point, most int) []point {
	k := (len(points) + most - 1) / most
	if k < 2 {
		return points
	}
	var kept []point
	for i := k / 2; i < len(points); i += k {
		p := points[i]
		p.n *= float64(k)
		kept = append(kept, p)
	}
	return kept
}

// gatherRim is how far round the jaws points are taken in, mm: what lies behind
// an edge is needed to see the edge.
const gatherRim = 16.0

// region is the box round both jaws, base.
func (j *jaws) region() geom.Box {
	lo, _ := j.block(false)
	_, hi := j.block(true)
	lo.X -= math.Abs(j.size[sideways])
	hi.X = -lo.X
	mid := r3.Scale(0.5, r3.Add(lo, hi))
	return geom.Box{Pose: geom.Pose{R: j.pose.R, T: j.pose.Apply(mid)}, Size: r3.Sub(hi, lo)}
}

const (
	edgeMargin = 2.0  // mm: edges are rounded, and mixed points lie near them
	grazing    = 0.14 // cosine: past 82 degrees a return says nothing of a face
)

// assign gives every point to the face that it lies nearest to, where it lies
// within gate of it and edgeMargin inside its rim, and is of nothing that lies
// before it.
func (f *fit) assign(gate float64) {
	var g [numFaces]seat
	for k := range g {
		g[k] = f.seat(face(k), gate)
	}
	wavering := f.wavering()
	for i := range f.points {
		p := &f.points[i]
		p.face, p.off = numFaces, gate
		q := f.seen[i]
		for k := range g {
			d := r3.Dot(g[k].normal, q) - g[k].offset
			if math.Abs(d) < math.Abs(p.off) && g[k].holds(q, p.blur) && r3.Dot(g[k].normal, f.rays[i]) > grazing {
				p.face, p.off = face(k), d
			}
		}
		if p.face < numFaces {
			p.off -= dot(wavering[p.scan][p.face], [4]float64{1, q.X, q.Y, q.Z})
		}
	}
}

// seat is a face ready to test points against, in the jaw frame: its plane, its
// rim less the margin, and what lies before it.
type seat struct {
	normal r3.Vec
	offset float64
	lo, hi r3.Vec
	ground ground
}

// seat of face k, for points that may be off it by gate.
func (f *fit) seat(k face, gate float64) seat {
	lo, hi := f.jaws.extent(k)
	n := faces[k].normal
	inset := func(lo, hi, n float64) (float64, float64) {
		if n != 0 {
			return math.Inf(-1), math.Inf(1)
		}
		return lo + edgeMargin, hi - edgeMargin
	}
	s := seat{normal: n, offset: f.offset(k)}
	s.lo.X, s.hi.X = inset(lo.X, hi.X, n.X)
	s.lo.Y, s.hi.Y = inset(lo.Y, hi.Y, n.Y)
	s.lo.Z, s.hi.Z = inset(lo.Z, hi.Z, n.Z)
	if k == fixedFace || k == movingFace {
		s.ground = f.ground(k, gate+edgeMargin)
	}
	return s
}

// holds tells whether q lies within the rim by blur and more, and above what lies
// before the face.
func (s *seat) holds(q r3.Vec, blur float64) bool {
	return q.X >= s.lo.X+blur && q.X <= s.hi.X-blur && q.Y >= s.lo.Y+blur && q.Y <= s.hi.Y-blur && q.Z >= s.lo.Z+blur && q.Z <= s.hi.Z-blur &&
		q.Z > s.ground.at(q.X)+inPlane
}

// nominal is the sensor's noise for each scan at its mean range, mm.
func (v *view) nominal(points []point, scans int) []float64 {
	sum, n := make([]float64, scans), make([]float64, scans)
	for i := range points {
		sum[points[i].scan] += v.cloud.Noise.Sigma(v.cloud.Voxels[points[i].voxel].Range)
		n[points[i].scan]++
	}
	for s := range sum {
		sum[s] = max(sum[s]/n[s], finestNoise)
	}
	return sum
}

// finestNoise, mm: no scanner that is carried by an arm is better, and a scale
// must not be 0.
const finestNoise = 0.005
