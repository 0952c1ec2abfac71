package sight

import (
	"math/bits"
	"sync/atomic"
)

// Bits is a set of a lattice's cubes. Rows along X start on a word, and bits
// beyond a row's end are never set.
type Bits struct {
	n     [3]int
	row   int // words
	words []uint64
}

const wordBits = 64

// NewBits is an empty set of the lattice's cubes.
func NewBits(l Lattice) Bits {
	row := (l.N[0] + wordBits - 1) / wordBits
	return Bits{n: l.N, row: row, words: make([]uint64, row*l.N[1]*l.N[2])}
}

// Clone is a set of its own with the same cubes.
func (b Bits) Clone() Bits {
	b.words = append([]uint64(nil), b.words...)
	return b
}

// at is the place of a cube: bit at of the words.
func (b Bits) at(c [3]int) int { return (c[2]*b.n[1]+c[1])*b.row*wordBits + c[0] }

// Has tells whether the cube, which the lattice holds, is in the set.
func (b Bits) Has(c [3]int) bool {
	at := b.at(c)
	return b.words[at/wordBits]>>(at%wordBits)&1 == 1
}

// Set puts the cube, which the lattice holds, into the set.
func (b Bits) Set(c [3]int) {
	at := b.at(c)
	b.words[at/wordBits] |= 1 << (at % wordBits)
}

// mark sets the bit at a place though others may do so at the same time. Most
// bits are set long before the last line passes, and looking is cheap.
func (b Bits) mark(at int) {
	w, bit := &b.words[uint(at)/wordBits], uint64(1)<<(uint(at)%wordBits)
	if atomic.LoadUint64(w)&bit == 0 {
		atomic.OrUint64(w, bit)
	}
}

// Fill sets the cubes from x lo to hi of a row.
func (b Bits) Fill(lo, hi, y, z int) {
	first := (z*b.n[1] + y) * b.row
	for w := lo / wordBits; w <= hi/wordBits; w++ {
		mask := ^uint64(0)
		if w == lo/wordBits {
			mask &= ^uint64(0) << (lo % wordBits)
		}
		if w == hi/wordBits {
			mask &= ^uint64(0) >> (wordBits - 1 - hi%wordBits)
		}
		if at := &b.words[first+w]; atomic.LoadUint64(at)&mask != mask {
			atomic.OrUint64(at, mask)
		}
	}
}

// Count is how many cubes are in the set.
func (b Bits) Count() int {
	n := 0
	for _, w := range b.words {
		n += bits.OnesCount64(w)
	}
	return n
}
