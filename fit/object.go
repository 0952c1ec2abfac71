// Package fit turns a cloud into named objects: it has surfaces found, says
// which of them are floor, walls, tables, the machine and its vise, and gives
// each object a datum with its covariance. What the evidence does not carry is
// refused, with what to scan next.
package fit

import (
	"math"
	"slices"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Kind is what an object is.
type Kind string

// The kinds of DESIGN.md section 3.
const (
	Floor     Kind = "floor"
	Wall      Kind = "wall"
	Ceiling   Kind = "ceiling"
	Table     Kind = "table"
	Enclosure Kind = "enclosure"
	Vise      Kind = "vise"
	Post      Kind = "post"
	Block     Kind = "block"
	Shape     Kind = "shape" // located by its model
)

// Face is a surface with the part it plays in its object.
type Face struct {
	Name string // "top", "front", "fixed-jaw-face", …
	surface.Surface
}

// Measure is a dimension with its standard uncertainty, mm.
type Measure struct{ Value, Sigma float64 }

// Object is a named thing with a datum.
type Object struct {
	Name     string
	Kind     Kind
	Inside   string // name of the enclosure it stands in, or ""
	Pose     geom.Pose
	Cov      geom.Cov6
	Budget   Budget // of Cov; zero for what is not split
	Measures map[string]Measure
	Faces    []Face
	Parts    []geom.Box // boxes that the faces bound where the object is made of some: jaws, table legs, a block
	Hulls    [][]r3.Vec // corners of convex pieces, base: of a shape's model
	Opening  *Opening   // of an enclosure, nil where none was seen
	NotSeen  []string   // where it was not seen to end: its datum and measures allow for all that is left open there
}

// Opening is the rectangle in an enclosure's front through which the arm
// reaches, in the enclosure datum's plane X = 0, mm.
type Opening struct {
	YMin, YMax, ZMin, ZMax float64
	// Sigma is the standard uncertainty of the edges YMin, YMax, ZMin, ZMax in
	// base, each across itself, mm. It is infinite where nothing of the front was
	// seen beyond: the opening reaches to there at least, and where it ends was
	// not measured.
	Sigma [4]float64
}

// Measured tells whether all four edges were seen to end the opening.
func (o *Opening) Measured() bool {
	return !slices.ContainsFunc(o.Sigma[:], func(s float64) bool { return math.IsInf(s, 1) })
}

// Refusal is an object that was wanted but not located, or a surface that could
// not be named.
type Refusal struct {
	Name       string
	Kind       Kind
	Reason     string
	ScanNext   string
	Near       *r3.Vec
	Candidates int // how many places fit about equally well
}

// Findings is all that fit makes of a cloud.
type Findings struct {
	Objects []Object
	Refused []Refusal
	Loose   []surface.Surface // surfaces that belong to no object
}
