// Package mesh writes the solids of a scene as STL: closed, outward-facing
// facets in millimetres in the base frame, sound in the single precision that
// the format stores.
package mesh
