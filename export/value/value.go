// Package value puts measured values into words: each with its expanded
// uncertainty, coverage factor 2 (JCGM 100:2008, 6.2), rounded to what it is
// worth.
package value

import (
	"fmt"
	"math"
	"strconv"
)

// Coverage is the factor k: a value plus or minus k standard uncertainties
// holds the truth in about 95 of 100 cases.
const Coverage = 2

// The last decimal that is ever shown: a tenth of a millimetre and a hundredth
// of a degree, which over the width of a jaw come to less. Nobody checks finer
// with a tape measure.
const (
	placesMM  = 1
	placesDeg = 2
)

// MM is a length with its standard uncertainty, both mm, as "63.4 ± 0.2".
// Without an uncertainty (0 or not finite) it says so rather than look exact.
func MM(v, sigma float64) string { return with(v, sigma, "", placesMM) }

// loose is the expanded uncertainty, mm, from which on a length to a side that
// was not seen is no measurement: a margin of two centimetres (cell.yaml's usual
// one) on either side is used up.
const loose = 40

// Bounded is MM of an object of which some sides were not seen: what rests on
// one of these is "about" where it was seen to go, for what bounds it lies far
// off.
func Bounded(v, sigma float64, unseen bool) string {
	if unseen && Coverage*sigma > loose && !math.IsInf(sigma, 0) {
		return "about " + number(v, 0)
	}
	return MM(v, sigma)
}

// Deg is an angle with its standard uncertainty, both rad, in degrees; "any" where
// that takes in the whole circle, as of a round post about its axis.
func Deg(v, sigma float64) string {
	if Coverage*sigma >= math.Pi && !math.IsInf(sigma, 0) {
		return "any"
	}
	return with(degrees(v), degrees(sigma), "°", placesDeg)
}

func with(v, sigma float64, unit string, most int) string {
	if !(sigma > 0) || math.IsInf(sigma, 0) {
		return number(v, most) + unit + " ± ?"
	}
	u := Coverage * sigma
	n := min(places(u), most)
	return fmt.Sprintf("%s%s ± %s%s", number(v, n), unit, number(up(u, n), n), unit)
}

// places is how many decimals an uncertainty of u deserves: one digit, or two
// where the first is a 1, for there rounding to one changes it by up to half.
func places(u float64) int {
	lead := math.Floor(math.Log10(u))
	n := -int(lead)
	if u < 2*math.Pow(10, lead) {
		n++
	}
	return max(n, 0)
}

// up rounds an uncertainty upward (JCGM 100:2008, 7.2.6), so that one too small
// to show does not become zero. What exceeds a place by less than a twentieth
// is let off.
func up(u float64, places int) float64 {
	scale := math.Pow(10, float64(places))
	return max(1, math.Ceil(u*scale-0.05)) / scale
}

// number rounds v; minus zero is zero.
func number(v float64, places int) string {
	scale := math.Pow(10, float64(places))
	r := math.Round(v*scale) / scale
	if r == 0 {
		r = 0
	}
	return fmt.Sprintf("%.*f", places, r)
}

// Plain is v with at most so many decimals, for programs: no trailing zeros, no
// minus zero.
func Plain(v float64, places int) string {
	scale := math.Pow10(places)
	return strconv.FormatFloat(math.Round(v*scale)/scale+0, 'f', -1, 64) // -0 + 0 is 0
}

func degrees(rad float64) float64 { return rad * 180 / math.Pi }
