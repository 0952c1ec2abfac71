// Package geom holds the geometry that every other room shares: rotations and
// poses, covariances, moments of point sets, planes and boxes.
//
// Lengths are millimetres, angles radians, everything float64. A pose named
// parentFromChild maps coordinates in child to coordinates in parent. The
// package imports no other package of this module.
package geom
