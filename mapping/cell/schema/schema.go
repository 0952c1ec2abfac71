// Package schema holds the JSON Schemas of the files that a cell folder begins
// with, for editors and for tests.
package schema

import _ "embed"

// Cell is the schema of cell.yaml.
//
//go:embed cell.schema.json
var Cell []byte

// Robot is the schema of robot.yaml. It refers to Cell's definitions.
//
//go:embed robot.schema.json
var Robot []byte
