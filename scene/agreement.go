package scene

import (
	"cellwall/fit"
	"cellwall/mapping"
)

// Agreement says how one scan lies against the surfaces that all scans made
// together.
type Agreement struct {
	Scan string
}

func agreement(cloud *mapping.Cloud, found *fit.Findings) []Agreement { return nil }
