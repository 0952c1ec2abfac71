package vise

import (
	"math"
	"slices"

	"cellwall/fit/between"
	"cellwall/fit/surface"
	"cellwall/mapping/geom"
	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// report writes down a fit that stands.
func (f *fit) report(fixedBy string, want Want) *Located {
	l := &Located{
		Pose: f.pose, Cov: f.poseCov().Plus(between.Common(f.view.cloud.Aligned, f.pose.T)), Noise: cov6(f.mixture.noise), Mount: cov6(f.mixture.mount),
		Opening: f.measure(opening), Width: f.measure(width), Depth: f.measure(depthFixed),
		SweepSigma: f.mixture.sweeps.shift, FixedBy: fixedBy,
		Fixed: f.box(false), Moving: f.box(true),
	}
	if l.Height = f.lowerEdge(); want.Height > 0 {
		l.Height = &Measure{want.Height, sizeTolerance}
	}
	w := f.witnesses()
	l.Score = (w[fixedFace].covered + w[fixedTop].covered + w[movingTop].covered) / 3 * (1 - f.wrong())
	for k := range numFaces {
		if w[k].cells >= leastPatch {
			l.Faces = append(l.Faces, Face{Name: faces[k].name, Surface: f.surface(k)})
		}
	}
	return l
}

func (f *fit) measure(k int) Measure { return Measure{f.size[k], f.sigma(atSizes + k)} }

// poseCov is the covariance of the pose, the whole budget.
func (f *fit) poseCov() geom.Cov6 { return cov6(f.mixture.cov).Plus(cov6(f.mixture.mount)) }

func cov6(m *mat.SymDense) (c geom.Cov6) {
	for i := range c {
		for j := range c[i] {
			c[i][j] = m.At(i, j)
		}
	}
	return c
}

// surface is what was seen of one face.
func (f *fit) surface(k face) surface.Surface {
	s := surface.Surface{Plane: f.plane(k)}
	lo, hi := f.extent(k)
	frame := s.Plane.Frame(f.pose.Apply(r3.Scale(0.5, r3.Add(lo, hi))))
	inverse := frame.Inverse()
	var flatPoints []r2.Vec
	var squares float64
	for i := range f.points {
		p := &f.points[i]
		if p.face != k || p.weight == 0 {
			continue
		}
		q := inverse.Apply(f.pose.Apply(f.seen[i]))
		flatPoints = append(flatPoints, r2.Vec{X: q.X, Y: q.Y})
		squares += p.n * p.off * p.off
		s.Points += int(math.Round(p.n))
		s.Voxels = append(s.Voxels, p.voxel)
		s.Scans = append(s.Scans, f.scans[p.scan])
	}
	slices.Sort(s.Voxels)
	slices.Sort(s.Scans)
	s.Voxels, s.Scans = slices.Compact(s.Voxels), slices.Compact(s.Scans)
	rim := flat.Hull(flatPoints)
	for _, q := range rim {
		s.Outline = append(s.Outline, frame.Apply(r3.Vec{X: q.X, Y: q.Y}))
	}
	centre := flat.Centroid(rim)
	s.Centre = frame.Apply(r3.Vec{X: centre.X, Y: centre.Y})
	s.Area = math.Abs(flat.Area(rim))
	s.RMS = math.Sqrt(squares / max(float64(s.Points), 1))
	s.Cov = f.planeCov(k, s.Plane, s.Centre, f.mixture.cov)
	s.Budget.Noise = f.planeCov(k, s.Plane, s.Centre, f.mixture.noise)
	s.Budget.Mount = f.planeCov(k, s.Plane, s.Centre, f.mixture.mount)
	for i := range s.Cov {
		for j := range s.Cov {
			s.Budget.Sweep[i][j] = s.Cov[i][j] - s.Budget.Noise[i][j]
			s.Cov[i][j] += s.Budget.Mount[i][j]
		}
	}
	return s
}

// planeCov carries a covariance of pose and sizes over to the face's plane: its
// offset at the centre, and its turn about U and V of its frame.
func (f *fit) planeCov(k face, pl geom.Plane, centre r3.Vec, cov *mat.SymDense) (out surface.Cov3) {
	frame := pl.Frame(centre)
	arm := r3.Sub(centre, f.pose.T)
	n, turn := vec(pl.Normal), vec(r3.Cross(arm, pl.Normal))
	u, v := vec(frame.R.Axis(0)), vec(frame.R.Axis(1))
	var j [3][atSweeps]float64
	for i := range 3 {
		j[0][i], j[0][3+i] = n[i], turn[i] // n . (dt + dw x arm) = n . dt + dw . (arm x n)
		j[1][3+i], j[2][3+i] = u[i], v[i]
	}
	for s, c := range faces[k].by {
		j[0][atSizes+s] = c
	}
	for a := range 3 {
		for b := range 3 {
			for p := range atSweeps {
				for q := range atSweeps {
					out[a][b] += j[a][p] * cov.At(p, q) * j[b][q]
				}
			}
		}
	}
	return out
}
