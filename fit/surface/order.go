package surface

// place is a voxel with its Morton code.
type place struct {
	code  uint64
	voxel int32
}

// digit is how many bits one pass of inOrder sorts by.
const digit = 11

// inOrder sorts by code, equal codes in the order given: least significant
// digit first (Knuth, The Art of Computer Programming 3, 5.2.5), which is linear
// in the number of voxels. Digits that are the same in all codes are passed
// over.
func inOrder(a []place) []place {
	if len(a) == 0 {
		return a
	}
	var differ uint64
	for _, p := range a {
		differ |= p.code ^ a[0].code
	}
	b := make([]place, len(a))
	for shift := 0; shift < 64; shift += digit {
		if differ>>shift&(1<<digit-1) == 0 {
			continue
		}
		var start [1 << digit]int
		for _, p := range a {
			start[p.code>>shift&(1<<digit-1)]++
		}
		sum := 0
		for d, n := range start {
			start[d] = sum
			sum += n
		}
		for _, p := range a {
			d := p.code >> shift & (1<<digit - 1)
			b[start[d]] = p
			start[d]++
		}
		a, b = b, a
	}
	return a
}
