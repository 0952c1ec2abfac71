// Package sight keeps where the scanner looked: a dense grid of small cells, of
// which each is one bit, crossed or not. A cell was crossed where a line of
// sight passed through it on its way to a return, or where the arm itself has
// been. What nobody crossed stays unset; the grid never says that a cell is
// solid.
package sight
