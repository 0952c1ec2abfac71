package main

import (
	"strings"

	"cellwall/export/caution"
)

// cautions is what stands under every map and in the help of every command
// that makes one.
func cautions() string {
	return caution.Heading + ": " + strings.Join(caution.Sentences, "\n  ")
}
