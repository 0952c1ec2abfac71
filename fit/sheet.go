package fit

import (
	"math"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// sheet is a plane with what the rays say of it: closed where they ended on it,
// open where they went through. Its frame's Z points to the viewer.
type sheet struct {
	frame  geom.Pose // baseFromSheet
	closed []patch
	open   []patch
}

// patch is where the points of one voxel lie on the sheet, or where their rays
// crossed it, in the sheet's X and Y: the middle and half the extent along each
// axis. The extent is that of even points with the same scatter, sqrt(3) sigma,
// which is finer than the voxel.
type patch struct {
	at, half [2]float64
}

// A point belongs to a sheet within this many standard deviations of its noise
// plus sheetSlack mm: what sweeps may disagree by, and the bow of sheet metal
// (common practice: a few tenths each).
const (
	sheetSigmas = 4
	sheetSlack  = 2.0
)

// newSheet reads the whole cloud against the XY plane of frame within region.
func newSheet(cloud *mapping.Cloud, frame geom.Pose, region rect) *sheet {
	s := &sheet{frame: frame}
	sheetFromBase := frame.Inverse()
	for i := range cloud.Voxels {
		v := &cloud.Voxels[i]
		if v.N < 2 {
			continue
		}
		p := sheetFromBase.Apply(v.Mean)
		slack := sheetSigmas*cloud.Noise.Sigma(v.Range) + sheetSlack
		thick := evenHalf(&v.Moments, frame.R.Axis(2))
		switch {
		case math.Abs(p.Z) < slack && thick < 2*slack:
			s.add(&s.closed, patch{
				at:   [2]float64{p.X, p.Y},
				half: [2]float64{evenHalf(&v.Moments, frame.R.Axis(0)), evenHalf(&v.Moments, frame.R.Axis(1))},
			}, region)
		case p.Z+thick < -slack:
			if c, ok := s.crossing(v, p, sheetFromBase); ok {
				s.add(&s.open, c, region)
			}
		}
	}
	return s
}

// crossing is where the rays to a voxel behind the sheet went through it.
func (s *sheet) crossing(v *mapping.Voxel, p r3.Vec, sheetFromBase geom.Pose) (patch, bool) {
	eye := sheetFromBase.Apply(v.Eye())
	if eye.Z <= 0 {
		return patch{}, false
	}
	t := eye.Z / (eye.Z - p.Z)
	ray := r3.Sub(p, eye)
	c := patch{at: [2]float64{eye.X + t*ray.X, eye.Y + t*ray.Y}}
	for a, slope := range [2]float64{ray.X / ray.Z, ray.Y / ray.Z} {
		// Across the ray: where a point off the mean would cross, seen from one eye.
		d := r3.Sub(s.frame.R.Axis(a), r3.Scale(slope, s.frame.R.Axis(2)))
		c.half[a] = t * evenHalf(&v.Moments, d)
	}
	return c, true
}

// evenHalf is half the extent along d of points that are spread evenly with the
// scatter of m.
func evenHalf(m *geom.Moments, d r3.Vec) float64 {
	return math.Sqrt(3 * max(m.Scatter.Form(d), 0) / m.N)
}

func (s *sheet) add(to *[]patch, p patch, region rect) {
	for a := range 2 {
		if p.at[a] < region.lo[a] || p.at[a] > region.hi[a] {
			return
		}
	}
	*to = append(*to, p)
}
