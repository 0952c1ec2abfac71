package vise

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// faulty is a scanner with every fault that a close pass has (common practice).
var faulty = flaws{noise: 0.3, shift: 0.15, turn: 0.0002, declared: 0.2, spikes: 0.01, alongLine: 0.7, dropEdges: true}

// tiltedAt is where the hard cases stand.
var tiltedAt = geom.Pose{R: geom.RotFromRPY(0.02, -0.03, 2.1), T: r3.Vec{X: 1200, Y: 150, Z: 700}}

// jawless is the bed and the table only.
func jawless() *bench {
	b := benchVise(tiltedAt, 150, 45, 45, 45, 63)
	b.boxes = b.boxes[2:]
	return b
}

// with puts further boxes on the bench, each by centre and size.
func (b *bench) with(boxes ...r3.Vec) *bench {
	for i := 0; i < len(boxes); i += 2 {
		b.put(boxes[i], boxes[i+1])
	}
	return b
}

var (
	sized   = Want{Width: 150, Height: 45, Depth: 45, Fixed: "far"}
	unsized = Want{Fixed: "far"}
)

// TestLocateHardCases: what stands in and around the jaws must not move them.
func TestLocateHardCases(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	vise := func(gap float64) *bench { return benchVise(tiltedAt, 150, 45, 45, 45, gap) }
	for name, x := range map[string]struct {
		on   *bench
		want Want
	}{
		"nearly closed":                 {vise(10), sized},
		"opened wide":                   {vise(290), sized},
		"opened wide, sizes unknown":    {vise(290), unsized},
		"a slit":                        {vise(4), sized},
		"a slit, sizes unknown":         {vise(7), unsized},
		"wide part flush with the tops": {vise(63).with(r3.Vec{Y: 31.5, Z: -15}, r3.Vec{X: 120, Y: 63, Z: 30}), sized},
		"part wider than the jaws":      {vise(63).with(r3.Vec{Y: 31.5, Z: -25}, r3.Vec{X: 220, Y: 63, Z: 30}), unsized},
		"a thin part":                   {vise(8).with(r3.Vec{Y: 4, Z: 5}, r3.Vec{X: 90, Y: 8, Z: 60}), sized},
		"part flush with the tops":      {vise(63).with(r3.Vec{Y: 31.5, Z: -15}, r3.Vec{X: 80, Y: 63, Z: 30}), unsized},
		"part above the tops":           {vise(63).with(r3.Vec{Y: 31.5, Z: 15}, r3.Vec{X: 80, Y: 63, Z: 90}), sized},
		"body flush with the ends":      {vise(63).with(r3.Vec{Y: 30, Z: -75}, r3.Vec{X: 150, Y: 250, Z: 60}), unsized},
		"given width one mm too small":  {benchVise(tiltedAt, 151, 45, 45, 45, 63), sized},
	} {
		found, refused := Locate(x.on.scan(threePasses(x.on), faulty, rand.New(rand.NewPCG(9, 9))), x.want, benchPlace(x.on))
		if refused != nil || len(found) != 1 {
			t.Errorf("%s: found %d, refused %+v", name, len(found), refused)
			continue
		}
		err, sigma := errorsOf(found[0], x.on)
		for k := range err {
			if math.Abs(err[k]) > 4*sigma[k] {
				t.Errorf("%s: parameter %d is off by %.3g, stated sigma %.3g", name, k, err[k], sigma[k])
			}
		}
	}
}

// TestLocateFromLittle: what remains where metal's glare takes two points of
// three, where passes are sparse, or where there is one pass only.
func TestLocateFromLittle(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	b := benchVise(tiltedAt, 150, 45, 45, 45, 63)
	for name, x := range map[string]struct {
		dropped  float64
		thinner  int
		passes   []int
		refusals string
	}{
		"two thirds lost":   {dropped: 0.67, thinner: 1, passes: []int{0, 1, 2}},
		"sparse passes":     {thinner: 3, passes: []int{0, 1, 2}},
		"before the face":   {thinner: 1, passes: []int{0}},
		"from one end only": {thinner: 1, passes: []int{1}, refusals: "fixed jaw face was not scanned"},
	} {
		fl := faulty
		fl.dropped = x.dropped
		var sweeps []sweep
		for _, k := range x.passes {
			s := threePasses(b)[k]
			s.profiles, s.pixels = s.profiles/x.thinner, s.pixels/x.thinner
			sweeps = append(sweeps, s)
		}
		found, refused := Locate(b.scan(sweeps, fl, rand.New(rand.NewPCG(9, 9))), sized, benchPlace(b))
		switch {
		case x.refusals != "":
			if refused == nil || !strings.Contains(refused.Reason, x.refusals) {
				t.Errorf("%s: refused %+v", name, refused)
			}
			continue
		case refused != nil:
			t.Errorf("%s: refused %+v", name, refused)
			continue
		}
		err, sigma := errorsOf(found[0], b)
		for k := range err {
			if math.Abs(err[k]) > 4*sigma[k] {
				t.Errorf("%s: parameter %d is off by %.3g, stated sigma %.3g", name, k, err[k], sigma[k])
			}
		}
	}
}

// TestSeveralSizesAtAnyAngle: three vises of three sizes on one table, each found
// by its width.
func TestSeveralSizesAtAnyAngle(t *testing.T) {
	if testing.Short() {
		t.Skip("locates nine vises")
	}
	b := benchVise(tiltedAt, 100, 35, 35, 35, 20)
	all := []jaws{b.truth}
	for _, x := range []struct{ x, y, yaw, width, depth, gap float64 }{{220, 30, 0.6, 125, 45, 60}, {-240, 20, -0.5, 150, 50, 90}} {
		j := jaws{pose: b.truth.pose.Mul(geom.Pose{R: geom.RotFromRPY(0, 0, x.yaw), T: r3.Vec{X: x.x, Y: x.y}}), height: 35}
		j.size[width], j.size[opening], j.size[depthFixed], j.size[depthMoving] = x.width, x.gap, x.depth, x.depth
		b.boxes = append(b.boxes, j.box(false), j.box(true))
		all = append(all, j)
	}
	var sweeps []sweep
	for _, j := range all {
		sweeps = append(sweeps, threePasses(&bench{truth: j})...)
	}
	c := b.scan(sweeps, faulty, rand.New(rand.NewPCG(1, 1)))
	for k, j := range all {
		found, refused := Locate(c, Want{Width: j.size[width], Fixed: "far"}, benchPlace(b))
		if refused != nil || len(found) != 1 {
			t.Errorf("vise %d: found %d, refused %+v", k, len(found), refused)
			continue
		}
		err, sigma := errorsOf(found[0], &bench{truth: j})
		for p := range err {
			if math.Abs(err[p]) > 4*sigma[p] {
				t.Errorf("vise %d: parameter %d is off by %.3g, stated sigma %.3g", k, p, err[p], sigma[p])
			}
		}
	}
}

// TestLocateFindsEveryVise: two of one size on one table, and a hint picks one.
func TestLocateFindsEveryVise(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	b := benchVise(tiltedAt, 125, 45, 45, 45, 63)
	b.with(r3.Vec{X: 200, Y: -22.5, Z: -22.5}, r3.Vec{X: 125, Y: 45, Z: 45}, r3.Vec{X: 200, Y: 62.5, Z: -22.5}, r3.Vec{X: 125, Y: 45, Z: 45})
	want := Want{Width: 125, Height: 45, Depth: 45, Fixed: "far"}
	found, refused := Locate(b.scan(threePasses(b), faulty, rand.New(rand.NewPCG(9, 9))), want, benchPlace(b))
	if refused != nil || len(found) != 2 {
		t.Fatalf("found %d, refused %+v", len(found), refused)
	}
	hint := b.truth.pose.Apply(r3.Vec{X: 190})
	for _, l := range found {
		off := l.Middle()
		if near := r3.Norm(r3.Sub(off, hint)) < 100; near != (math.Abs(l.Opening.Value-40) < 1) {
			t.Errorf("the vise at %v opens %.1f mm", off, l.Opening.Value)
		}
	}
}

// TestAHintMeansWhatIsNearest: the vise at the hint is closed; another that stands
// wide open is not meant.
func TestAHintMeansWhatIsNearest(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	b := benchVise(tiltedAt, 125, 45, 45, 45, 63)
	b.with(r3.Vec{X: 150, Y: -22.5, Z: -22.5}, r3.Vec{X: 125, Y: 45, Z: 45}, r3.Vec{X: 150, Y: 22.5, Z: -22.5}, r3.Vec{X: 125, Y: 45, Z: 45})
	c := b.scan(threePasses(b), faulty, rand.New(rand.NewPCG(9, 9)))
	for x, closed := range map[float64]bool{145: true, 10: false} {
		hint := b.truth.pose.Apply(r3.Vec{X: x})
		found, refused := Locate(c, Want{Width: 125, Height: 45, Depth: 45, Fixed: "far", Near: &hint}, benchPlace(b))
		if closed != (refused != nil) || closed && !strings.Contains(refused.Reason, "closed") {
			t.Errorf("hint at %g: found %d, refused %+v", x, len(found), refused)
		}
	}
}

// TestRefusesWhatIsNoVise, and jaws of which the given sizes are not true.
func TestRefusesWhatIsNoVise(t *testing.T) {
	if testing.Short() {
		t.Skip("looks through cells without one")
	}
	stepped := jawless().with( // a step of 5 x 8 mm along both faces
		r3.Vec{Y: -25, Z: -22.5}, r3.Vec{X: 150, Y: 40, Z: 45}, r3.Vec{Y: -2.5, Z: -26.5}, r3.Vec{X: 150, Y: 5, Z: 37},
		r3.Vec{Y: 88, Z: -22.5}, r3.Vec{X: 150, Y: 40, Z: 45}, r3.Vec{Y: 65.5, Z: -26.5}, r3.Vec{X: 150, Y: 5, Z: 37})
	for name, x := range map[string]struct {
		on   *bench
		want Want
		says string
	}{
		"crates of two sizes":         {jawless().with(r3.Vec{Y: -40, Z: -20}, r3.Vec{X: 160, Y: 100, Z: 50}, r3.Vec{X: 20, Y: 110, Z: -10}, r3.Vec{X: 120, Y: 90, Z: 70}), unsized, ""},
		"a slotted block":             {jawless().with(r3.Vec{Y: -40, Z: -20}, r3.Vec{X: 160, Y: 60, Z: 50}, r3.Vec{Y: 40, Z: -20}, r3.Vec{X: 160, Y: 60, Z: 50}, r3.Vec{Z: -35}, r3.Vec{X: 160, Y: 60, Z: 20}), sized, "width of 160"},
		"jaws of another depth":       {benchVise(tiltedAt, 150, 45, 60, 60, 63), sized, ""},
		"stepped jaws":                {stepped, sized, "depth"},
		"closed jaws":                 {benchVise(tiltedAt, 150, 45, 45, 45, 0), sized, "its jaws are closed"},
		"part as wide as jaws, flush": {benchVise(tiltedAt, 150, 45, 45, 45, 63).with(r3.Vec{Y: 31.5, Z: -15}, r3.Vec{X: 150, Y: 63, Z: 30}), sized, "fixed jaw face was not scanned"},
		"face behind a part":          {benchVise(tiltedAt, 150, 45, 45, 45, 63).with(r3.Vec{Y: 31.5}, r3.Vec{X: 150, Y: 63, Z: 40}), sized, "fixed jaw face was not scanned"},
	} {
		found, refused := Locate(x.on.scan(threePasses(x.on), faulty, rand.New(rand.NewPCG(9, 9))), x.want, benchPlace(x.on))
		if refused == nil {
			t.Errorf("%s: located at %v, width %.1f, opening %.1f", name, found[0].Pose.T, found[0].Width.Value, found[0].Opening.Value)
			continue
		}
		if !strings.Contains(refused.Reason, x.says) || refused.ScanNext == "" {
			t.Errorf("%s: refused with %q, %q", name, refused.Reason, refused.ScanNext)
		}
	}
}

// TestBarsOfATableAreNoVise: of two bars with a slot between, as a machine's table
// has them, no end is in sight. Neither is a vise said to be there, nor that only
// its fixed jaw is not told.
func TestBarsOfATableAreNoVise(t *testing.T) {
	t.Parallel()
	b := jawless()
	b.boxes = nil
	b.with(r3.Vec{Y: -25, Z: -20}, r3.Vec{X: 1100, Y: 50, Z: 40}, r3.Vec{Y: 42, Z: -20}, r3.Vec{X: 1100, Y: 50, Z: 40}, r3.Vec{Z: -100}, r3.Vec{X: 1100, Y: 700, Z: 40})
	c := b.scan(threePasses(b), faulty, rand.New(rand.NewPCG(4, 9)))
	place := benchPlace(b)
	place.Box.Pose.R, place.Box.Size = b.truth.pose.R, r3.Vec{X: 130, Y: 700, Z: 300}
	for _, fixed := range []string{"", "far"} {
		_, refused := Locate(c, Want{Width: 125, Height: 40, Depth: 50, Fixed: fixed}, place)
		if refused == nil || strings.Contains(refused.Reason, "is there") || strings.Contains(refused.Reason, "two jaws are at") {
			t.Errorf("fixed jaw %q: refused %+v", fixed, refused)
		}
	}
}
