package mount

import (
	"math"

	"cellwall/mapping/align"
)

// Value is one of the seven numbers of cell.yaml, in its units.
type Value struct {
	Name, Unit   string
	Given, Found float64
	Sigma        float64 // of Found, in Unit; +Inf where it leans on what the scans do not tell
}

const degree = math.Pi / 180

// numbers are a mount's seven values as cell.yaml spells them.
func (m Mount) numbers() (v [align.Params]float64) {
	p := m.FlangeFromScanner
	roll, pitch, yaw := p.R.RPY()
	return [align.Params]float64{p.T.X, p.T.Y, p.T.Z, roll / degree, pitch / degree, yaw / degree, 1000 * m.Latency}
}

// mixed is the share of what is not told above which a value is not known: the
// rest would move it by less than it is told to.
const mixed = 1e-3

// Values are the mount's seven numbers. Sigmas go through the angles' partial
// derivatives by the law of propagation (JCGM 100:2008, 5.2.2).
func (s *Solution) Values() [align.Params]Value {
	names := [align.Params][2]string{{"x", "mm"}, {"y", "mm"}, {"z", "mm"}, {"roll", "deg"}, {"pitch", "deg"}, {"yaw", "deg"}, {"latency", "ms"}}
	given, found := s.Given.numbers(), s.Found.numbers()
	by := s.Found.byChange()
	cov := s.Cov()
	var out [align.Params]Value
	for k := range out {
		var variance, lean float64
		for i := range cov {
			for j := range cov {
				variance += by[k][i] * cov[i][j] * by[k][j]
			}
			if by[k][i] != 0 {
				lean = max(lean, s.Blend(i))
			}
		}
		out[k] = Value{names[k][0], names[k][1], given[k], found[k], math.Sqrt(variance)}
		if lean > mixed {
			out[k].Sigma = math.Inf(1)
		}
	}
	return out
}

// byChange are the derivatives of the seven numbers by a Change, from central
// differences: a step of a microradian leaves ten digits.
func (m Mount) byChange() (by [align.Params][align.Params]float64) {
	for i := range by {
		const h = 1e-6
		var d Change
		d[i] = h
		up := m.Plus(d).numbers()
		d[i] = -h
		down := m.Plus(d).numbers()
		for k := range by {
			if v := (up[k] - down[k]) / (2 * h); math.Abs(v) > 1e-6 {
				by[k][i] = v
			}
		}
	}
	return by
}
