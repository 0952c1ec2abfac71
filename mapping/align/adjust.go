package align

import (
	"errors"
	"slices"

	"cellwall/mapping"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Problem is what is to be adjusted.
type Problem struct {
	Patches []Patch
	Shapes  []Shape
	Parts   []Part
	Scans   int
	Scale   []float64 // of each shared parameter: the change that moves points by some 1 mm; empty where none is solved
	Reach   Reach
	Spread  Spread        // known beforehand
	Wide    mapping.Rigid // the scans' spread to begin with, where it is wider: what lies far off must come near before it is judged
	Rounds  int           // of re-weighting: 24 let the spread's estimates settle to a few per cent of themselves
}

// Part is a part of a scan, of some seconds: an arm's error wanders.
type Part struct {
	Scan  int
	Pivot r3.Vec // where the flange was on average, base, mm: the part's error turns about it
	// Follows tells that the part goes on in time from the one before it, so that
	// its error runs on.
	Follows bool
}

// Spread is by how much scans differ, one sigma.
type Spread struct {
	Scan  mapping.Rigid // of a scan as a whole
	Part  mapping.Rigid // of a part of it, beyond that
	Runs  float64       // correlation of a part's error with that of the part before
	Face  float64       // of one surface as one part of a scan shows it, mm
	Patch float64       // of one patch, beyond its noise, mm
}

// ErrNothingShared says that there is nothing to hold scans against.
var ErrNothingShared = errors.New("no flat surface was seen by two scans, so nothing shows how the scanner sits; add a sweep of the same surfaces in another posture, or scan a target")

// Adjustment is the solution: every scan's own error is a random effect, a rigid
// motion drawn with the spread's deviations, and so is what its parts add to
// that; each surface is a plane of its own; and what all scans share is free.
type Adjustment struct {
	Spread   Spread
	Surfaces int // shared by scans
	Scans    []Misfit

	faces []face
	scale []float64
	main  *mat.SymDense // normal matrix of shared parameters, then 6 for each scan and each part; surfaces eliminated
	right *mat.VecDense
}

// Misfit is how a scan lies against the others.
type Misfit struct {
	Shift, Turn r3.Vec        // what would mend it, about Pivot: mm, rad
	Pivot       r3.Vec        // base, mm
	Left        mapping.Rigid // by how much the scan may be off when so mended, beside what it shares with all others
	Beyond      float64       // root mean square of it in deviations of the spread
	Outlier     bool          // so far beyond the others that it hardly counts
	Significant bool          // more than chance explains
	Told        bool          // enough patches tell it
	Patches     int
}

// Adjust solves the problem: robust least squares with Tukey's biweight
// (Beaton and Tukey, Technometrics 16 (1974) 147) on the patches' distances
// from planes that are solved along with the rest, point-to-plane as in Chen and
// Medioni 1992; the spread by expectation and maximisation (Laird and Ware,
// Biometrics 38 (1982) 963).
func Adjust(p Problem) (*Adjustment, error) {
	a := &adjuster{Problem: p, prior: p.Spread, params: len(p.Scale)}
	a.size = a.params + 6*(p.Scans+a.wandering())
	a.locate()
	a.collect(regions(p.Patches, p.Parts, p.Reach))
	for i := range p.Shapes {
		a.shape(&p.Shapes[i])
	}
	if len(a.faces) == 0 {
		return nil, ErrNothingShared
	}
	a.trusts = slices.Repeat([]float64{1}, p.Scans)
	a.Spread.Scan.Shift = max(a.Spread.Scan.Shift, p.Wide.Shift)
	a.Spread.Scan.Turn = max(a.Spread.Scan.Turn, p.Wide.Turn)
	for range p.Rounds {
		a.weigh()
		if err := a.solve(); err != nil {
			return nil, err
		}
		a.learn()
	}
	return a.report(), nil
}

// row is a patch on a surface.
type row struct {
	j      []float64 // by each shared parameter, the scan's six and the part's six, if it has them
	basis  [3]float64
	off    float64 // distance from the surface as it was collected, mm
	noise  float64 // variance of its middle from noise, mm^2
	left   float64 // residual, mm
	weight float64
}

// group is what one part of a scan saw of a surface.
type group struct {
	part int
	rows []row
	bias float64 // its own offset, mm
	sum  float64 // of weights
}

// face is a surface: groups, one for each part.
type face struct {
	groups []group
	round  bool          // a sphere: plane holds the shift of its centre
	plane  [3]float64    // offset (mm) and tilts (rad) against the plane as collected
	normal *mat.SymDense // 3 x 3
	cross  *mat.Dense    // 3 x size
	right  *mat.VecDense // 3
}

type adjuster struct {
	Problem
	params, size int
	pivots       []r3.Vec  // of the scans
	trusts       []float64 // in each scan: 1, less where it lies off far beyond the others
	faces        []face
	main         *mat.SymDense
	right, y     *mat.VecDense
	cov          *mat.SymDense
	prior        Spread
	out          Adjustment
}

// collect makes the rows.
func (a *adjuster) collect(all []region) {
	for _, r := range all {
		frame := r.plane.Frame(r.middle).R
		var f face
		for _, i := range r.patches {
			p := &a.Patches[i]
			n, arm := r.plane.Normal, r3.Sub(p.Mean, r.middle)
			w := a.row(p, n)
			w.off = r3.Dot(n, arm)
			w.basis = [3]float64{1, r3.Dot(frame.Axis(0), arm), r3.Dot(frame.Axis(1), arm)}
			f.add(p.Part, w)
		}
		a.faces = append(a.faces, f)
	}
	a.out.Surfaces = len(a.faces)
}

// row is a patch that moves along n, its surface's normal there.
func (a *adjuster) row(p *Patch, n r3.Vec) row {
	w := row{weight: 1, noise: runs * p.Rough * p.Rough / p.N}
	for k := range a.params {
		w.j = append(w.j, r3.Dot(n, p.Drift[k]))
	}
	part := a.Parts[p.Part]
	w.j = append(w.j, rigid(n, p.Mean, a.pivots[part.Scan])...)
	if a.wandering() > 0 {
		w.j = append(w.j, rigid(n, p.Mean, part.Pivot)...)
	}
	return w
}

// add takes in a row of a part; rows come part by part.
func (f *face) add(part int, w row) {
	w.left = w.off
	if n := len(f.groups); n == 0 || f.groups[n-1].part != part {
		f.groups = append(f.groups, group{part: part})
	}
	g := &f.groups[len(f.groups)-1]
	g.rows = append(g.rows, w)
}

// rigid is how far a point of a plane moves along its normal n for a unit of
// each shift, and of each turn about the pivot.
func rigid(n, at, pivot r3.Vec) []float64 {
	turn := r3.Cross(r3.Sub(at, pivot), n)
	return []float64{n.X, n.Y, n.Z, turn.X, turn.Y, turn.Z}
}

// locate finds the scans' pivots: the middle of their parts'.
func (a *adjuster) locate() {
	a.pivots = make([]r3.Vec, a.Scans)
	n := make([]float64, a.Scans)
	for _, p := range a.Parts {
		a.pivots[p.Scan] = r3.Add(a.pivots[p.Scan], p.Pivot)
		n[p.Scan]++
	}
	for s := range a.pivots {
		a.pivots[s] = r3.Scale(1/max(n[s], 1), a.pivots[s])
	}
}

// runs is by how much noise that runs on along the line makes a mean worse
// than so many independent points would (common practice: a few points).
const runs = 4

// each visits the rows.
func (a *adjuster) each(do func(*group, *row)) {
	for i := range a.faces {
		for k := range a.faces[i].groups {
			g := &a.faces[i].groups[k]
			for j := range g.rows {
				do(g, &g.rows[j])
			}
		}
	}
}
