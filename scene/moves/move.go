package moves

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

// Move is how an object stands in a new map against an old one.
type Move struct {
	Name, Inside string
	Kind         fit.Kind
	Datum        geom.Pose  // baseFromObject in the old map
	rigid.Motion            // baseNewFromBaseOld
	Test         rigid.Test // of the motion against none
	Moved        bool       // beyond chance at the comparison's level
	Shared       []Shared   // faces that both maps saw and that follow the motion
	Unlike       []Shared   // those that do not: the object is not the shape it was
	Weak         []Weak     // directions that the shared faces of the object leave open and other evidence tells
	Unseen       []FaceName // faces of the old map that the new one does not show
	Misfit       rigid.Test // of the shared faces against one motion
	unseen       []patch    // the same, as the old map has them
	Inflation    float64    // factor on the covariance by which Misfit is taken in; 1 where chance explains it
	box          geom.Box   // about the object's faces in the old map, square with its datum
	sway         sway       // what sweeps are off by, as its faces, or its machine's, tell
	By           string     // ByFaces, or ByDatum
	Twin         string     // of ByDatum: what the object is called in the new map
	With         string     // the moved machine that it stands in and went with, as far as it is told
}

// What a move rests on: the faces that both maps saw, or the datum that both
// located.
const (
	ByFaces = "faces"
	ByDatum = "datum"
)

// Edges are what Weak rests on where it rests on where a front, its opening or a top
// ends.
const Edges = "edges"

// Weak is a direction of a move that no shared face of the object tells.
type Weak struct {
	rigid.Direction
	On string // what tells it: Edges, or the blocks on the machine's skin that went along
}

// Teller says what tells the direction, with its verb.
func (w Weak) Teller() string {
	if w.On == Edges {
		return "its edges tell"
	}
	return w.On + ", which went along, tells"
}

// Known is the expanded uncertainty of the move in the direction, mm of a slide and
// rad of a turn.
func (m *Move) Known(d rigid.Direction) float64 {
	c := m.At(m.Pose.Apply(m.Datum.T))
	if d.Turn == (r3.Vec{}) {
		return Coverage * along(c, d.Slide)
	}
	return Coverage * math.Sqrt(max(block(c, 3).Form(d.Turn), 0))
}

// Says names a direction of the move by base's axes or the object's datum's, where it is.
func (m *Move) Says(d rigid.Direction) string { return d.In(m.Pose.R.Mul(m.Datum.R)) }

// Little says of a weak direction what alone tells it, and how well.
func (m *Move) Little(w Weak) string {
	u, unit := m.Known(w.Direction), " mm"
	if w.Turn != (r3.Vec{}) {
		u, unit = u/degree, "°"
	}
	return fmt.Sprintf("only %s %s, to ± %.2g%s", w.Teller(), m.Says(w.Direction), u, unit)
}

// ToScan are the faces of the old map that the new one does not show and that would
// tell a slide, the largest first; none for a turn.
func (m *Move) ToScan(d rigid.Direction) []FaceName {
	var facing []patch
	for _, p := range m.unseen {
		if math.Abs(r3.Dot(m.Pose.R.Apply(p.plane.Normal), d.Slide)) > math.Cos(45*degree) {
			facing = append(facing, p)
		}
	}
	slices.SortStableFunc(facing, func(a, b patch) int { return cmp.Compare(b.area, a.area) })
	var out []FaceName
	for i := range facing {
		out = append(out, nameOf(&facing[i]))
	}
	return out
}

// Shared is a face that both maps saw.
type Shared struct {
	Old, New FaceName
	Offset   float64 // how far the new face lies in front of the old one, moved, mm
	Turn     float64 // and how far it is turned from it, rad
	Sigma    float64 // standard uncertainty of Offset from both maps, mm
}

// FaceName is a face of an object in one of the maps.
type FaceName struct{ Object, Face string }

// String is the two names.
func (n FaceName) String() string { return n.Object + " " + n.Face }

// SameShape tells whether every face of the object itself that both maps saw
// follows the motion.
func (m *Move) SameShape() bool {
	return !slices.ContainsFunc(m.Unlike, func(s Shared) bool { return s.Old.Object == m.Name })
}

// Coverage is the factor k of expanded uncertainties (JCGM 100:2008, 6.2.1).
const Coverage = 2

// AtMost bounds how far the datum's origin can have gone (mm) and the object
// have turned (rad): what was measured and Coverage times its uncertainty in the
// worst direction. It says nothing of what is Loose.
func (m *Move) AtMost() (shift, turn float64) {
	c := m.At(m.Pose.Apply(m.Datum.T))
	shift = r3.Norm(m.Shift(m.Datum.T)) + Coverage*worst(c, 0)
	turn = r3.Norm(m.Pose.R.Log()) + Coverage*worst(c, 3)
	return shift, turn
}

// holds tells whether the point, in the old map, lies within the object.
func (m *Move) holds(p r3.Vec) bool { return m.box.Contains(p) }

// Worst are the standard uncertainties, in their worst directions, of where the
// point at old went, mm, and of the turn, rad.
func (m *Move) Worst(old r3.Vec) (shift, turn float64) {
	c := m.At(m.Pose.Apply(old))
	return worst(c, 0), worst(c, 3)
}

// worst is the standard uncertainty in the worst direction of the three
// components from first on.
func worst(c geom.Cov6, first int) float64 {
	values, _ := block(c, first).Eigen()
	return math.Sqrt(max(values[0], values[1], values[2], 0))
}

// along is the standard uncertainty of the displacement along a unit vector, mm.
func along(c geom.Cov6, v r3.Vec) float64 { return math.Sqrt(max(block(c, 0).Form(v), 0)) }

// block is three components of a covariance, from first on.
func block(c geom.Cov6, first int) geom.Sym3 {
	row := func(i, k int) float64 { return c[first+i][first+k] }
	return geom.Sym3{row(0, 0), row(0, 1), row(0, 2), row(1, 1), row(1, 2), row(2, 2)}
}

// Untold is an object of the old map of whose place the new map says nothing.
type Untold struct {
	Name     string
	Kind     fit.Kind
	Reason   string
	ScanNext string
}

// moveOf writes down a fit.
func moveOf(f *fitted) Move {
	k := f.inflation()
	m := Move{Misfit: f.Misfit, Inflation: k, By: ByFaces}
	m.Motion = rigid.Motion{Pose: f.motion, About: f.system.Centre, Loose: f.Open}
	m.Cov = f.Cov.Times(k)
	for i := range f.pairs {
		m.Shared = append(m.Shared, f.shared(i))
	}
	for i := range f.unlike {
		m.Unlike = append(m.Unlike, sharedOf(&f.unlike[i], f.unlike[i].old.moved(f.motion)))
	}
	m.sway = f.sway
	return m
}

// judge tests the motion against none.
func (m *Move) judge(lever, level float64) {
	old := m.Pose.Inverse().Apply(m.About)
	t, w := m.Shift(old), m.Pose.R.Log()
	m.Test = rigid.Against([6]float64{t.X, t.Y, t.Z, w.X, w.Y, w.Z}, m.Cov, lever)
	m.Test.Known = m.sway.known()
	m.Moved = m.Test.Beyond(level)
}

func (f *fitted) shared(i int) Shared { return sharedOf(&f.pairs[i], f.pairs[i].at) }

func sharedOf(p *pair, at patch) Shared {
	in := func(q *patch) float64 {
		j := q.seenFrom(p.frame)
		v := 0.0
		for a := range 3 {
			for b := range 3 {
				v += j[0][a] * (q.noise[a][b] + q.sweep[a][b]) * j[0][b]
			}
		}
		return v
	}
	return Shared{
		Old: nameOf(p.old), New: nameOf(p.new),
		Offset: at.plane.Distance(p.frame.T),
		Turn:   r3.Norm(r3.Cross(at.plane.Normal, p.new.plane.Normal)),
		Sigma:  math.Sqrt(in(&at) + in(p.new)),
	}
}

func nameOf(p *patch) FaceName { return FaceName{p.object, p.name} }
