package sight

// Grown is every cube of which a cube in the set lies within k, along each axis.
func (b Bits) Grown(k int) Bits { return b.spread(k, false) }

// Shrunk is every cube round which all cubes within k, along each axis, are in
// the set; what lies outside of the lattice is not.
func (b Bits) Shrunk(k int) Bits { return b.spread(k, true) }

// spread joins every cube with those within k of it, axis by axis: by and, or
// else by or.
func (b Bits) spread(k int, and bool) Bits {
	out := b.Clone()
	for range k {
		out.alongRows(and)
	}
	for axis, count := range [2]int{b.n[1], b.n[2]} {
		stride := b.row
		if axis == 1 {
			stride *= b.n[1]
		}
		out = out.across(k, stride, count, and)
	}
	return out
}

// alongRows joins every bit with the two beside it.
func (b Bits) alongRows(and bool) {
	for first := 0; first < len(b.words); first += b.row {
		row := b.words[first : first+b.row]
		before := uint64(0)
		for i, w := range row {
			after := uint64(0)
			if i+1 < len(row) {
				after = row[i+1]
			}
			left, right := w<<1|before>>(wordBits-1), w>>1|after<<(wordBits-1)
			if before = w; and {
				row[i] = w & left & right
			} else {
				row[i] = w | left | right
			}
		}
		if used := b.n[0] % wordBits; used > 0 {
			row[len(row)-1] &= 1<<used - 1
		}
	}
}

// across joins every word with those up to k strides before and behind it, of
// count in a column.
func (b Bits) across(k, stride, count int, and bool) Bits {
	out := b.Clone()
	for w := range out.words {
		at := w / stride % count
		for d := -k; d <= k; d++ {
			switch inside := at+d >= 0 && at+d < count; {
			case inside && and:
				out.words[w] &= b.words[w+d*stride]
			case inside:
				out.words[w] |= b.words[w+d*stride]
			case and:
				out.words[w] = 0
			}
		}
	}
	return out
}

// Any is the set over the lattice of twice the edge of those cubes of whose
// eight one is in b; b's lattice has an even count along every axis.
func (b Bits) Any() Bits {
	return b.paired(func(w, v uint64) uint64 { return w | v })
}

// All is the set of those of whose eight every one is in b.
func (b Bits) All() Bits {
	return b.paired(func(w, v uint64) uint64 { return w & v })
}

func (b Bits) paired(join func(w, v uint64) uint64) Bits {
	out := NewBits(Lattice{N: [3]int{b.n[0] / 2, b.n[1] / 2, b.n[2] / 2}})
	for z := range out.n[2] {
		for y := range out.n[1] {
			row := out.words[(z*out.n[1]+y)*out.row:][:out.row]
			for i := range b.row {
				at := (2*z*b.n[1]+2*y)*b.row + i
				up := at + b.n[1]*b.row
				w := join(join(b.words[at], b.words[at+b.row]), join(b.words[up], b.words[up+b.row]))
				row[i/2] |= even(join(w, w>>1)) << (i % 2 * (wordBits / 2))
			}
		}
	}
	return out
}

// even packs the 32 bits at even places of w (Warren, Hacker's Delight, 7-4).
func even(w uint64) uint64 {
	w &= 0x5555555555555555
	w = (w | w>>1) & 0x3333333333333333
	w = (w | w>>2) & 0x0f0f0f0f0f0f0f0f
	w = (w | w>>4) & 0x00ff00ff00ff00ff
	w = (w | w>>8) & 0x0000ffff0000ffff
	return (w | w>>16) & 0x00000000ffffffff
}

// Without takes the cubes of o, a set of the same lattice, out of b.
func (b Bits) Without(o Bits) {
	for i := range b.words {
		b.words[i] &^= o.words[i]
	}
}
