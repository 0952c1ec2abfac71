// Package scene turns findings into a collision scene: convex solids for every
// object, a remainder for what no object explains, and the files that say so.
package scene

import (
	"cellwall/fit"
	"cellwall/mapping"
	"cellwall/scene/solid"
	"cellwall/scene/space"
)

// Version of the tool, as its records name it.
const Version = "0.1.0"

// Remainder is the kind of the one object that holds what was measured and
// belongs to no located object. It has no datum.
const Remainder fit.Kind = "remainder"

// Scene is the collision scene of a cell, base frame, mm.
type Scene struct {
	Cell       string
	Objects    []Object
	NotLocated []fit.Refusal
	Points     mapping.Counts
	Scans      []string // names; faces refer to them by index
	Agreement  []Agreement
	Placed     []mapping.Placed // scans whose pose was rough; in record.json, not in scene.json
	Space      *Space           // nil where the states of space were not worked out
	// States are those voxel by voxel; nil where Space is, and in a scene that was
	// read back, whose map folder holds them in a file of their own.
	States *space.States
}

// Object is a fitted object, or the remainder, with its solids.
type Object struct {
	fit.Object
	Solids []solid.Solid
	Margin float64
	// ClearTaken is how much clear space the grown solids take, m^3; 0 where the
	// states of space are not known.
	ClearTaken float64
	Claims     []string // what cell.yaml says of it and no scan shows
	Origin     Origin   // where the scene was put together from two maps, else ""
}

// Origin is the map that an object comes from.
type Origin string

// The origins.
const (
	FromOld  Origin = "old"       // as the old map has it
	OldMoved Origin = "old-moved" // as the old map has it, taken to where it went
	FromNew  Origin = "new"       // as the new map has it
)

// Space sums up the states of space, by voxels of edge Voxel mm; volumes in m^3.
type Space struct {
	Voxel                               float64
	LeastObstacle                       float64 // thinner ones may hide in clear space, mm; 0 where that is not stated
	Clear, Solid, Unseen, UnseenInReach float64
	ByNoReturn                          *float64 // of Clear, what no return alone tells; nil where it was taken to tell nothing
}
