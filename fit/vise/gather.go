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
	toward r3.Vec // to the scanner, unit, base axes
	n      float64
	voxel  int32
	scan   int32 // index into fit.scans
	face   face  // numFaces: none
	off    float64
	weight float64 // of the robust loss
}

// nearPoints gathers the points around the jaws: those of coarse voxels too
// where no finer ones are there, as one point of weight n.
func (v *view) nearPoints(j *jaws, centre r3.Vec) (points []point, scans []int32) {
	region := j.region().Grown(gatherRim)
	half := r3.Norm(region.Size) / 2
	slot := map[int32]int32{}
	for _, i := range v.voxels {
		vox := &v.cloud.Voxels[i]
		if r3.Norm(r3.Sub(vox.Mean, region.Pose.T)) > half || !region.Contains(vox.Mean) || float64(vox.Edge) > 1.5*v.pitch {
			continue
		}
		s, ok := slot[vox.Scan]
		if !ok {
			s = int32(len(scans))
			slot[vox.Scan] = s
			scans = append(scans, vox.Scan)
		}
		n := vox.N / float64(max(vox.Kept, 1))
		v.each(vox, func(q r3.Vec) {
			points = append(points, point{at: r3.Sub(q, centre), toward: vox.Toward, n: n, voxel: i, scan: s, face: numFaces})
		})
	}
	return points, scans
}

// gatherRim is how far round the jaws points are taken in, mm: what lies behind
// an edge is needed to see the edge.
const gatherRim = 40.0

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
// within gate of it and edgeMargin inside its rim.
func (f *fit) assign(gate float64) {
	var g [numFaces]seat
	for k := range g {
		g[k] = f.seat(face(k))
	}
	for i := range f.points {
		p := &f.points[i]
		p.face, p.off = numFaces, gate
		q := f.seen[i]
		for k := range g {
			d := r3.Dot(g[k].normal, q) - g[k].offset
			if math.Abs(d) < math.Abs(p.off) && g[k].holds(q) && r3.Dot(g[k].normal, f.rays[i]) > grazing {
				p.face, p.off = face(k), d
			}
		}
	}
}

// seat is a face ready to test points against, in the jaw frame: its plane, and
// its rim less the margin.
type seat struct {
	normal r3.Vec
	offset float64
	lo, hi r3.Vec
}

func (f *fit) seat(k face) seat {
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
	return s
}

func (s *seat) holds(q r3.Vec) bool {
	return q.X >= s.lo.X && q.X <= s.hi.X && q.Y >= s.lo.Y && q.Y <= s.hi.Y && q.Z >= s.lo.Z && q.Z <= s.hi.Z
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
