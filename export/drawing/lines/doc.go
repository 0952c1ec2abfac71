// Package lines turns solids into the lines that a parallel projection of them
// shows: the edges of each body, told apart into visible and hidden.
package lines
