package fit

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// A lip, a raised frame or the edge of a thick door post ends at the opening
// with a face that looks into it. Such a face says where the opening ends far
// better than the spacing of points does, if it lies where the rays say the
// border is, within this many of their standard deviations plus a bend's radius
// of mm, and runs along a good part of it.
const (
	rimSigmas = 2
	bendSize  = 4.0
	rimShare  = 0.25
)

// rimSigma is how far the edge of a sheet may lie off the face that it is bent
// into, mm: a part of the bend's radius.
const rimSigma = 0.5

// settleRims moves each border of the opening to the face that ends it, where
// one was seen.
func (s *survey) settleRims(f *front) {
	for a := range 2 {
		for side, in := range [2]float64{1, -1} {
			if b, ok := s.rim(f, a, side, in); ok {
				f.rims[a][side] = b
			}
		}
		f.hole.lo[a], f.hole.hi[a] = f.rims[a][0].at, f.rims[a][1].at
	}
}

// rim is the border that the face nearest to the one seen gives.
func (s *survey) rim(f *front, a, side int, in float64) (border, bool) {
	seen := f.rims[a][side]
	if seen.stepped { // the nearest face ends a part of it
		return border{}, false
	}
	reach, least := rimSigmas*seen.sigma+bendSize, math.Inf(-1)
	most := math.Inf(1)
	switch {
	case f.mouth && seen.closed && (a == 1 || f.pieces != nil): // a pan or a roof may be too thin for the raster
		reach, most = bracketReach, bendSize
	case f.mouth:
		reach = bracketReach
	case !seen.closed: // the face is what ends it, somewhere beyond the last ray
		reach, least = bracketReach, -bendSize
	}
	sheet := f.sheet.frame
	middle := r3.Vec{X: (f.hole.lo[0] + f.hole.hi[0]) / 2, Y: (f.hole.lo[1] + f.hole.hi[1]) / 2}
	if a == 0 {
		middle.X = seen.at
	} else {
		middle.Y = seen.at
	}
	axis := sheet.R.Axis(a)
	best, found := border{}, false
	for _, i := range s.everyPlane(r3.Scale(in, axis)) {
		p := &s.surfaces[i]
		if !f.framesOpening(p.Outline, a) {
			continue
		}
		off := crossing(p.Plane, sheet.Apply(middle), axis)
		if math.Abs(off) < reach && -in*off > least && -in*off < most {
			reach = math.Abs(off)
			best, found = seen, true
			best.at, best.sigma, best.closed = seen.at+off, math.Hypot(rimSigma, offsetSigma(p)), true
		}
	}
	return best, found
}

// framesOpening tells whether a face with these corners stands at the front and
// runs along the border across axis a. A mouth ends at faces that run on inward.
func (f *front) framesOpening(corners []r3.Vec, a int) bool {
	lo, hi := f.box(corners)
	if lo.X < -proud || lo.X > bendSize+proud/2 || hi.X > 2*proud && !f.mouth {
		return false
	}
	r := projectOn(f.sheet.frame, corners)
	b := 1 - a
	return min(r.hi[b], f.hole.hi[b])-max(r.lo[b], f.hole.lo[b]) > rimShare*f.hole.size(b)
}

// boundOpening ends an opening that nothing was seen to end: nowhere beyond the
// front, above which a machine is open, and that of a mouth at the floor.
func (s *survey) boundOpening(f *front) {
	for a := range 2 {
		if lo := &f.rims[a][0]; !lo.closed {
			lo.at = max(lo.at, f.extent.lo[a])
		}
		if hi := &f.rims[a][1]; !hi.closed {
			hi.at = min(hi.at, f.extent.hi[a])
		}
	}
	if bottom := &f.rims[1][0]; f.mouth && !bottom.closed && s.floor != nil && bottom.at < bracketReach {
		bottom.at, bottom.sigma, bottom.closed = 0, math.Hypot(oneSided, math.Sqrt(s.floor.Cov[0][0])), true
	}
	for a := range 2 {
		f.hole.lo[a], f.hole.hi[a] = f.rims[a][0].at, f.rims[a][1].at
	}
}
