package vise

import (
	"fmt"
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Want is what is known of the vise beforehand. Sizes in mm, 0 where unknown.
type Want struct {
	Width, Height, Depth float64
	Fixed                string   // near, far, left or right as seen along Place.Frame's X; "" unknown
	Near                 *r3.Vec  // a hint, base frame, mm
	Elsewhere            []r3.Vec // the hints of others that are wanted
}

// hintReach, mm: a hint is held against the vise with a folding rule, so that what
// lies further off than the largest jaw is wide is not meant.
var hintReach = tradeWidth[1]

// meant tells whether what stands at p may be the vise that is wanted: its hint is
// the nearest.
func (w Want) meant(p r3.Vec) bool {
	if w.Near == nil {
		return true
	}
	off := r3.Norm(r3.Sub(p, *w.Near))
	return !slices.ContainsFunc(w.Elsewhere, func(q r3.Vec) bool { return r3.Norm(r3.Sub(p, q)) < off })
}

// Place is where to look. Frame is baseFromViewer with X pointing away from the
// viewer (into the machine) and Z up; Box bounds the search, in base.
type Place struct {
	Frame  geom.Pose
	Box    geom.Box
	AtBase bool // the viewer stands at the base and looks toward each vise, whatever Frame's X
}

// viewer is baseFromViewer for a vise at the given point, base frame.
func (p Place) viewer(at r3.Vec) geom.Pose {
	up := p.Frame.R.Axis(2)
	away := r3.Sub(at, r3.Scale(r3.Dot(at, up), up))
	if !p.AtBase || r3.Norm(away) < 1 { // straight above the base no side is near
		return p.Frame
	}
	x := r3.Unit(away)
	return geom.Pose{R: geom.RotFromAxes(x, r3.Cross(up, x), up)}
}

// The sizes that a machine vise has, mm: jaw widths of 100, 125 and 150 are the
// usual ones, heights of 30 to 50 (common practice); the ranges leave room on
// both sides. They bound the search where a size is not given.
var (
	tradeWidth  = [2]float64{80, 250}
	tradeHeight = [2]float64{25, 80}
	tradeDepth  = [2]float64{15, 110}
	tradeTravel = [2]float64{2, 320}
)

// hintCone is how far the fixed jaw may lie off the direction of the hint: at
// 80 degrees and more, near and far are no longer told apart by it.
var hintCone = math.Cos(80 * math.Pi / 180)

// check refuses sizes that no jaw has and words that are none of the four.
func (w Want) check() *Refused {
	for _, s := range []struct {
		name  string
		value float64
	}{{"width", w.Width}, {"height", w.Height}, {"depth", w.Depth}} {
		if !(s.value >= 0) || math.IsInf(s.value, 0) {
			return &Refused{
				Reason:   fmt.Sprintf("the given jaw %s of %g mm is not a size", s.name, s.value),
				ScanNext: "nothing: give the size in mm, or leave it out",
			}
		}
	}
	switch w.Fixed {
	case "", "near", "far", "left", "right":
		return nil
	}
	return &Refused{
		Reason:   fmt.Sprintf("the fixed jaw is said to be %q, which is none of near, far, left, right", w.Fixed),
		ScanNext: "nothing: name the side on which the fixed jaw stands",
	}
}

// widths, depths: the range in which a size may lie.
func (w Want) widths() [2]float64 { return around(w.Width, tradeWidth) }
func (w Want) depths() [2]float64 { return around(w.Depth, tradeDepth) }

// around is the given size with what a nominal size may be off by, or the
// trade's range where none is given.
func around(size float64, trade [2]float64) [2]float64 {
	if size == 0 {
		return trade
	}
	return [2]float64{size - sizeMismatch, size + sizeMismatch}
}

// hinted tells whether the fixed jaw's face may look along y (base, from the
// fixed to the moving jaw): 1 as the hint says, -1 against it, 0 where the hint
// does not tell, or where there is none.
func (w Want) hinted(y r3.Vec, frame geom.Pose) int {
	var toward r3.Vec // from the moving to the fixed jaw, as the hint says
	switch w.Fixed {
	case "near":
		toward = r3.Scale(-1, frame.R.Axis(0))
	case "far":
		toward = frame.R.Axis(0)
	case "left":
		toward = frame.R.Axis(1)
	case "right":
		toward = r3.Scale(-1, frame.R.Axis(1))
	default:
		return 0
	}
	switch c := -r3.Dot(y, toward); {
	case c > hintCone:
		return 1
	case c < -hintCone:
		return -1
	}
	return 0
}
