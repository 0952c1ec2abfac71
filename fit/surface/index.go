package surface

import "math/bits"

// index finds a node by its Morton code: open addressing with linear probing
// (Knuth, The Art of Computer Programming 3, 6.4), at most half full.
type index struct {
	codes []uint64 // code + 1, 0 where empty
	nodes []int32
	shift int
}

func newIndex(nodes []node) *index {
	size := max(bits.Len(uint(2*len(nodes))), 1)
	x := &index{codes: make([]uint64, 1<<size), nodes: make([]int32, 1<<size), shift: 64 - size}
	for i, n := range nodes {
		at := x.slot(n.code)
		x.codes[at], x.nodes[at] = n.code+1, int32(i)
	}
	return x
}

// slot is where code is, or where it would be put.
func (x *index) slot(code uint64) uint64 {
	at := code * 0x9e3779b97f4a7c15 >> x.shift // 2^64 / golden ratio
	for x.codes[at] != 0 && x.codes[at] != code+1 {
		at = (at + 1) & uint64(len(x.codes)-1)
	}
	return at
}

// find returns the node's number, or -1.
func (x *index) find(code uint64) int32 {
	at := x.slot(code)
	if x.codes[at] == 0 {
		return -1
	}
	return x.nodes[at]
}
