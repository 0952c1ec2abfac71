package mapping

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	thicknessTrials = 4096 // blocks of a scan that are looked at
	thicknessPoints = 12   // least number in a block: nine degrees of freedom
	thicknessFacing = 0.3  // least cosine of incidence
	// flatQuarter is which part of the blocks is taken to be flat at worst, so
	// that their median is the quarter of all. Where all are flat, the quarter is
	// too low by two thirds of an estimate's deviation: 10 percent for 25 points.
	flatQuarter = 4
)

// thickness reads the noise off the flat patches of a scan: how far the points
// of the 27 voxels round a voxel stand off their plane, seen along the ray.
func (t *table) thickness() []reading {
	var bands [2 * rangeOctaves][]float64
	for i := 0; i < t.n; i += max(t.n/thicknessTrials, 1) {
		s := t.at(i)
		r := s.far / s.n
		band := binOf(r, nearestBand, 1)
		if sigma := t.thicknessAt(s); sigma > 0 && 0 <= band && band < len(bands) {
			bands[band] = append(bands[band], sigma)
		}
	}
	var out []reading
	for i, b := range bands {
		if len(b) >= fewBends {
			slices.Sort(b)
			out = append(out, reading{at: bandMiddle(i), sigma: b[len(b)/flatQuarter], n: float64(len(b))})
		}
	}
	return out
}

// thicknessAt is the noise along the ray that the block round s shows, mm; 0
// where it shows none.
func (t *table) thicknessAt(s *sum) float64 {
	m := s.voxel().Moments
	s.key.around(func(k key) bool {
		if o := t.find(k); o != nil {
			m.Merge(o.voxel().Moments)
		}
		return true
	})
	if m.N < thicknessPoints {
		return 0
	}
	plane, variance := m.Plane()
	facing := math.Abs(r3.Dot(plane.Normal, r3.Unit(s.toward)))
	if facing < thicknessFacing {
		return 0
	}
	const fitted = 3 // parameters of a plane
	return math.Sqrt(variance[0]*m.N/(m.N-fitted)) / facing
}
