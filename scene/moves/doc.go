// Package moves holds a map against an earlier one: which objects stand where
// they stood, which have moved and by how much, with the uncertainty that both
// maps leave.
//
// Surfaces tell a move, not datums: a rescan often sees too little to locate an
// object anew while it sees several of its faces. Old and new faces are paired
// by normal, offset and extent, and the rigid motion that lays the old ones on
// the new ones is solved by least squares over plane parameters, each weighed by
// the covariances of both maps. What a map's sweeps have in common is common to
// all faces that they saw; the arm's own error is common to both maps and
// cancels, as long as it is the same arm on the same foot.
//
// What the faces of a body leave open is told, and named as told by little, by where
// it ends, by what is level in a machine, and by a panel on its skin that rode along.
package moves
