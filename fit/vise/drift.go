package vise

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
)

// A voxel keeps one mean direction to the scanner for all of its points. Where
// a ray is followed far beyond its point, to see an edge that it came past,
// that is not enough: along a profile the eye stands still, from one profile to
// the next it moves. How it moves with the place of the points is the same all
// over a small region, and is read off the voxels.

// driftRidge, mm^2, keeps the regression quiet across a direction in which the
// voxels hardly spread: ten millimetres.
const driftRidge = 100.0

// drifts regresses, for every scan, the place of the eye on the place of the
// points: eye = vox.Eye + drift (p - vox.Mean).
func (v *view) drifts(voxels []int32) map[int32]geom.Rot {
	type sums struct{ eye, at geom.Moments }
	means := map[int32]*sums{}
	for _, i := range voxels {
		vox := &v.cloud.Voxels[i]
		s := means[vox.Scan]
		if s == nil {
			s = &sums{}
			means[vox.Scan] = s
		}
		s.eye.Add(vox.Eye(), 1)
		s.at.Add(vox.Mean, 1)
	}
	cross := map[int32]*[3][3]float64{}
	for _, i := range voxels {
		vox := &v.cloud.Voxels[i]
		s := means[vox.Scan]
		c := cross[vox.Scan]
		if c == nil {
			c = &[3][3]float64{}
			cross[vox.Scan] = c
		}
		e, p := vec(vox.Eye()), vec(vox.Mean)
		me, mp := vec(s.eye.Mean), vec(s.at.Mean)
		for a := range 3 {
			for b := range 3 {
				c[a][b] += (e[a] - me[a]) * (p[b] - mp[b])
			}
		}
	}
	out := map[int32]geom.Rot{}
	for scan, s := range means {
		out[scan] = regress(cross[scan], s.at)
	}
	return out
}

// regress is cross (scatter + ridge)^-1.
func regress(cross *[3][3]float64, at geom.Moments) (out geom.Rot) {
	ridge := driftRidge * at.N
	s := at.Scatter
	m := mat.NewSymDense(3, []float64{s[0] + ridge, s[1], s[2], s[1], s[3] + ridge, s[4], s[2], s[4], s[5] + ridge})
	var chol mat.Cholesky
	if !chol.Factorize(m) {
		return out
	}
	for a := range 3 {
		x := mat.NewVecDense(3, nil)
		if chol.SolveVecTo(x, mat.NewVecDense(3, cross[a][:])) != nil {
			return geom.Rot{}
		}
		for b := range 3 {
			out[a][b] = x.AtVec(b)
		}
	}
	return out
}
