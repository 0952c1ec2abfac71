// Package register finds where a still scan was taken whose pose is known only
// roughly, by laying its surfaces on those of scans that are placed.
//
// Both are cut into patches: small flat pieces with normal and offset. Starts all
// over what the rough pose allows are laid on by the patches' distances along
// their normals (Chen and Medioni 1992), with a reach that shrinks; the few that
// fit best are solved closely, and the best of them is held against what both
// scans say of the space between: a surface through which the still scan's rays
// went speaks against a placement as one that it shares speaks for it.
package register

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Voxel is a small part of space as one scan saw it, base frame, mm.
type Voxel struct {
	geom.Moments         // of its points
	Edge         float64 // of the cube
	Toward       r3.Vec  // mean direction from the points to the eye, unit
	Range        float64 // mean distance from the eye
}

// Scan is the voxels of one scan.
type Scan struct {
	Voxels []Voxel
	Sigma  func(rangeMM float64) float64 // noise along the ray at a range, mm
}

// Rough is by how much a pose may be off.
type Rough struct {
	Shift float64 // of the scanner's eye, mm
	Turn  float64 // about any axis, rad
}

// Placement is where the still scan was taken. Its motion leads from the rough
// pose to the true one: base coordinates as placed roughly to base coordinates.
type Placement struct {
	Motion geom.Pose
	Eye    r3.Vec    // where the scanner stood, base, mm
	Shift  r3.Vec    // by which the eye moved, mm
	Turn   r3.Vec    // rotation vector about the eye, base axes, rad
	Cov    geom.Cov6 // of shift and turn
	Fit    Fit       // how well it fits
	Before float64   // rms distance of the same patches where the scan stood roughly, mm
	Next   *NextBest // the next best placement, nil where no other fits at all
}

// Fit is how well the still scan's patches lie on the others'.
type Fit struct {
	Pairs    int     // patches that lie on one another
	Surfaces int     // planes that they belong to
	RMS      float64 // distance between them along the normal, mm
	Overlap  float64 // share of the placed patches that the still scan confirms
	Against  float64 // share of what either shows of the other that speaks against: seen through, or beside
}

// NextBest is the placement that comes next to the best.
type NextBest struct {
	Shift, Turn r3.Vec // as of Placement
	// For and Against are the patches that one placement confirms and the other
	// contradicts: for the best, and for this one.
	For, Against int
}

// Significant is what Chi2 passes by chance in one of twenty poses that were right
// (chi-squared with six degrees of freedom).
const Significant = 12.59

// Chi2 is the squared distance of the correction from none, in units of its
// covariance.
func (p *Placement) Chi2() float64 {
	c := mat.NewSymDense(6, nil)
	for i := range 6 {
		for j := i; j < 6; j++ {
			c.SetSym(i, j, p.Cov[i][j])
		}
	}
	d := mat.NewVecDense(6, []float64{p.Shift.X, p.Shift.Y, p.Shift.Z, p.Turn.X, p.Turn.Y, p.Turn.Z})
	var f mat.Cholesky
	var x mat.VecDense
	if !f.Factorize(c) || f.SolveVecTo(&x, d) != nil {
		return math.Inf(1)
	}
	return mat.Dot(d, &x)
}

// Refusal says why a scan cannot be placed.
type Refusal struct{ Reason, Remedy string }

func (r *Refusal) Error() string { return r.Reason + "; " + r.Remedy }

// Place finds the motion of the still scan, whose eye stands at eye where it is
// placed roughly, onto the placed scans. accuracy is the declared accuracy of the
// arm, one sigma, mm; 0 where none is. The error is a *Refusal: the scans share
// too little, leave a direction open, or fit in two ways.
func Place(placed []Scan, still Scan, eye r3.Vec, rough Rough, accuracy float64) (*Placement, error) {
	edge := patchEdge(placed, still)
	m := mapOf(placed, edge)
	moving := patches(still, 0, edge)
	if len(m.patches) < fewPatches || len(moving) < fewPatches {
		return nil, &Refusal{"too few flat surfaces are seen", "scan from nearer, or more densely"}
	}
	s := newSearch(m, moving, eye, rough)
	s.sight = sightOf(still, moving, eye, edge)
	found, beyond := s.solved(s.starts())
	if len(found) == 0 {
		return nil, s.nothing(beyond)
	}
	return s.choose(found, accuracy)
}

// fewPatches is the least number of patches to work with: a tenth of a square
// metre at the usual edge.
const fewPatches = 16

// patchEdge is the edge of the patches: four voxels of the coarser of the two
// clouds make it, for that many across tell a plane from its rim.
func patchEdge(placed []Scan, still Scan) float64 {
	return 4 * math.Max(medianEdge(placed...), medianEdge(still))
}
