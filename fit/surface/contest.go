package surface

import (
	"math"
	"slices"

	"cellwall/mapping/cores"
)

// contest deals the spots out anew, each to the plane that explains it best among
// those of its surroundings, for growing is first come, first served; then it
// fits the regions to what they hold.
func (f *field) contest() {
	from, list := f.owners()
	owner := make([]int32, len(f.owner))
	cores.Parts(len(f.levels[f.near]), func(lo, hi int) {
		var ring []int32
		var claims []claim
		for n := int32(lo); n < int32(hi); n++ {
			ring = f.ring(n, ring)
			claims = claims[:0]
			for _, m := range ring {
				claims = claimedBy(list[from[m]:from[m+1]], claims)
			}
			f.dealOut(n, claims, owner)
		}
	})
	f.owner = owner
	for i := range f.regions {
		r := &f.regions[i]
		*r = region{plane: r.plane, members: r.members[:0]}
	}
	for i, o := range owner {
		if o != none {
			f.regions[o].add(int32(i), &f.spots[i])
		}
	}
	f.drop(func(i int) bool { return !f.regions[i].sound() })
	for i := range f.regions {
		f.regions[i].plane = f.regions[i].fit()
	}
}

// drop gives up the regions for which bad holds.
func (f *field) drop(bad func(i int) bool) {
	gone := make([]bool, len(f.regions))
	for i := range f.regions {
		gone[i] = bad(i)
	}
	number := make([]int32, len(f.regions))
	var kept []region
	for i := range f.regions {
		number[i] = none
		if !gone[i] {
			number[i] = int32(len(kept))
			kept = append(kept, f.regions[i])
		}
	}
	for i, o := range f.owner {
		if o != none {
			f.owner[i] = number[o]
		}
	}
	f.regions = kept
}

// claim is a region that may hold the voxels of a node; cost is how ill its
// plane explains the node as a whole.
type claim struct {
	region int32
	cost   float64
}

// claimedBy adds the regions that are not among the claims yet.
func claimedBy(regions []int32, claims []claim) []claim {
	for _, r := range regions {
		if !slices.ContainsFunc(claims, func(c claim) bool { return c.region == r }) {
			claims = append(claims, claim{region: r})
		}
	}
	return claims
}

// dealOut gives each spot of a node to the claim that explains it best. Where
// two planes run side by side, a single noisy voxel cannot say which it is of:
// what the node as a whole says counts as one voxel more.
func (f *field) dealOut(n int32, claims []claim, owner []int32) {
	nd := &f.levels[f.near][n]
	if len(claims) > 1 {
		f.weigh(nd, claims)
	}
	for i := nd.first; i < nd.last; i++ {
		s := &f.spots[i]
		owner[i] = none
		best := math.Inf(1)
		for _, c := range claims {
			pl := f.regions[c.region].plane
			if !s.fits(pl) {
				continue
			}
			if cost := s.strangeness(pl) + c.cost; cost < best {
				best, owner[i] = cost, c.region
			}
		}
	}
}

// weigh sets the cost of each claim: the mean strangeness of the node's voxels,
// held at the limit beyond which a voxel does not fit at all.
func (f *field) weigh(nd *node, claims []claim) {
	for k := range claims {
		pl := f.regions[claims[k].region].plane
		var sum, points float64
		for i := nd.first; i < nd.last; i++ {
			s := &f.spots[i]
			z := within * within
			if s.faces(pl) {
				z = min(z, s.strangeness(pl))
			}
			sum += s.N * z
			points += s.N
		}
		claims[k].cost = sum / points
	}
}
