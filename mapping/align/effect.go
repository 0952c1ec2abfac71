package align

import (
	"math"

	"cellwall/mapping"
)

// An effect is a rigid error of a scan, or of a part of one, drawn with the
// spread's deviations. The scans' come first, then the parts'. A part's error
// runs on from the part before, as a process of the first order does: for a lag
// of k parts the correlation is Runs^k (Box and Jenkins, Time Series Analysis,
// 3.2).

// at is the place of axis k of effect e among the unknowns.
func (a *adjuster) at(e, k int) int { return a.params + 6*e + k }

// deviation of axis k of a rigid motion.
func deviation(r mapping.Rigid, k int) float64 {
	if k < 3 {
		return r.Shift
	}
	return r.Turn
}

// expect adds to the normal matrix what is expected of the effects.
func (a *adjuster) expect() {
	for e := range a.Scans {
		for k := range 6 {
			s := deviation(a.Spread.Scan, k)
			a.stiffen(a.at(e, k), a.at(e, k), a.trusts[e]/(s*s))
		}
	}
	fresh := 1 - a.Spread.Runs*a.Spread.Runs
	for p := range a.wandering() {
		for k := range 6 {
			s := deviation(a.Spread.Part, k)
			i, w := a.at(a.Scans+p, k), 1/(s*s)
			if !a.follows(p) {
				a.stiffen(i, i, w)
				continue
			}
			// (x_p - Runs x_{p-1})^2 over its variance, fresh s^2.
			before := i - 6
			a.stiffen(i, i, w/fresh)
			a.stiffen(before, i, -a.Spread.Runs*w/fresh)
			a.stiffen(before, before, a.Spread.Runs*a.Spread.Runs*w/fresh)
		}
	}
}

// wandering is how many parts have an effect of their own: none where each scan
// is one part.
func (a *adjuster) wandering() int {
	if len(a.Parts) > a.Scans {
		return len(a.Parts)
	}
	return 0
}

func (a *adjuster) stiffen(i, k int, w float64) { a.main.SetSym(i, k, a.main.At(i, k)+w) }

// follows tells whether a part goes on in time from the one before it.
func (a *adjuster) follows(p int) bool {
	return a.Parts[p].Follows && p > 0 && a.Parts[p].Scan == a.Parts[p-1].Scan
}

// believed is how many values the spread known beforehand counts for: a cell has
// few scans, and a deviation learnt from three of them alone would wander.
const believed = 4

// learn estimates the spread anew: each variance is the mean square of its
// effects as solved, plus what is not known of them.
func (a *adjuster) learn() {
	a.doubt() // first: what lies far off is not to be learnt from
	a.out.Spread = a.Spread
	next := a.Spread
	next.Scan = a.learnScans()
	if a.wandering() > 0 {
		next.Part, next.Runs = a.learnParts()
	}
	var squares, n float64
	for i := range a.faces {
		for _, g := range a.faces[i].groups {
			squares += g.bias*g.bias + 1/(g.sum+1/(a.Spread.Face*a.Spread.Face))
			n++
		}
	}
	next.Face = mix(squares, n, a.prior.Face)
	a.Spread = next
}

// product is the expected product of two unknowns.
func (a *adjuster) product(i, k int) float64 { return a.y.AtVec(i)*a.y.AtVec(k) + a.cov.At(i, k) }

func (a *adjuster) learnScans() mapping.Rigid {
	var squares [2]float64
	for e := range a.Scans {
		for k := range 6 {
			squares[k/3] += a.trusts[e] * a.product(a.at(e, k), a.at(e, k))
		}
	}
	n := 3 * float64(a.Scans)
	return mapping.Rigid{Shift: mix(squares[0], n, a.prior.Scan.Shift), Turn: mix(squares[1], n, a.prior.Scan.Turn)}
}

// longest is the greatest correlation that is believed: beyond it a part's error
// is no longer told from the whole scan's.
const longest = 0.9

// learnParts is the spread of the parts' effects and how they run on.
func (a *adjuster) learnParts() (mapping.Rigid, float64) {
	runs := a.Spread.Runs
	fresh := 1 - runs*runs
	var squares [2]float64
	var n, crossed, all float64
	for p := range a.Parts {
		n += 3
		for k := range 6 {
			i := a.at(a.Scans+p, k)
			own := a.product(i, i)
			if !a.follows(p) {
				squares[k/3] += own
				continue
			}
			cross, before := a.product(i-6, i), a.product(i-6, i-6)
			squares[k/3] += (own - 2*runs*cross + runs*runs*before) / fresh
			s := deviation(a.Spread.Part, k)
			crossed += cross / (s * s)
			all += (own + before) / (2 * s * s)
		}
	}
	crossed, all = crossed+6*believed*a.prior.Runs, all+6*believed
	return mapping.Rigid{Shift: mix(squares[0], n, a.prior.Part.Shift), Turn: mix(squares[1], n, a.prior.Part.Turn)},
		max(0, min(longest, crossed/all))
}

// mix is the deviation that n values' squares show together with what was known
// beforehand.
func mix(squares, n, before float64) float64 {
	return math.Sqrt((believed*before*before + squares) / (believed + n))
}

// fewDegrees is how many values of a Student distribution's tails say: with
// four, a scan three deviations off along and about every axis counts for a sixth
// (Lange, Little and Taylor, J. American Statistical Association 84 (1989) 881).
const fewDegrees = 4

// doubt trusts each scan by how far beyond the spread it lies.
func (a *adjuster) doubt() {
	for s := range a.trusts {
		a.trusts[s] = (fewDegrees + 6) / (fewDegrees + 6*a.beyond(s)*a.beyond(s))
	}
}

// beyond is the root mean square of a scan's own correction in deviations of
// the spread.
func (a *adjuster) beyond(scan int) float64 {
	var squares float64
	spread := a.Spread.Scan
	for k := range 6 {
		x := a.y.AtVec(a.at(scan, k)) / deviation(spread, k)
		squares += x * x
	}
	return math.Sqrt(squares / 6)
}
