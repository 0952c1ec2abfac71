// Package value puts measured values into words: each with its expanded
// uncertainty, coverage factor 2 (JCGM 100:2008, 6.2), rounded to what it is
// worth.
package value

import (
	"fmt"
	"math"
)

// Coverage is the factor k: a value plus or minus k standard uncertainties
// holds the truth in about 95 of 100 cases.
const Coverage = 2

// MM is a length with its standard uncertainty, both mm, as "63.4 ± 0.2".
// Without an uncertainty (0 or not finite) it says so rather than look exact.
func MM(v, sigma float64) string { return with(v, sigma, "") }

// Deg is an angle with its standard uncertainty, both rad, in degrees.
func Deg(v, sigma float64) string { return with(degrees(v), degrees(sigma), "°") }

func with(v, sigma float64, unit string) string {
	if !known(sigma) {
		return number(v, 1) + unit + " ± ?"
	}
	u := Coverage * sigma
	n := places(u)
	return fmt.Sprintf("%s%s ± %s%s", number(v, n), unit, uncertainty(u, n), unit)
}

func known(sigma float64) bool { return sigma > 0 && !math.IsInf(sigma, 0) }

// places is how many decimals an uncertainty of u deserves: one digit, or two
// where the first is a 1, for there rounding to one changes it by up to half.
func places(u float64) int {
	lead := math.Floor(math.Log10(u))
	n := -int(lead)
	if u < 1.95*math.Pow(10, lead) {
		n++
	}
	return min(max(n, 0), maxPlaces)
}

// maxPlaces is the last decimal that is ever shown: a hundredth of a
// millimetre, a hundredth of a degree. A scanner on an arm resolves no less.
const maxPlaces = 2

// uncertainty rounds u; one that is too small to show becomes the least that can
// be shown, not zero.
func uncertainty(u float64, places int) string {
	return number(max(u, math.Pow(10, -float64(places))), places)
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

func degrees(rad float64) float64 { return rad * 180 / math.Pi }
