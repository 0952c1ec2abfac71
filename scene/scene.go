// Package scene turns findings into a collision scene: convex solids for every
// object, a remainder for what no object explains, and the files that say so.
package scene

import (
	"cellwall/fit"
	"cellwall/mapping"
	"cellwall/scene/solid"
)

// Scene is the collision scene of a cell, base frame, mm.
type Scene struct {
	Cell       string
	Objects    []Object
	NotLocated []fit.Refusal
	Points     mapping.Counts
	Scans      []string // names; faces refer to them by index
}

// Object is a fitted object, or the remainder, with its solids.
type Object struct {
	fit.Object
	Solids []solid.Solid
	Margin float64
}
