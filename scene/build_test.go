package scene

import (
	"bytes"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

var above = r3.Vec{X: 500, Y: 500, Z: 1500}

func TestSlabStandsBehindWhatWasSeen(t *testing.T) {
	var w world
	w.object(fit.Floor, w.patch(r3.Vec{}, r3.Vec{X: 2000}, r3.Vec{Y: 1000}, above, nil))
	s := w.build(t)
	w.checkHeld(t, s)
	floor := object(t, s, fit.Floor)
	if len(floor.Solids) != 1 || !closeTo(volume(floor.Solids), 2000*1000*50, 1) {
		t.Errorf("%d solids of %g mm^3, want one slab of 50 mm", len(floor.Solids), volume(floor.Solids))
	}
	for z, want := range map[float64]bool{30: false, 19: true, -69: true, -75: false} {
		if got := s.blocked(r3.Vec{X: 700, Y: 300, Z: z}); got != want {
			t.Errorf("at z = %g blocked is %v", z, got)
		}
	}
	if len(s.Objects) != 1 {
		t.Errorf("%d objects: nothing should remain", len(s.Objects))
	}
}

// A pit in the floor through which its bottom was seen stays open; a part of the
// same size that nobody saw does not.
func TestGapsStayOpenOnlyWhereSeenThrough(t *testing.T) {
	var w world
	gap := func(a, b float64) bool { return (a > 300 && a < 700 || a > 1300 && a < 1700) && b > 300 && b < 700 }
	s := w.patch(r3.Vec{}, r3.Vec{X: 2000}, r3.Vec{Y: 1000}, above, gap)
	square := func(x float64) []r3.Vec {
		return []r3.Vec{{X: x, Y: 300}, {X: x, Y: 700}, {X: x + 400, Y: 700}, {X: x + 400, Y: 300}}
	}
	s.Holes = [][]r3.Vec{square(300), square(1300)}
	w.object(fit.Floor, s)
	w.found.Loose = append(w.found.Loose, w.patch(r3.Vec{X: 300, Y: 300, Z: -400}, r3.Vec{X: 400}, r3.Vec{Y: 400}, r3.Vec{X: 500, Y: 500, Z: 3000}, nil))
	built := w.build(t)
	w.checkHeld(t, built)
	if built.blocked(r3.Vec{X: 500, Y: 500, Z: -20}) {
		t.Error("the pit was filled")
	}
	if !built.blocked(r3.Vec{X: 1500, Y: 500, Z: -20}) {
		t.Error("an unseen part of the floor was left open")
	}
}

func TestSheetSeenFromBothSidesIsOneSlab(t *testing.T) {
	var w world
	u, v := r3.Vec{Y: 800}, r3.Vec{Z: 600}
	front := w.patch(r3.Vec{X: 1000}, v, u, r3.Vec{X: 0, Y: 400, Z: 300}, nil) // normal -X
	back := w.patch(r3.Vec{X: 1003}, u, v, r3.Vec{X: 2000, Y: 400, Z: 300}, nil)
	w.object(fit.Wall, front, back)
	s := w.build(t)
	w.checkHeld(t, s)
	if wall := object(t, s, fit.Wall); len(wall.Solids) != 1 || !closeTo(volume(wall.Solids), 800*600*3, 1) {
		t.Errorf("%d solids of %g mm^3, want one of 3 mm", len(wall.Solids), volume(wall.Solids))
	}
	if s.blocked(r3.Vec{X: 970, Y: 400, Z: 300}) || s.blocked(r3.Vec{X: 1033, Y: 400, Z: 300}) {
		t.Error("the slab reaches out on one side of the sheet")
	}
}

// The front of a machine with a door opening: up to four slabs, and the arm can
// reach in.
func TestEnclosureIsNeverASolidBlock(t *testing.T) {
	var w world
	eye := r3.Vec{X: -1500, Y: 1000, Z: 1200}
	door := func(a, b float64) bool { return a > 800 && a < 1500 && b > 500 && b < 1500 } // z, y
	front := w.patch(r3.Vec{}, r3.Vec{Z: 2000}, r3.Vec{Y: 2000}, eye, door)               // normal -X
	left := w.patch(r3.Vec{Y: 2000}, r3.Vec{Z: 2000}, r3.Vec{X: 1200}, r3.Vec{X: 600, Y: 4000, Z: 900}, nil)
	inside := w.patch(r3.Vec{X: 1200, Y: 300}, r3.Vec{Z: 2000}, r3.Vec{Y: 1400}, eye, nil)
	o := w.object(fit.Enclosure, front, left, inside)
	o.Pose = geom.Pose{R: geom.IdentityRot(), T: r3.Vec{Y: 1000}}
	o.Opening = &fit.Opening{YMin: -500, YMax: 500, ZMin: 800, ZMax: 1500}
	s := w.build(t)
	w.checkHeld(t, s)
	box := object(t, s, fit.Enclosure)
	if n := len(box.Solids); n != 6 {
		t.Errorf("%d solids, want four round the opening and two", n)
	}
	for y := 530.0; y < 1480; y += 50 {
		for z := 830.0; z < 1480; z += 50 {
			for x := -100.0; x < 1150; x += 50 {
				if s.blocked(r3.Vec{X: x, Y: y, Z: z}) {
					t.Fatalf("the way in is blocked at (%g, %g, %g)", x, y, z)
				}
			}
		}
	}
}

// A table top of which only the upper side was seen, and rays that passed 30 mm
// below it.
func TestSlabEndsWhereRaysPassed(t *testing.T) {
	var w world
	w.object(fit.Table, w.patch(r3.Vec{Z: 800}, r3.Vec{X: 1000}, r3.Vec{Y: 600}, r3.Vec{X: 500, Y: 300, Z: 2500}, nil))
	eye := r3.Vec{X: 500, Y: -2000, Z: 770}
	for i := range 200 {
		w.voxel(r3.Vec{X: 5 * float64(i), Y: 2500, Z: 770}, 5, eye)
	}
	s := w.build(t)
	w.checkHeld(t, s)
	if top := object(t, s, fit.Table); !closeTo(volume(top.Solids), 1000*600*30, 1000*600*0.1) {
		t.Errorf("%g mm thick, want 30", volume(top.Solids)/1000/600)
	}
}

func TestPostIsACylinder(t *testing.T) {
	var w world
	axis := r3.Unit(r3.Vec{X: 0.01, Z: 1})
	s := surface.Surface{
		Cylinder: &surface.Cylinder{Point: r3.Vec{X: 1000}, Axis: axis, Radius: 100, Length: 1500},
		Plane:    geom.Plane{Normal: r3.Vec{X: -1}, Offset: -900}, Centre: r3.Vec{X: 900, Z: 750}, Area: 2e5,
	}
	frame := geom.Plane{Normal: axis}.Frame(s.Cylinder.Point)
	for i := range 60 {
		for j := range 75 {
			a := math.Pi/2 + math.Pi*float64(i)/60
			p := frame.Apply(r3.Vec{X: 100 * math.Cos(a), Y: 100 * math.Sin(a), Z: 20*float64(j) + 10})
			s.Voxels = append(s.Voxels, w.voxel(p, 9, r3.Vec{Z: 700}))
		}
	}
	w.object(fit.Post, s)
	built := w.build(t)
	w.checkHeld(t, built)
	post := object(t, built, fit.Post)
	c, ok := post.Solids[0].(solid.Cylinder)
	if !ok || len(post.Solids) != 1 || !closeTo(c.Radius, 100, 1e-9) || !closeTo(c.Height, 1500, 20) {
		t.Errorf("%+v", post.Solids)
	}
}

func TestPartsAreBoxesAndExplainTheirFaces(t *testing.T) {
	var w world
	box := geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 200, Y: 150, Z: 100}}, Size: r3.Vec{X: 400, Y: 300, Z: 200}}
	o := w.object(fit.Block, w.patch(r3.Vec{Z: 200}, r3.Vec{X: 400}, r3.Vec{Y: 300}, above, nil))
	o.Parts = []geom.Box{box}
	s := w.build(t)
	w.checkHeld(t, s)
	if b := object(t, s, fit.Block); len(b.Solids) != 1 || b.Solids[0] != (solid.Box{Box: box}) {
		t.Errorf("%+v", b.Solids)
	}
}

// scatter adds loose voxels: shells, rods and single ones in a room of 3 m.
func (w *world) scatter(r *rand.Rand) {
	for range 6 {
		at := r3.Vec{X: 3000 * r.Float64(), Y: 3000 * r.Float64(), Z: 2000 * r.Float64()}
		radius := 100 + 250*r.Float64()
		n := int(radius * radius / 100)
		for range n { // half a shell
			d := r3.Unit(r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: math.Abs(r.NormFloat64())})
			w.voxel(r3.Add(at, r3.Scale(radius, d)), 8, above)
		}
		along := r3.Unit(r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
		for i := range 80 { // a rod
			w.voxel(r3.Add(at, r3.Scale(15*float64(i), along)), 8, above)
		}
	}
	for range 20 {
		w.voxel(r3.Vec{X: 3000 * r.Float64(), Y: 3000 * r.Float64(), Z: 2000 * r.Float64()}, 0, above)
	}
}

// The remainder holds everything and stays tight: no point of it is further than
// the wrapping promises from what was measured.
func TestRemainderHoldsAllAndStaysTight(t *testing.T) {
	for seed := range uint64(2) {
		r := rand.New(rand.NewPCG(seed, 3))
		var w world
		w.scatter(r)
		s := w.build(t)
		w.checkHeld(t, s)
		rest := object(t, s, Remainder)
		if len(rest.Solids) > 400 {
			t.Errorf("%d solids", len(rest.Solids))
		}
		blocked := 0
		for range 8_000 {
			p := r3.Vec{X: 4000*r.Float64() - 500, Y: 4000*r.Float64() - 500, Z: 3000*r.Float64() - 500}
			if !s.blocked(p) {
				continue
			}
			blocked++
			least := math.Inf(1)
			for i := range w.cloud.Voxels {
				least = min(least, r3.Norm(r3.Sub(p, w.cloud.Voxels[i].Mean)))
			}
			// Two cells' diagonal, the voxel's own, and the grown corner of the solid.
			if least > (2*finest+8)*math.Sqrt(3)+20*1.8 {
				t.Fatalf("a blocked point is %g mm from everything measured", least)
			}
		}
		if blocked < 20 {
			t.Errorf("only %d of the points are blocked: the draw shows nothing", blocked)
		}
	}
}

func TestBuildIsTheSameOnAnyNumberOfCores(t *testing.T) {
	var out [2]bytes.Buffer
	for i, cores := range []int{1, 4} {
		before := runtime.GOMAXPROCS(cores)
		var w world
		w.scatter(rand.New(rand.NewPCG(9, 9)))
		w.object(fit.Floor, w.patch(r3.Vec{}, r3.Vec{X: 3000}, r3.Vec{Y: 3000}, above, nil))
		err := w.build(t).WriteJSON(&out[i])
		runtime.GOMAXPROCS(before)
		if err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(out[0].Bytes(), out[1].Bytes()) {
		t.Error("the scenes differ")
	}
}

// Without margin and depth nothing is held but by the remainder, and the slabs
// are as thin as sheet metal.
func TestBuildWithoutMargin(t *testing.T) {
	var w world
	r := rand.New(rand.NewPCG(6, 6))
	w.scatter(r)
	ragged := w.patch(r3.Vec{Z: -300}, r3.Vec{X: 3000}, r3.Vec{Y: 3000}, above, nil)
	ragged.Outline = nil
	for i := range 400 { // a star, with lines of sight between its points
		a, d := 2*math.Pi*float64(i)/400, 1200+250*float64(i%2)
		ragged.Outline = append(ragged.Outline, r3.Vec{X: 1500 + d*math.Cos(a), Y: 1500 + d*math.Sin(a), Z: -300})
	}
	w.object(fit.Floor, ragged)
	for range 2000 {
		w.voxel(r3.Vec{X: 3000 * r.Float64(), Y: 3000 * r.Float64(), Z: -900}, 5, above)
	}
	w.cloud.Scans = []string{"scan"}
	s, err := Build(&cell.Cell{Name: "invented"}, &w.cloud, &w.found)
	if err != nil {
		t.Fatal(err)
	}
	w.checkHeld(t, s)
}

func TestBuildOfNothing(t *testing.T) {
	var w world
	if s := w.build(t); len(s.Objects) != 0 {
		t.Errorf("%d objects of an empty cloud", len(s.Objects))
	}
}

// What was built can be read back and still holds everything: the file's
// rounding is inside the margin.
func TestAReadSceneStillHoldsEverything(t *testing.T) {
	var w world
	r := rand.New(rand.NewPCG(4, 4))
	w.scatter(r)
	turn := geom.Exp(r3.Vec{X: .3, Y: .4, Z: 1})
	w.object(fit.Wall, w.patch(r3.Vec{X: 3000}, turn.Apply(r3.Vec{X: 2000}), turn.Apply(r3.Vec{Y: 2500}), above, nil))
	var b bytes.Buffer
	if err := w.build(t).WriteJSON(&b); err != nil {
		t.Fatal(err)
	}
	s, err := Read(&b)
	if err != nil {
		t.Fatal(err)
	}
	w.checkHeld(t, s)
}
