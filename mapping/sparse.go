package mapping

import (
	"slices"

	"cellwall/mapping/cores"
)

// A stray point has nothing round it; a point of a surface has the surface. What
// counts is the support: the points of all scans in the block of 27 voxels round
// a voxel, less one. Its bound follows the density of the scan itself, level by
// level, and so with the range: a flat patch fills nine voxels of the block, its
// rim half of them, grazing incidence leaves a quarter of the rest, and a wire
// one row of three; a quarter of a single voxel's usual share lies below all of
// these and above what chance brings together.
const (
	supportShare = 0.25
	leastSupport = 2
)

// dropSparse takes out the voxels with too little support and counts their
// points. A scan of which nothing is left is an error.
func dropSparse(scans []*scan) error {
	o := occupancyOf(scans)
	cores.Each(len(scans), func(i int) { scans[i].dropSparse(o) })
	for _, s := range scans {
		if err := s.judge(); err != nil {
			return err
		}
	}
	return nil
}

func (s *scan) dropSparse(o *occupancy) {
	need := s.table.support()
	for i := range s.table.n {
		v := s.table.at(i)
		if o.supports(v, need[v.key.level()]) {
			continue
		}
		s.counts.Dropped[Sparse] += int64(v.n)
		v.n = 0
	}
	s.counts.Used = s.counts.left()
}

// support is the bound for every level.
func (t *table) support() (need [lastLevel + 1]float64) {
	var counts [lastLevel + 1][]float64
	for i := range t.n {
		v := t.at(i)
		counts[v.key.level()] = append(counts[v.key.level()], v.n)
	}
	for level, c := range counts {
		if len(c) > 0 {
			slices.Sort(c)
			need[level] = max(leastSupport, supportShare*c[len(c)/2])
		}
	}
	return need
}

// occupancy is the number of points of all scans in every voxel, on every level
// that a scan uses: a voxel's points count for the coarser ones that hold it.
type occupancy [lastLevel + 1]counter

func occupancyOf(scans []*scan) *occupancy {
	var held [lastLevel + 1]int
	for _, s := range scans {
		for level, n := range s.table.levels() {
			held[level] += n
		}
	}
	var o occupancy
	cores.Each(len(o), func(level int) {
		if held[level] > 0 {
			o[level] = counterOf(scans, level)
		}
	})
	return &o
}

// counterOf counts the points of all scans by voxels of one level.
func counterOf(scans []*scan, level int) counter {
	c := newCounter()
	for _, s := range scans {
		for i := range s.table.n {
			v := s.table.at(i)
			if k := v.key; k.level() <= level {
				c.add(k.ancestor(level), v.n)
			}
		}
	}
	return c
}

// supports tells whether the voxel has the support it needs.
func (o *occupancy) supports(v *sum, need float64) bool {
	if v.n-1 >= need {
		return true
	}
	c := &o[v.key.level()]
	have := c.of(v.key) - 1
	v.key.around(func(k key) bool {
		have += c.of(k)
		return have < need
	})
	return have >= need
}

// counter counts by key, in an open addressing table.
type counter struct {
	keys []key
	n    []float64
	used int
}

func newCounter() counter { return counter{keys: make([]key, 1<<12), n: make([]float64, 1<<12)} }

// seat is where k sits or would sit.
func (c *counter) seat(k key) int {
	mask := len(c.keys) - 1
	i := int(hash(uint64(k))) & mask
	for c.n[i] != 0 && c.keys[i] != k {
		i = (i + 1) & mask
	}
	return i
}

func (c *counter) of(k key) float64 { return c.n[c.seat(k)] }

func (c *counter) add(k key, n float64) {
	i := c.seat(k)
	if c.n[i] == 0 {
		c.keys[i] = k
		c.used++
	}
	c.n[i] += n
	if c.used > len(c.keys)*5/8 {
		old := *c
		*c = counter{keys: make([]key, 2*len(old.keys)), n: make([]float64, 2*len(old.n)), used: old.used}
		for j, k := range old.keys {
			if old.n[j] != 0 {
				i := c.seat(k)
				c.keys[i], c.n[i] = k, old.n[j]
			}
		}
	}
}
