// Package schema holds the JSON Schemas (draft 2020-12) of the files that
// programs read.
package schema

import _ "embed"

// Scene is the schema of scene.json.
//
//go:embed scene.schema.json
var Scene []byte

// Record is the schema of record.json.
//
//go:embed record.schema.json
var Record []byte

// Reach is the schema of reach.json.
//
//go:embed reach.schema.json
var Reach []byte

// Moves is the schema of what moves.Comparison.WriteJSON writes.
//
//go:embed moves.schema.json
var Moves []byte

// Touch is the schema of what touch.Check.WriteJSON writes.
//
//go:embed touch.schema.json
var Touch []byte

// Changes is the schema of what changes.WriteJSON writes.
//
//go:embed changes.schema.json
var Changes []byte

// Scout is the schema of what scout.Plan.WriteJSON writes.
//
//go:embed scout.schema.json
var Scout []byte
