package register

import (
	"fmt"
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// leastOverlap is the least share of the map that a placement must confirm: less
	// can be a match by chance, of one face on another like it.
	leastOverlap = 0.02
	// mostAgainst is the most of what both scans show that may speak against a
	// placement: things are moved between two scans, but a shop is not refurnished.
	mostAgainst = 1.0 / 3
	// Of the patches that tell two placements apart, this share at least must speak
	// for the better one, and so many more of them than chance brings (deviations of
	// an even draw, counted as if patches came in pairs).
	leastFor    = 0.75
	clearSigmas = 3.0
	clump       = 2.0
	// loosest is how well a placement must be known along the least certain of its
	// motions, one sigma at the scanner, mm: a scan that is less well known would
	// blur what the arm has mapped.
	loosest = 1.0
)

// choose takes the best of the placements, or says why none can be relied on.
func (s *search) choose(found []solution, accuracy float64) (*Placement, error) {
	best := s.weigh(found)
	b := &found[best]
	fit, open := s.fit(b), s.open(b)
	switch {
	case fit.Overlap < leastOverlap:
		return nil, &Refusal{
			fmt.Sprintf("it shares only %.1f %% of the surfaces that the arm has mapped", 100*fit.Overlap),
			"scan more of what the arm has mapped"}
	case len(open) > 0:
		return nil, notTold(open)
	case fit.Against > mostAgainst:
		return nil, &Refusal{
			fmt.Sprintf("no placement within what rough allows fits: the best contradicts %.0f %% of the mapped surfaces in its sight", 100*fit.Against),
			"check placed, and that rough is as wide as placed may be off; or scan more of what the arm has mapped"}
	}
	next := s.next(found, best)
	if next != nil && !next.clear() {
		return nil, next.refusal(s, b)
	}
	return s.placement(b, fit, next, accuracy)
}

// weigh lets every placement stand the test of the map, and returns the one that
// it confirms most.
func (s *search) weigh(found []solution) (best int) {
	close := trimSigmas * found[0].scale
	most := math.MinInt
	for i := range found {
		found[i].stands = s.stands(found[i].motion, close)
		sum := 0
		for _, st := range found[i].stands {
			switch st {
			case confirms:
				sum++
			case against:
				sum--
			}
		}
		if sum > most {
			best, most = i, sum
		}
	}
	return best
}

// fit sums up how well a placement fits.
func (s *search) fit(of *solution) Fit {
	f := Fit{Pairs: len(of.pairs), Surfaces: s.m.surfaces(of.pairs)}
	var squares float64
	for i := range of.pairs {
		squares += square(of.pairs[i].d)
	}
	f.RMS = math.Sqrt(squares / float64(len(of.pairs)))
	var n [3]float64
	for i, st := range of.stands {
		n[st]++
		if i == len(s.m.patches)-1 {
			f.Overlap = n[confirms] / float64(i+1)
		}
	}
	f.Against = n[against] / math.Max(1, n[against]+n[confirms])
	return f
}

// rival is another placement held against the best.
type rival struct {
	NextBest
	off float64 // rms distance of the patches between the two, mm
}

// next is the placement that is hardest to tell from the best: nil where there
// is no other.
func (s *search) next(found []solution, best int) *rival {
	var out *rival
	least := math.Inf(1)
	for i := range found {
		if i == best {
			continue
		}
		r := rival{off: s.distance(found[i].motion, found[best].motion)}
		r.Shift, r.Turn = s.correction(found[i].motion)
		for k, st := range found[best].stands {
			switch other := found[i].stands[k]; {
			case st == confirms && other == against:
				r.For++
			case st == against && other == confirms:
				r.Against++
			}
		}
		if d := r.deviations(); d < least {
			out, least = &r, d
		}
	}
	return out
}

// deviations is by how many the patches that speak for the best outnumber those
// that speak for the rival.
func (r *rival) deviations() float64 {
	n := float64(r.For+r.Against) / clump
	return float64(r.For-r.Against) / clump / math.Sqrt(math.Max(n, 1))
}

func (r *rival) clear() bool {
	return r.deviations() >= clearSigmas && float64(r.For) >= leastFor*float64(r.For+r.Against)
}

// correction is the shift of the eye and the turn of a motion.
func (s *search) correction(m geom.Pose) (shift, turn r3.Vec) {
	return r3.Sub(m.Apply(s.eye), s.eye), m.R.Log()
}

// placement solves the best once more with all that is uncertain about it.
func (s *search) placement(of *solution, fit Fit, next *rival, accuracy float64) (*Placement, error) {
	sp := s.newSpread(*of, fit.Surfaces, accuracy)
	x, cov, ok := sp.solve(accuracy)
	if !ok {
		return nil, &Refusal{"its pose is not determined by the surfaces that it shares with the arm's map", "scan more of what the arm has mapped"}
	}
	if f, sigma := weakest(cov); sigma > loosest {
		return nil, notTold([]freedom{f})
	}
	p := &Placement{Motion: s.shifted(of.motion, x), Fit: fit}
	p.Eye = p.Motion.Apply(s.eye)
	p.Shift, p.Turn = s.correction(p.Motion)
	var j [6][6]float64
	for i := range 3 {
		j[i][i], j[i+3][i+3] = 1, 1/s.lever
	}
	p.Cov = cov.Through(j)
	p.Before = s.before(of)
	if next != nil {
		p.Next = &next.NextBest
	}
	return p, nil
}

// before is how far the same pairs lay apart where the scan was placed, mm.
func (s *search) before(of *solution) float64 {
	var squares float64
	for i := range of.pairs {
		p := &of.pairs[i]
		squares += square(p.to.plane.Distance(s.moving[p.moving].mean))
	}
	return math.Sqrt(squares / float64(len(of.pairs)))
}
