// Package vise locates a two-jaw machine vise: the jaw datum, the opening and
// how well both are known.
package vise

import (
	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Want is what is known of the vise beforehand. Sizes in mm, 0 where unknown.
type Want struct {
	Width, Height, Depth float64
	Fixed                string  // near, far, left or right as seen along Place.Frame's X; "" unknown
	Near                 *r3.Vec // a hint, base frame, mm
}

// Place is where to look. Frame is baseFromViewer with X pointing away from the
// viewer (into the machine) and Z up; Box bounds the search, in base.
type Place struct {
	Frame geom.Pose
	Box   geom.Box
}

// Measure is a dimension with its standard uncertainty, mm.
type Measure struct{ Value, Sigma float64 }

// Located is a vise that was found. Pose is baseFromJaw, the jaw datum of
// DESIGN.md section 3.
type Located struct {
	Pose          geom.Pose
	Cov           geom.Cov6
	Opening       Measure
	Width         Measure
	Fixed, Moving geom.Box // the jaws, from their tops down to what they stand on
	Faces         []Face
}

// Face is one seen face of a jaw: fixed-jaw-face, fixed-jaw-top,
// moving-jaw-face, moving-jaw-top, and what else was seen of them.
type Face struct {
	Name string
	surface.Surface
}

// Refused says why no vise is reported and what to scan so that it can be.
type Refused struct {
	Reason, ScanNext string
	Candidates       int // places that fit about equally well
}
