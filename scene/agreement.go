package scene

import (
	"math"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Agreement says how one scan, as the arm put it, lies against the planes that it
// shares with others.
type Agreement struct {
	Scan     string
	Aligned  bool    // the scan was moved to agree; else nothing was corrected
	Moved    *Shift  // how far it lies off; nil where the shared planes do not tell all six
	Before   float64 // residual of the scan's points to the shared planes, mm
	After    float64 // of an aligned scan what is left, of another what would be without Moved, mm
	Middle   r3.Vec  // centroid of what the scan shares, base, mm
	Surfaces int     // planes shared
}

// Shift is how far a scan lies off: as a rigid body, translation at Middle (mm)
// and rotation vector (rad), base axes.
type Shift struct{ T, R r3.Vec }

// told is the least share of the points' weight that must speak for the weakest
// of the six motions; below it the noise of the result grows past ten times
// that of the strongest.
const told = 0.01

// sharedVoxel is one voxel of a plane seen by several scans.
type sharedVoxel struct {
	voxel *mapping.Voxel
	plane *surface.Surface
}

// agreement of every scan that shares a plane with another, in the scans' order.
func agreement(cloud *mapping.Cloud, found *fit.Findings) []Agreement {
	voxels := make([][]sharedVoxel, len(cloud.Scans))
	planes := make([]int, len(cloud.Scans))
	note := func(s *surface.Surface) {
		if s.Cylinder != nil || len(s.Scans) < 2 {
			return
		}
		for _, k := range s.Scans {
			planes[k]++
		}
		for _, i := range s.Voxels {
			v := &cloud.Voxels[i]
			voxels[v.Scan] = append(voxels[v.Scan], sharedVoxel{v, s})
		}
	}
	for i := range found.Objects {
		for j := range found.Objects[i].Faces {
			note(&found.Objects[i].Faces[j].Surface)
		}
	}
	for i := range found.Loose {
		note(&found.Loose[i])
	}
	var out []Agreement
	for k, v := range voxels {
		if len(v) > 0 {
			a := agree(v)
			if by := cloud.Aligned; by != nil {
				a.undo(v, by.Moves[k])
			}
			a.Scan, a.Surfaces = cloud.Scans[k], planes[k]
			out = append(out, a)
		}
	}
	return out
}

// agree fits the rigid motion of the voxels off their planes: the least squares
// of n.t + (p x n).r - d over all points, p from the voxels' centroid, d their
// distance from the plane (Chen and Medioni 1992, linearised). Rotations are
// scaled by the points' spread, so that all six unknowns are lengths.
func agree(voxels []sharedVoxel) Agreement {
	var a Agreement
	var n, squares float64
	for _, v := range voxels {
		a.Middle = r3.Add(a.Middle, r3.Scale(v.voxel.N, v.voxel.Mean))
		n += v.voxel.N
		squares += v.voxel.SquaresTo(v.plane.Plane)
	}
	a.Middle = r3.Scale(1/n, a.Middle)
	a.Before = math.Sqrt(squares / n)
	a.After = a.Before
	normal, right, lever := normalEquations(voxels, a.Middle, n)
	var e mat.EigenSym
	if lever == 0 || !e.Factorize(normal, false) || e.Values(nil)[0] < told {
		return a
	}
	var c mat.Cholesky
	x := mat.NewVecDense(6, nil)
	if !c.Factorize(normal) || c.SolveVecTo(x, right) != nil {
		return a
	}
	a.Moved = &Shift{
		T: r3.Vec{X: x.AtVec(0), Y: x.AtVec(1), Z: x.AtVec(2)},
		R: r3.Scale(1/lever, r3.Vec{X: x.AtVec(3), Y: x.AtVec(4), Z: x.AtVec(5)}),
	}
	a.After = math.Sqrt(max(0, squares/n-mat.Dot(x, right)))
	return a
}

// undo has the agreement speak of the scan as it was before it was moved by m.
func (a *Agreement) undo(voxels []sharedVoxel, m mapping.Move) {
	if m.Shift == (r3.Vec{}) && m.Turn == (r3.Vec{}) {
		return
	}
	by := func(p r3.Vec) r3.Vec { return r3.Add(m.Shift, r3.Cross(m.Turn, r3.Sub(p, m.About))) }
	var squares, n float64
	for _, v := range voxels {
		before := *v.voxel
		before.Mean = r3.Sub(before.Mean, by(before.Mean))
		squares += before.SquaresTo(v.plane.Plane)
		n += before.N
	}
	a.Aligned, a.After, a.Before = true, a.Before, math.Sqrt(squares/n)
	if a.Moved == nil {
		a.Moved = new(Shift)
	}
	a.Moved.T, a.Moved.R = r3.Sub(a.Moved.T, by(a.Middle)), r3.Sub(a.Moved.R, m.Turn)
}

// normalEquations of agree, divided by the number of points n, and the spread
// of the points about middle.
func normalEquations(voxels []sharedVoxel, middle r3.Vec, n float64) (*mat.SymDense, *mat.VecDense, float64) {
	var spread float64
	for _, v := range voxels {
		spread += v.voxel.N / n * r3.Norm2(r3.Sub(v.voxel.Mean, middle))
	}
	lever := math.Sqrt(spread)
	var a [36]float64
	var b [6]float64
	for _, v := range voxels {
		u := v.plane.Plane.Normal
		w := r3.Scale(1/lever, r3.Cross(r3.Sub(v.voxel.Mean, middle), u))
		row := [6]float64{u.X, u.Y, u.Z, w.X, w.Y, w.Z}
		weight := v.voxel.N / n
		d := v.plane.Plane.Distance(v.voxel.Mean)
		for i, x := range row {
			b[i] += weight * d * x
			for j, y := range row {
				a[6*i+j] += weight * x * y
			}
		}
	}
	return mat.NewSymDense(6, a[:]), mat.NewVecDense(6, b[:]), lever
}
