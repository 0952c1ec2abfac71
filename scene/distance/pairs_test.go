//go:build !reference

package distance

// pairs of each two kinds that are drawn; ten times as many with the tag
// reference.
const pairs = 1000
