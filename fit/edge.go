package fit

import (
	"maps"
	"math"
	"slices"
)

// nearest is what one scan tells of an upright border by its closed points. Its
// profiles stand pitch apart, so the nearest of them lies short of the border by
// up to that, less what its rows sweep through where the profiles cross it at a
// slant: by left. Where the border has a rim that sends points back, they end on
// the border itself. noise is how well their end is told, but for vague, by which
// they may reach further; rows of them agree on it.
type nearest struct{ at, left, noise, vague, rows float64 }

// nearest gathers the scans that have a say.
func (s sweeps) nearest(spacings float64) []nearest {
	var out []nearest
	for _, scan := range slices.Sorted(maps.Keys(s)) {
		one := s[scan]
		closed := slices.DeleteFunc(slices.Clone(one.closed), func(x float64) bool { return math.IsInf(x, 1) })
		if len(closed) < minSweepRows {
			continue
		}
		spacing, blur := median(one.spacing), median(one.blur)
		closed = fromAgreed(closed, spacing)
		noise := math.Hypot(rimNoise*spacing, math.Hypot(blur, swept(closed)/20))
		out = append(out, nearest{
			at:    quantile(closed, 0.1) + overshoot*blur,
			left:  max(max(one.pitch(), spacings*spacing)-swept(closed), 2*noise),
			noise: noise,
			vague: one.vagueness(),
			rows:  float64(agreed(closed, spacing)),
		})
	}
	return out
}

// vagueness is what the rows that tell the first closed place leave vague of it.
func (s *sweepRows) vagueness() float64 {
	var first []float64
	limit := quantile(slices.DeleteFunc(slices.Clone(s.closed), func(x float64) bool { return math.IsInf(x, 1) }), 0.5)
	for i, x := range s.closed {
		if x <= limit {
			first = append(first, s.vague[i])
		}
	}
	return median(first)
}

// overshoot is by how many standard deviations of the noise the foremost of a
// row's points lies before the place that they are of: the mean of the least of
// some ten (Tippett, Biometrika 17 (1925) 364: 1.54 of ten).
const overshoot = 1.5

// Beforehand a border has a rim as likely as not. A scan may tell nothing:
// something hid the border from it, or its nearest points failed.
const (
	rimmedShare = 0.5
	mute        = 0.1
	muteOver    = 4 // times as far as its profiles are apart
)

// edgeStep is the pitch of the places that are weighed, mm.
const edgeStep = 0.1

// edge is where the border lies, by Bayes' rule from what each scan tells of it,
// with every place beyond past and before the first closed point alike likely
// beforehand. Of either case, with a rim and without, all scans must speak alike.
func edgeOf(scans []nearest, past float64, rim bool) (at, sigma float64) {
	from, to := math.Inf(1), math.Inf(-1)
	for _, n := range scans {
		from, to = min(from, n.at-n.vague-muteOver*n.left), max(to, n.at+3*n.noise)
	}
	from = max(from, past)
	var sum, first, second float64
	for x := from; x <= max(to, from); x += edgeStep {
		bare, rimmed := 1-rimmedShare, rimmedShare
		if !rim {
			bare, rimmed = 1, 0
		}
		for _, n := range scans {
			none := mute / (muteOver * n.left)
			if x > n.at+3*n.noise { // closed points lie before: they would be strays, all of them
				none *= math.Pow(strayShare, n.rows)
			}
			bare *= (1-mute)*n.within(x) + none
			rimmed *= (1-mute)*n.upon(x) + none
		}
		w := bare + rimmed
		sum, first, second = sum+w, first+w*x, second+w*x*x
	}
	at = first / sum
	return at, math.Sqrt(max(second/sum-at*at, 0))
}

// within is how likely the scan's nearest points are where the border is at x and
// has no rim: they lie anywhere up to left behind it, blurred by their noise.
func (n nearest) within(x float64) float64 {
	return n.upTo(x, n.left+n.vague)
}

// upon is the same where it has a rim: they lie on it.
func (n nearest) upon(x float64) float64 { return n.upTo(x, max(n.vague, edgeStep)) }

// upTo is how likely they are where they lie anywhere up to wide behind x.
func (n nearest) upTo(x, wide float64) float64 {
	return (normalShare((n.at-x)/n.noise) - normalShare((n.at-wide-x)/n.noise)) / wide
}

// normalShare is the standard normal distribution up to z.
func normalShare(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
