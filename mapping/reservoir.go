package mapping

import "slices"

const (
	// samplesPerVoxel is how many raw points a voxel keeps at most: as many as draw
	// the line of an edge through one of the finest level, few enough that the
	// samples take no more memory than the moments.
	samplesPerVoxel = 16
	// sampledLevel is the last level whose voxels keep any: to 1.8 m, where a ray
	// meets a vise's jaw every five millimetres or closer.
	sampledLevel = 1
)

// draw is a raw point with the lot it drew.
type draw struct {
	lot   uint32
	point Sample
}

// lot is the lot of the point with this place in its file (the finaliser of
// Steele, Lea and Flood, OOPSLA 2014, figure 16).
func lot(ordinal int64) uint32 {
	z := uint64(ordinal)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return uint32((z ^ z>>31) >> 32)
}

// reservoir keeps the points that drew the lowest lots. Lots are hashes of the
// points' places in their file, so the choice is unbiased, the same on every
// run, and does not depend on how the file was cut into pieces.
type reservoir struct {
	worst int
	draws []draw
}

func (r *reservoir) offer(d draw) {
	switch {
	case len(r.draws) < samplesPerVoxel:
		r.draws = append(r.draws, d)
		if d.lot > r.draws[r.worst].lot {
			r.worst = len(r.draws) - 1
		}
	case d.lot < r.draws[r.worst].lot:
		r.draws[r.worst] = d
		for i := range r.draws {
			if r.draws[i].lot > r.draws[r.worst].lot {
				r.worst = i
			}
		}
	}
}

// samples appends the points that were kept, by lot.
func (r *reservoir) samples(to []Sample) []Sample {
	slices.SortFunc(r.draws, func(a, b draw) int {
		if a.lot != b.lot {
			if a.lot < b.lot {
				return -1
			}
			return 1
		}
		return slices.Compare(a.point[:], b.point[:])
	})
	for _, d := range r.draws {
		to = append(to, d.point)
	}
	return to
}
