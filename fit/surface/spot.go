package surface

import (
	"math"

	"cellwall/mapping"
	"cellwall/mapping/cores"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// spot is a voxel as it is worked with here: in Morton order, with the variances
// that every test needs beside it.
type spot struct {
	geom.Moments
	toward r3.Vec
	eye    r3.Vec  // of the scanner, mean
	noise  float64 // variance of a point along the ray, mm^2
	gain   float64 // of the sweep's turn on the offset here, see gain
	drift  float64 // variance of the sweep as a whole here, mm^2; see allow
	code   uint64
	voxel  int32   // index into Cloud.Voxels
	edge   float32 // of the voxel, mm
	scan   int32
}

// leastNoise keeps weights finite, mm: what single precision resolves within 10 m.
const leastNoise = 0.001

// arrange puts the voxels in Morton order.
func arrange(c *mapping.Cloud) []spot {
	places := make([]place, len(c.Voxels))
	cores.Parts(len(places), func(from, to int) {
		for i := from; i < to; i++ {
			places[i] = place{morton(c.Voxels[i].Mean), int32(i)}
		}
	})
	places = inOrder(places)
	spots := make([]spot, len(places))
	cores.Parts(len(places), func(from, to int) {
		for i := from; i < to; i++ {
			v := &c.Voxels[places[i].voxel]
			sd := max(c.Noise.Sigma(v.Range), leastNoise)
			spots[i] = spot{
				Moments: v.Moments, toward: v.Toward, eye: v.Eye(), noise: sd * sd, gain: gain(v),
				code: places[i].code, voxel: places[i].voxel, edge: v.Edge, scan: v.Scan,
			}
		}
	})
	return spots
}

// allow sets how far sweeps may differ.
func allow(spots []spot, s sway) {
	cores.Parts(len(spots), func(from, to int) {
		for i := from; i < to; i++ {
			spots[i].drift = s.shift + s.turn*spots[i].gain + s.wave
		}
	})
}

// variance of a point about a surface that several sweeps have seen, mm^2.
func (s *spot) variance() float64 { return s.noise + s.drift }

// within is how many standard deviations a voxel's mean may lie off a plane
// that it belongs to: 3 keeps 99.7 %.
const within = 3.0

// steepest is the least squared cosine of incidence that noise is projected by:
// beyond 70 degrees returns fail (common practice), and what does return errs by
// more than the noise along the ray, for the laser's spot is drawn out.
const steepest = 0.117

// noiseAcross is the variance of a point's noise across a surface of normal n,
// mm^2: noise is along the ray, and a ray that grazes moves its point along the
// surface rather than off it.
func (s *spot) noiseAcross(n r3.Vec) float64 {
	c := r3.Dot(s.toward, n)
	return s.noise * max(c*c, steepest)
}

// across is the variance of a point off a surface of normal n, mm^2.
func (s *spot) across(n r3.Vec) float64 { return s.noiseAcross(n) + s.drift }

// strangeness is the squared distance of the voxel's mean from the plane over
// its variance.
func (s *spot) strangeness(pl geom.Plane) float64 {
	d := pl.Distance(s.Mean)
	return d * d / s.across(pl.Normal)
}

// fits tells whether a voxel lies in the plane, was seen from its front, and is
// no thicker than noise makes it: a voxel that straddles an edge is. The
// thickness of n points scatters by sqrt(2/n) of itself.
func (s *spot) fits(pl geom.Plane) bool {
	return s.strangeness(pl) <= within*within && s.faces(pl) &&
		s.Scatter.Form(pl.Normal) <= s.N*s.across(pl.Normal)*(1+within*math.Sqrt(2/s.N))
}

// faces tells whether the voxel was seen from the front of the plane.
func (s *spot) faces(pl geom.Plane) bool { return r3.Dot(s.toward, pl.Normal) > 0 }

// footprint is the rectangle in a plane that a voxel's points fill, in the
// plane's frame: spread evenly over a length l they have the variance l^2/12.
func (s *spot) footprint(frame geom.Pose) mark {
	u, v := s.Scatter.Form(frame.R.Axis(0)), s.Scatter.Form(frame.R.Axis(1))
	return mark{s.in(frame), r2.Vec{X: math.Sqrt(3 * max(u, 0) / s.N), Y: math.Sqrt(3 * max(v, 0) / s.N)}}
}

// in is the voxel's mean in a plane's frame.
func (s *spot) in(frame geom.Pose) r2.Vec {
	p := frame.R.T().Apply(r3.Sub(s.Mean, frame.T))
	return r2.Vec{X: p.X, Y: p.Y}
}
