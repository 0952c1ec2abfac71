package mapping

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// A scan whose lines lie further apart than its voxels leaves rows of empty ones
// between them, and a scan with few points leaves voxels of one or two. Such a
// level is folded into the next coarser one, voxel by voxel, until surfaces
// close: until half of its voxels have as many neighbours as a voxel at the rim
// of a plane.
//
// Two limits: a level that holds few of the scan's voxels says nothing about its
// spacing, for it may be strays alone; and a voxel wider than three degrees of
// the view would blur what it holds.
const (
	closedNeighbours = 5
	foldTrials       = 2048 // voxels of a level that are looked at
	leastShare       = 0.02 // of a scan's voxels that a level must hold to be folded
	widest           = 0.05 // edge over range
)

// coarsen folds the levels that are too fine for the scan.
func (t *table) coarsen() {
	held := t.levels()
	for level := range lastLevel {
		if held[level] > 0 && t.open(level, held[level]) {
			*t = *t.folded(level)
			held = t.levels()
		}
	}
}

// levels is how many voxels every level holds.
func (t *table) levels() (held [lastLevel + 1]int) {
	for i := range t.n {
		held[t.at(i).key.level()]++
	}
	return held
}

// open tells whether the held voxels of the level do not close into surfaces,
// and may be folded.
func (t *table) open(level, held int) bool {
	if float64(held) <= leastShare*float64(t.n) {
		return false
	}
	step := max(held/foldTrials, 1)
	far, seen := 0.0, 0
	var counts []int
	for i := range t.n {
		s := t.at(i)
		if s.key.level() != level {
			continue
		}
		if seen%step == 0 {
			far += s.far / s.n
			counts = append(counts, t.neighbours(s.key))
		}
		seen++
	}
	slices.Sort(counts)
	return counts[len(counts)/2] < closedNeighbours && edgeOf(level+1) <= widest*far/float64(len(counts))
}

// neighbours is how many of the voxels round k hold points, counted up to
// closedNeighbours.
func (t *table) neighbours(k key) (n int) {
	k.around(func(k key) bool {
		if t.find(k) != nil {
			n++
		}
		return n < closedNeighbours
	})
	return n
}

// around calls do for the 26 voxels round k until do returns false.
func (k key) around(do func(key) bool) {
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for dz := -1; dz <= 1; dz++ {
				if (dx != 0 || dy != 0 || dz != 0) && !do(k.next(dx, dy, dz)) {
					return
				}
			}
		}
	}
}

// folded is the table with every voxel of the level taken into its parent.
func (t *table) folded(level int) *table {
	to := newTable()
	for i := range t.n {
		s := t.at(i)
		if s.key.level() != level {
			to.get(s.key).take(s, r3.Vec{})
			continue
		}
		p := s.key.parent()
		to.get(p).take(s, r3.Sub(s.key.centre(), p.centre()))
	}
	return to
}
