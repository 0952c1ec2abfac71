package fit_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"testing"

	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/mapping"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"
	"cellwall/mapping/mappingtest"

	"gonum.org/v1/gonum/spatial/r3"
)

// scanned writes an invented cell at a part of its points, and merges its scans.
func scanned(t testing.TB, s fixtures.Settings, density float64) (*fixtures.Shop, *cell.Cell, *mapping.Cloud) {
	t.Helper()
	s.Density = density
	return mappingtest.Scan(t, s)
}

// The demo cell at three seeds: every named object is located, and the datums,
// the door and the planes hold the project's bar. The truth is the fixture's.
func TestDemoCell(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	t.Parallel()
	for seed := range uint64(3) {
		shop, c, cloud := scanned(t, fixtures.Demo(seed+1), 0.25)
		f := fit.Find(cloud, c.Wanted)
		for _, r := range f.Refused {
			t.Errorf("seed %d: %s not located: %s", seed+1, r.Name, r.Reason)
		}
		for _, o := range f.Objects {
			truth, ok := shop.Truth.Object(o.Name)
			if ok && truth.Pose != nil {
				holdDatum(t, seed+1, &o, truth)
			}
		}
		holdPlanes(t, seed+1, f, shop)
		holdGap(t, seed+1, f, shop)
	}
}

// bar is how far a datum may be off, mm along its own axes and degrees: a jaw by
// the project's bar, a machine and a table by what their edges show.
var bar = map[fit.Kind]struct{ shift, turn float64 }{
	fit.Vise: {0.6, 0.25}, fit.Enclosure: {5, 0.08}, fit.Table: {8, 0.3},
}

// holdGap demands that a gripper can reach between the jaws: no box lies there.
func holdGap(t *testing.T, seed uint64, f *fit.Findings, shop *fixtures.Shop) {
	t.Helper()
	vise, _ := shop.Truth.Object("vise")
	gap := vise.Pose.Apply(r3.Vec{Y: vise.Measures["opening_mm"] / 2, Z: -15})
	for _, o := range f.Objects {
		for _, b := range o.Parts {
			if b.Contains(gap) {
				t.Errorf("seed %d: %s fills the gap between the jaws", seed, o.Name)
			}
		}
	}
}

func holdDatum(t *testing.T, seed uint64, o *fit.Object, truth *fixtures.Object) {
	t.Helper()
	d := o.Pose.Minus(*truth.Pose)
	local := truth.Pose.R.T().Apply(r3.Vec{X: d[0], Y: d[1], Z: d[2]})
	turn := math.Sqrt(d[3]*d[3]+d[4]*d[4]+d[5]*d[5]) * 180 / math.Pi
	b := bar[o.Kind]
	if worst := max(math.Abs(local.X), math.Abs(local.Y), math.Abs(local.Z)); worst > b.shift || turn > b.turn {
		t.Errorf("seed %d: %s is off by %.2f mm and %.3f degrees", seed, o.Name, local, turn)
	}
	if o.Kind == fit.Vise {
		if e := o.Measures["opening_mm"].Value - truth.Measures["opening_mm"]; math.Abs(e) > 0.4 {
			t.Errorf("seed %d: the vise's opening is off by %.2f mm", seed, e)
		}
	}
	if truth.Opening == nil {
		return
	}
	if o.Opening == nil {
		t.Fatalf("seed %d: %s has no opening", seed, o.Name)
	}
	trueFromFound := truth.Pose.Inverse().Mul(o.Pose)
	lo := trueFromFound.Apply(r3.Vec{Y: o.Opening.YMin, Z: o.Opening.ZMin})
	hi := trueFromFound.Apply(r3.Vec{Y: o.Opening.YMax, Z: o.Opening.ZMax})
	w := truth.Opening
	for i, e := range [4]float64{lo.Y - w.YMin, hi.Y - w.YMax, lo.Z - w.ZMin, hi.Z - w.ZMax} {
		if math.Abs(e) > 5 {
			t.Errorf("seed %d: side %d of the door is off by %.1f mm", seed, i, e)
		}
	}
}

// holdPlanes compares the large faces of the room and of the machine with the
// true ones at the middle of their outlines: 0.8 mm and 0.08 degrees.
func holdPlanes(t *testing.T, seed uint64, f *fit.Findings, shop *fixtures.Shop) {
	t.Helper()
	compared := 0
	for _, o := range f.Objects {
		for _, face := range o.Faces {
			if face.Cylinder != nil || face.Area < 0.2e6 {
				continue
			}
			truth, ok := trueFace(face.Plane, face.Centre, shop)
			if !ok {
				continue
			}
			compared++
			off := truth.Distance(face.Centre)
			lean := math.Acos(min(r3.Dot(truth.Normal, face.Plane.Normal), 1)) * 180 / math.Pi
			if math.Abs(off) > 0.8 || lean > 0.08 {
				t.Errorf("seed %d: %s of %s is off by %.2f mm and %.3f degrees", seed, face.Name, o.Name, off, lean)
			}
		}
	}
	if compared < 6 {
		t.Errorf("seed %d: only %d planes were compared", seed, compared)
	}
}

// trueFace is the true face that a plane lies nearest to, within 15 mm and 3
// degrees, at one of its own places.
func trueFace(pl geom.Plane, at r3.Vec, shop *fixtures.Shop) (geom.Plane, bool) {
	best, found := 15.0, geom.Plane{}
	for _, o := range shop.Truth.Objects {
		for _, f := range o.Faces {
			across := r3.Sub(f.Corners[2], f.Corners[0])
			near := r3.Norm(r3.Sub(at, f.Centre())) < r3.Norm(across)/2
			if d := math.Abs(f.Plane.Distance(at)); near && d < best && r3.Dot(f.Plane.Normal, pl.Normal) > math.Cos(3*math.Pi/180) {
				best, found = d, f.Plane
			}
		}
	}
	return found, best < 15
}

// The same cloud gives the same findings, bit for bit, on one core and on many.
func TestSameOnAnyCores(t *testing.T) {
	_, c, cloud := scanned(t, fixtures.Demo(5), 0.1)
	many := fit.Find(cloud, c.Wanted)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := fit.Find(cloud, c.Wanted)
	if !reflect.DeepEqual(one, many) {
		t.Error("one core finds something else")
	}
}

// Clouds of rubble: patches of random planes at random places, seen from
// anywhere. Nothing is there to be named, and nothing may fail.
func TestRubble(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	t.Parallel()
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 1))
		cloud := &mapping.Cloud{Scans: []string{"rubble"}, Noise: mapping.Noise{AtMetre: 0.3}}
		for range 40 {
			frame := geom.Pose{R: geom.RotFromRPY(6*rng.Float64(), 6*rng.Float64(), 6*rng.Float64()), T: r3.Vec{X: 2000 * rng.NormFloat64(), Y: 2000 * rng.NormFloat64(), Z: 1000 * rng.NormFloat64()}}
			eye := r3.Vec{X: 500 * rng.NormFloat64(), Y: 500 * rng.NormFloat64(), Z: 1000}
			wide, high := 20+600*rng.Float64(), 20+600*rng.Float64()
			for x := 0.0; x < wide; x += 10 {
				for y := 0.0; y < high; y += 10 {
					v := mapping.Voxel{Edge: 10, Bounds: geom.NoBounds()}
					for range 1 + rng.IntN(5) {
						p := frame.Apply(r3.Vec{X: x + 10*rng.Float64(), Y: y + 10*rng.Float64(), Z: 0.3 * rng.NormFloat64()})
						v.Add(p, 1)
						v.Bounds.Extend(p)
					}
					d := r3.Sub(eye, v.Mean)
					v.Range, v.Toward = r3.Norm(d), r3.Unit(d)
					cloud.Voxels = append(cloud.Voxels, v)
				}
			}
		}
		f := fit.Find(cloud, []cell.Wanted{{Name: "mill", Kind: "enclosure"}, {Name: "bench", Kind: "table"}})
		for _, o := range f.Objects {
			if o.Kind == fit.Enclosure {
				t.Errorf("seed %d: a machine at %v in rubble", seed, o.Pose.T)
			}
			for i := range 6 {
				if !(o.Cov[i][i] >= 0) {
					t.Errorf("seed %d: %s has the variance %g", seed, o.Name, o.Cov[i][i])
				}
			}
		}
	}
}

// go test -run '^$' -bench Find ./fit: all of fit, surfaces included, on the
// demo's 2.4 million points.
func BenchmarkFind(b *testing.B) {
	_, c, cloud := scanned(b, fixtures.Demo(1), 1)
	for b.Loop() {
		fit.Find(cloud, c.Wanted)
	}
}

// An empty cloud has nothing in it, and says what was not seen.
func TestEmptyCloud(t *testing.T) {
	f := fit.Find(&mapping.Cloud{}, []cell.Wanted{{Name: "mill", Kind: "enclosure"}, {Name: "vise", Kind: "vise"}})
	if len(f.Objects) != 0 || len(f.Refused) != 3 {
		t.Errorf("%d objects, refused %+v", len(f.Objects), f.Refused)
	}
}
