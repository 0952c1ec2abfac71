package sight

import "math/bits"

// Seal takes a cube in at every edge that only two cubes across from each other
// have in common, until there is none: then every edge of the set's surface
// belongs to two faces.
func (b Bits) Seal() {
	for b.seal() {
	}
}

// seal does so once, and tells whether there was anything to do.
func (b Bits) seal() bool {
	sealed := false
	for z := range b.n[2] {
		for y := range b.n[1] {
			if y+1 < b.n[1] {
				sealed = b.sealRows(y, z, y+1, z) || sealed
			}
			if z+1 < b.n[2] {
				sealed = b.sealRows(y, z, y, z+1) || sealed
			}
			if y+1 < b.n[1] && z+1 < b.n[2] {
				sealed = b.sealAlong(y, z) || sealed
			}
		}
	}
	return sealed
}

func (b Bits) rowAt(y, z int) []uint64 { return b.words[(z*b.n[1]+y)*b.row:][:b.row] }

// sealRows looks at the edges across X between two rows side by side.
func (b Bits) sealRows(y0, z0, y1, z1 int) bool {
	p, q := b.rowAt(y0, z0), b.rowAt(y1, z1)
	sealed := false
	for i := range p {
		pr, qr := p[i]>>1, q[i]>>1 // the cubes one further along X
		if i+1 < len(p) {
			pr |= p[i+1] << (wordBits - 1)
			qr |= q[i+1] << (wordBits - 1)
		}
		down, up := p[i]&qr&^pr&^q[i], pr&q[i]&^p[i]&^qr
		q[i] |= down // beside the first of the two
		p[i] |= up
		sealed = sealed || down|up != 0
	}
	return sealed
}

// sealAlong looks at the edges along X in the middle of four rows.
func (b Bits) sealAlong(y, z int) bool {
	p, q, r, s := b.rowAt(y, z), b.rowAt(y+1, z), b.rowAt(y, z+1), b.rowAt(y+1, z+1)
	sealed := false
	for i := range p {
		a, c := p[i]&s[i]&^q[i]&^r[i], q[i]&r[i]&^p[i]&^s[i]
		q[i] |= a
		p[i] |= c
		sealed = sealed || a|c != 0
	}
	return sealed
}

// Each visits the cubes of the set, X fastest, then Y, then Z.
func (b Bits) Each(visit func(c [3]int)) {
	for z := range b.n[2] {
		for y := range b.n[1] {
			for i, w := range b.rowAt(y, z) {
				for ; w != 0; w &= w - 1 {
					visit([3]int{i*wordBits + bits.TrailingZeros64(w), y, z})
				}
			}
		}
	}
}
