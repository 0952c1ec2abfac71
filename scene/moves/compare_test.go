package moves

import (
	"math"
	"slices"
	"strings"
	"testing"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

const level = 0.99

// push is a move of a hand's width with some degrees, on a shim.
func (w *world) push() geom.Pose {
	return geom.Pose{
		R: geom.Exp(r3.Vec{X: .003 * w.NormFloat64(), Y: .003 * w.NormFloat64(), Z: 3 * degree * (2*w.Float64() - 1)}),
		T: r3.Vec{X: 100*w.Float64() - 50, Y: 100*w.Float64() - 50, Z: 8 * w.Float64()},
	}
}

// The truth of drawn maps must lie in the stated covariance: chi-square of six
// components has mean 6 and variance 12, and 95 % of intervals hold it.
func TestMoveHoldsTheTruth(t *testing.T) {
	runs := 200
	if testing.Short() {
		runs = 40
	}
	var sum float64
	var in, slipped, still int
	for k := range runs {
		w := newWorld(uint64(k))
		old := w.mapped(7)
		before := w.mill
		push := w.push()
		w.mill = geom.Pose{R: before.R.Mul(push.R), T: r3.Add(before.T, push.T)}
		c := Compare(old, w.mapped(3), level)
		m, ok := c.Move("mill")
		if !ok || len(m.Loose) > 0 || !m.Moved {
			t.Fatalf("run %d: the mill's move was not told: %+v", k, c.Untold)
		}
		truth := w.mill.Mul(before.Inverse())
		d := m.Pose.Mul(m.Datum).Minus(truth.Mul(m.Datum))
		cov := m.At(m.Pose.Apply(m.Datum.T))
		for i := range d {
			if math.Abs(d[i]) < 1.96*math.Sqrt(cov[i][i]) {
				in++
			}
		}
		sum += rigid.Against(d, cov, 500).ChiSquare
		if c.Slips[0].Slipped {
			slipped++
		}
		for _, name := range []string{"floor", "wall-1", "wall-2"} {
			if r, ok := c.Move(name); ok && !r.Moved {
				still++
			}
		}
	}
	if share := float64(in) / float64(6*runs); share < .90 || share > .99 {
		t.Errorf("%.1f %% of the 95 %% intervals hold the truth", 100*share)
	}
	if mean := sum / float64(runs); mean < 4 || mean > 8 {
		t.Errorf("chi-square is %.2f in the mean, want about 6", mean)
	}
	if float64(still) < .97*float64(3*runs) {
		t.Errorf("of %d still walls and floors only %d were not told apart from still", 3*runs, still)
	}
	if slipped > runs/20 {
		t.Errorf("%d of %d vises that went with the mill were said to slip", slipped, runs)
	}
}

func TestStillIsNotToldApart(t *testing.T) {
	w := newWorld(1)
	c := Compare(w.mapped(7), w.mapped(3), level)
	for _, m := range c.Moves {
		shift, turn := m.AtMost()
		if m.Moved || shift > 1.5 || turn > .1*degree || !m.SameShape() {
			t.Errorf("%s: moved %v, at most %.2f mm %.3f deg, unlike %v", m.Name, m.Moved, shift, turn/degree, m.Unlike)
		}
	}
	if c.Foot() != Steady || len(c.Untold) > 0 {
		t.Errorf("foot %v, untold %v", c.Foot(), c.Untold)
	}
}

func TestDoorLeafThatOpenedIsNamed(t *testing.T) {
	w := newWorld(2)
	old := w.mapped(7)
	w.leaf.T.X = -4 // as a leaf that is pulled shut a little
	c := Compare(old, w.mapped(3), level)
	m, _ := c.Move("mill")
	if m == nil || m.Moved || m.SameShape() || len(m.Unlike) != 1 || m.Unlike[0].Old.Face != "part-2" || math.Abs(m.Unlike[0].Offset-4) > 1 {
		t.Errorf("the leaf stands 4 mm further out; told: %+v", m)
	}
	w.noLeaf = true
	c = Compare(old, w.mapped(3), level)
	if m, _ = c.Move("mill"); m == nil || !slices.Contains(m.Unseen, FaceName{"mill", "part-2"}) || !m.SameShape() {
		t.Errorf("a leaf that was not seen is not a changed shape: %+v", m)
	}
}

func TestSlipIsToldApartFromTheMillsMove(t *testing.T) {
	w := newWorld(3)
	old := w.mapped(7)
	w.mill.T.X += 30
	w.vise.T.Y += 1.5
	c := Compare(old, w.mapped(3), level)
	if len(c.Slips) != 1 || !c.Slips[0].Slipped || math.Abs(c.Slips[0].Shift.Y-1.5) > .6 {
		t.Errorf("the vise slipped by 1.5 mm along the mill's Y: %+v", c.Slips)
	}
}

// A slip is told in the directions that are, whatever is open: 3 mm against 0.2 mm
// along Y, while nothing holds X.
func TestSlipIsToldInPart(t *testing.T) {
	home := Move{Name: "mill", Motion: rigid.Motion{Pose: geom.Identity(), About: r3.Vec{X: 800, Y: 700}, Cov: geom.Cov6{{.01}, {1: .01}, {2: .01}, {3: 1e-8}, {4: 1e-8}, {5: 1e-8}}}}
	for by, slipped := range map[float64]bool{3: true, .1: false} {
		m := Move{Name: "vise", Inside: "mill", Datum: geom.Identity(), Motion: home.Motion}
		m.Pose = rigid.About(r3.Vec{}, r3.Vec{X: 7, Y: by}, r3.Vec{Z: 1e-4}) // about its datum
		m.Loose = []rigid.Direction{{Slide: x}}
		s := slipOf(&m, &home, level)
		if s.Slipped != slipped || s.Whole() || s.Untold() || math.Abs(s.Shift.X) > 1e-9 || math.Abs(s.Shift.Y-by) > 1e-9 || s.Cov[0][0] > 1e-6 {
			t.Errorf("%g mm along Y: %+v", by, s)
		}
	}
}

func TestOpenOfASlip(t *testing.T) {
	turned := geom.Pose{R: geom.Exp(r3.Vec{Z: .4}), T: r3.Vec{X: 300}}
	for _, c := range []struct {
		open []rigid.Direction
		want int
	}{
		{nil, 0},
		{[]rigid.Direction{{Slide: z}}, 0},
		{[]rigid.Direction{{Slide: r3.Unit(r3.Vec{X: .4, Y: -.9, Z: -.01})}}, 1},
		{[]rigid.Direction{{Turn: z, Through: turned.T}}, 1},
		{[]rigid.Direction{{Turn: x, Through: turned.T}}, 0},
		{[]rigid.Direction{{Slide: x}, {Slide: r3.Unit(r3.Vec{X: 1, Z: .05})}}, 1},
		{[]rigid.Direction{{Slide: x}, {Slide: y}, {Turn: z, Through: r3.Vec{X: 100}}}, 3},
	} {
		if got := levelOf(c.open, turned, 60); got != c.want {
			t.Errorf("%v: %d open, want %d", c.open, got, c.want)
		}
	}
}

// By hand: an opening from -400 to 300 whose edges both maps know tells by each; where
// only its width is known in one, to 2 mm, its middle is known to 1 mm in that; and one
// that was 9 mm wider says nothing.
func TestEdgesOfAnOpening(t *testing.T) {
	open := func(lo, hi, width float64, sigma ...float64) *scene.Object {
		o := scene.Object{Object: fit.Object{Opening: &fit.Opening{YMin: lo, YMax: hi, Sigma: [4]float64{math.Inf(1), math.Inf(1)}}, Measures: map[string]fit.Measure{"opening_width_mm": {Value: hi - lo, Sigma: width}}}}
		copy(o.Opening.Sigma[:], sigma)
		return &o
	}
	old := open(-400, 300, 1, .6, .8)
	if got := edges(old, open(-398, 301, 1, .6, .8)); len(got) != 2 || got[0] != (mark{-400, -398, .36, .36}) || math.Abs(got[1].newVar-.64) > 1e-12 {
		t.Errorf("both known: %v", got)
	}
	if got := edges(old, open(-398, 301, 2)); len(got) != 1 || got[0] != (mark{-50, -48.5, .25, 1}) {
		t.Errorf("a width alone: %v", got)
	}
	if got := edges(old, open(-400, 309, 2)); got != nil {
		t.Errorf("9 mm wider: %v", got)
	}
}

// By hand: a vise that one pass showed, so that its own fit allowed for a shift of
// 0.5 mm, is known as well as sweeps of 0.2 mm leave it; the 0.3 mm that its ends add
// along X stay, and so does its turn.
func TestDatumIsAsSteadyAsItsMachinesSweeps(t *testing.T) {
	o := scene.Object{Object: fit.Object{Pose: geom.Identity(), Cov: geom.Cov6{{.25 + .09}, {1: .25}, {2: .25}, {3: 1e-6}, {4: 1e-6}, {5: 1e-6}}}}
	o.Faces = []fit.Face{{Surface: surface.Surface{Scans: []int32{2}}}, {Surface: surface.Surface{Scans: []int32{2}}}}
	o.Cov[0][5], o.Cov[5][0] = 1e-4, 1e-4 // the turn about Z goes with 0.1 mm of the 0.3
	for shift, want := range map[float64][3]float64{.04: {.13, .04, .04}, .3: {.34, .25, .25}} {
		got := steadied(&o, sway{shift: shift, freedom: 6})
		for i, w := range want {
			if math.Abs(got[i][i]-w) > 1e-9 {
				t.Errorf("sweeps of %g mm^2 leave a variance of %g along axis %d, want %g", shift, got[i][i], i, w)
			}
		}
		if got[5][5] != 1e-6 || got[0][5] != 1e-4 {
			t.Errorf("the turn's part is %g, %g", got[5][5], got[0][5])
		}
	}
	// Four sweeps saw the tops, one of them an end: the place along Z is as good as four.
	o.Faces[0].Plane.Normal, o.Faces[1].Plane.Normal, o.Faces[1].Scans = r3.Vec{X: 1}, r3.Vec{Z: 1}, []int32{2, 3, 4, 5}
	if got := steadied(&o, sway{shift: .04, freedom: 6}); math.Abs(got[0][0]-.13) > 1e-9 || math.Abs(got[2][2]-.01) > 1e-9 {
		t.Errorf("an end that one sweep saw: %g along it, %g along Z, which four did", got[0][0], got[2][2])
	}
}

func TestShimIsToldFromSinking(t *testing.T) {
	for _, c := range []struct {
		rise         float64
		lifted, sunk bool
	}{{3, true, false}, {-3, false, true}, {0, false, false}} {
		w := newWorld(4)
		old := w.mapped(7)
		w.mill.T.Z += c.rise
		got := Compare(old, w.mapped(3), level).Contacts
		if len(got) != 1 || got[0].Lifted != c.lifted || got[0].Sunk != c.sunk {
			t.Errorf("rise of %g mm: %+v", c.rise, got)
		}
	}
}

// Where the arm's foot moved, everything seems to move the other way, and nothing
// against the room.
func TestArmThatMovedIsNotTheMill(t *testing.T) {
	w := newWorld(5)
	old := w.mapped(7)
	by := geom.Pose{R: geom.Exp(r3.Vec{Z: .004}), T: r3.Vec{X: 4, Y: -3, Z: -3}}
	w.floor, w.mill = by.Mul(w.floor), by.Mul(w.mill)
	c := Compare(old, w.mapped(3), level)
	if c.Foot() != Arm {
		t.Errorf("foot is %v", c.Foot())
	}
	if k := c.Contacts; len(k) != 1 || k[0].Sunk || k[0].Lifted {
		t.Errorf("the mill stands on its floor as it did: %+v", k)
	}
}

func TestWhatNoFaceHoldsIsOpen(t *testing.T) {
	w := newWorld(6)
	old := w.mapped(7)
	now := w.mapped(3)
	for i := range now.Objects {
		if o := &now.Objects[i]; o.Name == "mill" { // the front alone was seen, and by its look only a wall
			o.Name, o.Kind, o.Faces = "wall-3", "wall", o.Faces[:1]
		}
	}
	m, ok := Compare(old, now, level).Move("mill")
	if !ok || len(m.Loose) != 3 {
		t.Fatalf("a front holds three of six: %+v", m)
	}
	var said []string
	for _, d := range m.Loose {
		said = append(said, d.String())
	}
	if words := strings.Join(said, ", "); strings.Count(words, "a slide") != 2 || strings.Count(words, "a turn") != 1 {
		t.Errorf("open: %s", words)
	}
}

// A front holds three of six; its ends, which the datum rests on, hold the slide
// along it, and nothing holds height and lean but the floor, which is not the
// machine's.
func TestDatumHoldsTheSlideAlongAFront(t *testing.T) {
	w := newWorld(9)
	old := w.mapped(7)
	before := w.mill
	along := w.mill.R.Axis(1)
	w.mill.T = r3.Add(w.mill.T, r3.Scale(40, along))
	now := w.mapped(3)
	for i := range now.Objects {
		if o := &now.Objects[i]; o.Name == "mill" {
			o.Faces = o.Faces[:1]
		}
	}
	m, ok := Compare(old, now, level).Move("mill")
	if !ok || len(m.Loose) != 2 {
		t.Fatalf("height and lean are open: %+v", m)
	}
	if off := r3.Dot(along, m.Shift(before.T)) - 40; math.Abs(off) > 1 {
		t.Errorf("the slide of 40 mm along the front is told %.2f mm off", off)
	}
}

// A table of which one map saw an end less is told across its sides all the same,
// which both saw; how far it slid along them is open.
func TestSidesHoldWhatAnEndDoesNot(t *testing.T) {
	w := newWorld(12)
	table := func(at r3.Vec, long, wide float64) scene.Object {
		o := w.object("bench", fit.Table, "", geom.Pose{R: geom.IdentityRot(), T: at}, w.face("top", geom.Identity(), at, by(long/2, x), by(wide/2, y), 0, 1))
		o.Measures = map[string]fit.Measure{"length_mm": {Value: long, Sigma: 3}, "width_mm": {Value: wide, Sigma: 3}}
		o.Cov = geom.Cov6{{4}, {1: 4}, {2: .1}, {3: 1e-7}, {4: 1e-7}, {5: 1e-6}}
		return o
	}
	for _, c := range []struct {
		long, wide float64
		loose      int
	}{{1200, 700, 0}, {1000, 700, 1}, {1000, 600, 3}} {
		old, now := w.mapped(3), w.mapped(3)
		old.Objects = append(old.Objects, table(r3.Vec{X: -1200}, 1200, 700))
		now.Objects = append(now.Objects, table(r3.Vec{X: -1200 + (1200-c.long)/2, Y: 60}, c.long, c.wide))
		m, ok := Compare(old, now, level).Move("bench")
		if !ok || len(m.Loose) != c.loose || m.Moved != (c.loose < 3) {
			t.Errorf("%g x %g: told %v, moved %v, open %v", c.long, c.wide, ok, m.Moved, m.Loose)
			continue
		}
		if off := m.Shift(m.Datum.T).Y - 60; m.Moved && math.Abs(off) > 3*math.Sqrt(8) {
			t.Errorf("%g x %g: the 60 mm across it are told %.1f mm off", c.long, c.wide, off)
		}
	}
}

// A single face some millimetres off is no evidence: posts stand proud of panels.
func TestLoneFaceThatIsOffIsUntold(t *testing.T) {
	w := newWorld(10)
	crate := func(off float64) scene.Object {
		return w.object("block-1", fit.Block, "", geom.Identity(), w.face("front", geom.Identity(), r3.Vec{X: -700 + off, Y: -700, Z: 200}, by(-30, y), by(400, z), 0, 1))
	}
	for off, told := range map[float64]bool{0: true, 9: false} {
		old, now := w.mapped(3), w.mapped(3)
		old.Objects, now.Objects = append(old.Objects, crate(0)), append(now.Objects, crate(off))
		now.Objects[len(now.Objects)-1].Name = "block-2"
		if m, ok := Compare(old, now, level).Move("block-1"); ok != told || ok && m.Moved {
			t.Errorf("%g mm off: told %v, %+v", off, ok, m)
		}
	}
}

func TestUnseenIsUntold(t *testing.T) {
	w := newWorld(7)
	old := w.mapped(7)
	w.scans(3)
	c := Compare(old, &scene.Scene{Objects: w.room(0, 1, 2)}, level)
	if len(c.Untold) != 2 || c.Untold[0].Name != "mill" || !strings.Contains(c.Untold[0].ScanNext, "mill") {
		t.Errorf("untold: %+v", c.Untold)
	}
	if _, ok := c.Move("mill"); ok {
		t.Error("a mill that nobody scanned was told")
	}
}
