// Package rigid solves for the rigid motion that a set of measured lengths
// implies, by generalised least squares, and says which directions the lengths
// leave open and whether what they show is more than their uncertainty.
package rigid
