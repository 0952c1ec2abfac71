package register

import (
	"math"

	"cellwall/mapping/cores"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// stand is what the still scan says of a placed patch under a placement.
type stand int8

const (
	silent   stand = iota // out of sight
	confirms              // it has a patch there
	against               // it sees through it, or has a patch beside it
)

// sight is what the still scan saw: its patches by cell, and how far it saw in
// every direction; all as placed roughly.
type sight struct {
	lookup map[cell][]int32
	eye    r3.Vec
	least  map[bin]float64 // least range in a direction, mm
}

// bin is a part of the sphere of directions: on the face of a cube round the eye.
type bin struct {
	face int8
	u, v int16
}

// binsPerFace make a bin 1.6 degrees wide in the middle of a face, 80 mm at 3 m.
const binsPerFace = 56

func binOf(dir r3.Vec) bin {
	v := [3]float64{dir.X, dir.Y, dir.Z}
	axis := 0
	for i := range v {
		if math.Abs(v[i]) > math.Abs(v[axis]) {
			axis = i
		}
	}
	side := 0
	if v[axis] > 0 {
		side = 1
	}
	part := func(x float64) int16 { return int16((x/math.Abs(v[axis]) + 1) / 2 * binsPerFace) }
	return bin{int8(2*axis + side), part(v[(axis+1)%3]), part(v[(axis+2)%3])}
}

// sightOf gathers what the scan saw. Where its eyes lie further apart than a
// patch is wide, as in a file of several scans, no range is known.
func sightOf(still Scan, moving []patch, eye r3.Vec, edge float64) *sight {
	s := &sight{lookup: lookupOf(moving, edge), eye: eye, least: map[bin]float64{}}
	markEven(moving, s.lookup, edge)
	var n, off float64
	for i := range still.Voxels {
		v := &still.Voxels[i]
		n += v.N
		off += v.N * r3.Norm(r3.Sub(r3.Add(v.Mean, r3.Scale(v.Range, v.Toward)), eye))
	}
	if off > n*edge {
		return s
	}
	for i := range still.Voxels {
		v := &still.Voxels[i]
		d := r3.Sub(v.Mean, eye)
		b := binOf(d)
		if r, ok := s.least[b]; !ok || r3.Norm(d) < r {
			s.least[b] = r3.Norm(d)
		}
	}
	return s
}

// through tells whether all rays in the direction of p went past it by more than
// margin.
func (s *sight) through(p r3.Vec, margin float64) bool {
	d := r3.Sub(p, s.eye)
	r, ok := s.least[binOf(d)]
	return ok && r > r3.Norm(d)+margin
}

// stands says of every placed patch how the still scan stands to it after the
// motion, and then of every patch of the still scan how the placed ones stand to
// it. Patches lie on one another within close, mm, along the normal.
func (s *search) stands(m geom.Pose, close float64) []stand {
	back := m.Inverse()
	placed := len(s.m.patches)
	out := make([]stand, placed+len(s.moving))
	cores.Each(len(out), func(i int) {
		if i < placed {
			q := s.m.patches[i].moved(back)
			out[i] = meets(&q, s.moving, s.sight.lookup, s.m.edge, close)
			if out[i] == silent && s.sight.through(q.mean, s.m.edge/2) {
				out[i] = against
			}
			return
		}
		p := s.moving[i-placed].moved(m)
		out[i] = meets(&p, s.m.patches, s.m.lookup, s.m.edge, close)
		if out[i] == silent && s.m.through(&p) {
			out[i] = against
		}
	})
	return out
}

// meets tells whether p lies on one of the patches, or beside one that it would lie
// on were it not off.
func meets(p *patch, all []patch, lookup map[cell][]int32, edge, close float64) stand {
	out := silent
	corner(p.mean, edge, func(c cell) {
		for _, k := range lookup[c] {
			q := &all[k]
			aside2, d := q.offset(p.mean)
			if out == confirms || aside2 > square(widestAside*edge) || r3.Dot(q.plane.Normal, p.plane.Normal) < facingClose {
				continue
			}
			out = against
			if math.Abs(d) <= close {
				out = confirms
			}
		}
	})
	return out
}
