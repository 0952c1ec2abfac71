// Package surface finds the planes and cylinders in a cloud, with their
// outlines and with how well each is known.
//
// Planes grow from the planar nodes of an octree of voxel moments, the largest
// first, so that a wall of metres and a jaw of centimetres are both seeds; voxels
// are then dealt to the plane that explains each best, and strips that a cylinder
// explains better become one. Each face is fitted sweep by sweep to the moments
// of all its points, and the sweeps are pooled in a mixed model whose variances
// come from the differences between sweeps all over the cell.
package surface

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Surface is a fitted plane or cylinder.
type Surface struct {
	Plane    geom.Plane // for a cylinder: tangent to it at Centre
	Cylinder *Cylinder  // nil for a plane
	Centre   r3.Vec     // centroid of the outline, on the surface, mm
	Outline  []r3.Vec   // counter-clockwise seen from the side the normal points to, mm
	Holes    [][]r3.Vec // clockwise; where rays went through or nothing was seen within the outline
	Area     float64    // of what was seen, mm^2: the outline less the holes
	Voxels   []int32    // indices into Cloud.Voxels, ascending
	Points   int        // points that the fit rests on
	Scans    []int32    // indices into Cloud.Scans, ascending
	RMS      float64    // residual of the points, mm
	Cov      Cov3       // of the plane at Centre: the sum of the Budget
	Budget   Budget
}

// Budget splits a covariance as the GUM asks (JCGM 100:2008, 5.1): what the
// sensor's noise adds, what differs from sweep to sweep, and what all sweeps have
// in common: what the arm's declared accuracy holds beyond that, and the mount.
type Budget struct{ Noise, Sweep, Arm, Mount Cov3 }

// Total is the sum of the four, which are independent.
func (b Budget) Total() (c Cov3) {
	for i := range c {
		for j := range c[i] {
			c[i][j] = b.Noise[i][j] + b.Sweep[i][j] + b.Arm[i][j] + b.Mount[i][j]
		}
	}
	return c
}

// Cylinder is an infinite one: a point of its axis, the axis' direction, mm.
type Cylinder struct {
	Point, Axis r3.Vec
	Radius      float64
	SigmaRadius float64
	Length      float64 // seen along the axis
	Cov         Cov5    // the sum of the Budget
	Budget      RoundBudget
}

// Cov3 is the covariance of a plane: its offset at Centre along the normal
// (mm), then the turn about base-frame axes U and V of Plane.Frame(Centre)
// (rad).
type Cov3 [3][3]float64
