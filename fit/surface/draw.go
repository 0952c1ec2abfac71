package surface

import (
	"math"
	"math/rand/v2"

	"cellwall/fit/surface/shape"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Three spots at a time are drawn until, with this certainty, all three of one
// draw lay on the cylinder: the floor and the wall about a strip may outnumber
// its own side by two to one. mostDrawn spots tell their share to 3 %.
const (
	ownShare  = 0.3
	certainty = 0.99
	mostDrawn = 250
)

// Seed starts the random draws of Find.
const Seed = 1

// draw finds the cylinder along a strip that most of the spots about it lie on
// which were seen from outside (RANSAC; Fischler and Bolles, Comm. ACM 24 (1981)
// 381); nil where the strip's own plane holds more of them.
func (f *field) draw(strip int32) *shape.Cylinder {
	_, axes := f.regions[strip].Scatter.Eigen()
	frame := geom.Plane{Normal: axes.Axis(2)}.Frame(r3.Vec{})
	spots, most := f.section(strip, frame)
	rng := rand.New(rand.NewPCG(Seed, uint64(strip)))
	var best *shape.Cylinder
	for range shape.Draws(certainty, ownShare, 3) {
		a, b, c := rng.IntN(len(spots)), rng.IntN(len(spots)), rng.IntN(len(spots))
		circle, ok := shape.CircleThrough(spots[a].mean, spots[b].mean, spots[c].mean)
		if !ok || circle.Radius < leastRadius || circle.Radius > mostRadius {
			continue
		}
		n := 0
		for i := range spots {
			if spots[i].lies(circle) {
				n++
			}
		}
		if n > most {
			at := frame.Apply(r3.Vec{X: circle.Centre.X, Y: circle.Centre.Y})
			best, most = &shape.Cylinder{Point: at, Axis: frame.R.Axis(2), Radius: circle.Radius}, n
		}
	}
	return best
}

// shadow is a spot in the section square to an axis.
type shadow struct {
	mean, toward     r2.Vec
	spread, variance float64 // of its points in the section; of a point's distance
}

// section lists the spots about a strip, thinned evenly, in the section square to
// the frame's Z, and counts those that are the strip's own.
func (f *field) section(strip int32, frame geom.Pose) (out []shadow, own int) {
	spots := f.about(f.nodesOf(f.regions[strip].members))
	step := max(float64(len(spots))/mostDrawn, 1)
	u, v := frame.R.Axis(0), frame.R.Axis(1)
	for at := 0.0; int(at) < len(spots); at += step {
		i := spots[int(at)]
		s := &f.spots[i]
		out = append(out, shadow{
			mean: s.in(frame), toward: r2.Vec{X: r3.Dot(s.toward, u), Y: r3.Dot(s.toward, v)},
			spread: max(s.Scatter.Form(u)+s.Scatter.Form(v), 0) / s.N, variance: s.variance(),
		})
		if f.owner[i] == strip {
			own++
		}
	}
	return out, own
}

// lies is spot.lies in the section.
func (s *shadow) lies(c shape.Circle) bool {
	p := r2.Sub(s.mean, c.Centre)
	d := math.Sqrt(r2.Norm2(p)+s.spread) - c.Radius
	return d*d <= within*within*s.variance && r2.Dot(s.toward, p) > 0
}
