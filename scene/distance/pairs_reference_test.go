//go:build reference

package distance

const pairs = 10_000
