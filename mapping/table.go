package mapping

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// sum is a voxel while points still come in: plain sums relative to its centre,
// which lies within its edge from every point, so that nothing is lost to
// cancellation and two sums of one voxel merge by addition.
type sum struct {
	key    key
	n      float64
	d      r3.Vec    // of offsets from the centre
	dd     geom.Sym3 // of their outer products
	toward r3.Vec    // of unit vectors to the eye
	far    float64   // of ranges
	lo, hi [3]float32
	kept   *reservoir // nil unless the points came from near
}

// table holds the voxels of one scan, or of a piece of it, by key: an open
// addressing table of indices beside sums that never move.
type table struct {
	slots []slot // a power of two of them
	slabs [][]sum
	n     int
	last  *sum // neighbours in a profile mostly share their voxel
}

type slot struct {
	key key
	at  int32 // index of the sum plus one, 0 for a free slot
}

const slabBits = 9

func newTable() *table { return &table{slots: make([]slot, 1<<10)} }

// reset empties the table and keeps its memory.
func (t *table) reset() {
	clear(t.slots)
	t.n, t.last = 0, nil
}

// at is the i-th voxel in the order in which they came.
func (t *table) at(i int) *sum { return &t.slabs[i>>slabBits][i&(1<<slabBits-1)] }

// hash spreads a key over all bits (the golden ratio's multiplier; Knuth, The
// Art of Computer Programming 3, 6.4).
func hash(k uint64) uint64 {
	k *= 0x9e3779b97f4a7c15
	return k ^ k>>32
}

// find returns the voxel with the key, or nil.
func (t *table) find(k key) *sum {
	mask := len(t.slots) - 1
	for i := int(hash(uint64(k))) & mask; ; i = (i + 1) & mask {
		if t.slots[i].at == 0 {
			return nil
		}
		if t.slots[i].key == k {
			return t.at(int(t.slots[i].at - 1))
		}
	}
}

// get returns the voxel with the key, new and empty where there was none.
func (t *table) get(k key) *sum {
	if t.last != nil && t.last.key == k {
		return t.last
	}
	mask := len(t.slots) - 1
	i := int(hash(uint64(k))) & mask
	for ; t.slots[i].at != 0; i = (i + 1) & mask {
		if t.slots[i].key == k {
			t.last = t.at(int(t.slots[i].at - 1))
			return t.last
		}
	}
	if t.n == len(t.slabs)<<slabBits {
		t.slabs = append(t.slabs, make([]sum, 1<<slabBits))
	}
	s := t.at(t.n)
	t.n++
	t.slots[i] = slot{k, int32(t.n)}
	inf := float32(math.Inf(1))
	*s = sum{key: k, lo: [3]float32{inf, inf, inf}, hi: [3]float32{-inf, -inf, -inf}}
	if t.n > len(t.slots)*5/8 {
		t.grow()
	}
	t.last = s
	return s
}

func (t *table) grow() {
	old := t.slots
	t.slots = make([]slot, 2*len(old))
	mask := len(t.slots) - 1
	for _, o := range old {
		if o.at == 0 {
			continue
		}
		i := int(hash(uint64(o.key))) & mask
		for t.slots[i].at != 0 {
			i = (i + 1) & mask
		}
		t.slots[i] = o
	}
}

// add takes in the point p (base, mm), measured along the unit vector toward,
// which points to the eye, from range r. ordinal is its place in its file.
func (t *table) add(p, toward r3.Vec, r float64, ordinal int64) {
	level := levelFor(r)
	s := t.get(keyAt(level, p))
	d := r3.Sub(p, s.key.centre())
	s.n++
	s.d = r3.Add(s.d, d)
	s.dd = s.dd.Plus(geom.Outer(1, d))
	s.toward = r3.Add(s.toward, toward)
	s.far += r
	f := [3]float32{float32(d.X), float32(d.Y), float32(d.Z)}
	for i := range f {
		s.lo[i], s.hi[i] = min(s.lo[i], f[i]), max(s.hi[i], f[i])
	}
	if level <= sampledLevel {
		if s.kept == nil {
			s.kept = new(reservoir)
		}
		s.kept.offer(draw{lot(ordinal), Sample{float32(p.X), float32(p.Y), float32(p.Z)}})
	}
}

// merge takes in all voxels of o, in their order.
func (t *table) merge(o *table) {
	for i := range o.n {
		s := o.at(i)
		t.get(s.key).take(s, r3.Vec{})
	}
}

// take adds from to s, whose samples it may take over; shift leads from the
// centre of s to the centre of from.
func (s *sum) take(from *sum, shift r3.Vec) {
	s.dd = s.dd.Plus(from.dd).Plus(between(from.d, shift)).Plus(geom.Outer(from.n, shift))
	s.d = r3.Add(s.d, r3.Add(from.d, r3.Scale(from.n, shift)))
	s.n += from.n
	s.toward = r3.Add(s.toward, from.toward)
	s.far += from.far
	by := [3]float32{float32(shift.X), float32(shift.Y), float32(shift.Z)}
	for i := range by {
		s.lo[i], s.hi[i] = min(s.lo[i], from.lo[i]+by[i]), max(s.hi[i], from.hi[i]+by[i])
	}
	switch {
	case s.kept == nil:
		s.kept = from.kept
	case from.kept != nil:
		for _, d := range from.kept.draws {
			s.kept.offer(d)
		}
	}
}

// between is a b^T + b a^T.
func between(a, b r3.Vec) geom.Sym3 {
	return geom.Sym3{2 * a.X * b.X, a.X*b.Y + a.Y*b.X, a.X*b.Z + a.Z*b.X, 2 * a.Y * b.Y, a.Y*b.Z + a.Z*b.Y, 2 * a.Z * b.Z}
}
