package mapping

import (
	"fmt"
	"math"

	"cellwall/mapping/cell"
	"cellwall/mapping/fault"
)

// Noise is one sigma along the ray as a function of range: the part that grows
// with the square of the range, as that of a triangulating scanner does (common
// practice), and the part that does not, which is most of the noise of one that
// times the light. They add as variances.
type Noise struct {
	AtMetre  float64 // of the growing part at 1 m, mm
	Constant float64 // mm
	Given    bool    // declared in cell.yaml rather than estimated from the scans
}

// Sigma is the standard deviation along the ray at the given range, mm.
func (n Noise) Sigma(rangeMM float64) float64 {
	r := rangeMM / 1000
	if n.Constant == 0 {
		return n.AtMetre * r * r
	}
	return math.Sqrt(n.Constant*n.Constant + n.AtMetre*n.AtMetre*r*r*r*r)
}

// Where cell.yaml does not give the noise, it is read off the scans. In a
// profile it is how far points bend off the line through the points lag places
// before and after: for even, independent noise the variance of that is 3/2 of
// the noise's own. Noise that runs on along the line bends less over short lags,
// so the longest lag counts that still finds enough straight runs. A scan without
// profiles, as most still ones, shows its noise as the thickness of its flat
// patches.
const bendOfPoint = 1.2247448713915890 // sqrt(3/2)

// leastNoise is taken where scans show less, mm: no scanner is quieter, and
// what is measured in deviations must not divide by nothing.
const leastNoise = 0.005

// reading is a deviation seen at a range, from n values, mm.
type reading struct{ at, sigma, n float64 }

// bandError is by how much a band may be off, besides its own scatter, relative
// to its variance: bands are wide and surfaces not quite smooth.
const bandError = 0.1

// noiseThrough is the noise whose variance c^2 + a^2 r^4 lies closest to the
// readings by least squares, neither part below nothing.
func noiseThrough(readings []reading) Noise {
	var w, x, xx, y, xy float64
	for _, b := range readings {
		if b.sigma == 0 {
			continue
		}
		v, r := b.sigma*b.sigma, b.at/1000
		weight := 1 / (v * v * (2/b.n + bandError*bandError))
		r4 := r * r * r * r
		w, x, xx = w+weight, x+weight*r4, xx+weight*r4*r4
		y, xy = y+weight*v, xy+weight*r4*v
	}
	if w == 0 {
		return Noise{}
	}
	det := w*xx - x*x
	c2, a2 := (xx*y-x*xy)/det, (w*xy-x*y)/det
	switch {
	case !(det > 1e-9*w*xx) || c2 < 0: // one band, or the constant part is nothing
		c2, a2 = 0, xy/xx
	case a2 < 0:
		c2, a2 = y/w, 0
	}
	return Noise{AtMetre: math.Sqrt(a2), Constant: math.Sqrt(c2)}
}

// estimateNoise is the noise as declared or else as the scans show it.
func estimateNoise(c *cell.Cell, scans []*scan) (Noise, error) {
	if c.Scanner.Noise > 0 {
		return Noise{AtMetre: c.Scanner.Noise, Given: true}, nil
	}
	readings := profileReadings(scans)
	for _, s := range scans {
		if len(s.noise.readings()) == 0 {
			readings = append(readings, s.table.thickness()...)
		}
	}
	if len(readings) == 0 {
		return Noise{}, &fault.Error{File: c.Path("cell.yaml"), Where: "scanner.noise_mm",
			Rule:   "it is not given, and the scans hold too few points to show it",
			Remedy: "give the scanner's noise along the ray at 1 m, one sigma in mm"}
	}
	n := noiseThrough(readings)
	if n.AtMetre < leastNoise && n.Constant < leastNoise {
		n.Constant = leastNoise
	}
	return n, nil
}

// profileReadings are what the profiles of all scans together show.
func profileReadings(scans []*scan) []reading {
	var all residuals
	for _, s := range scans {
		all.add(&s.noise)
	}
	return all.readings()
}

// doubtful is by how much declared noise may differ from what the profiles
// show, either way, before it is worth a warning.
const doubtful = 2

// doubt is a warning where the declared noise is far from what scans show.
func (n Noise) doubt(scans []*scan) []string {
	seen := noiseThrough(profileReadings(scans)).Sigma(1000)
	given := n.Sigma(1000)
	if !n.Given || seen == 0 || given/doubtful <= seen && seen <= doubtful*given {
		return nil
	}
	return []string{fmt.Sprintf("scanner.noise_mm is %.3g, but the scans show %.2g mm at 1 m; check it, or leave it out", given, seen)}
}
