package space

import (
	"bytes"
	"math/rand/v2"
	"strings"
	"testing"

	"cellwall/mapping/geom"
	"cellwall/mapping/sight"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// drawn are states at random, in lumps.
func drawn(seed uint64) *States {
	l := sight.Lattice{Origin: r3.Vec{X: -200, Y: 40, Z: -80}, Edge: 40, N: [3]int{13, 9, 7}}
	s := &States{Lattice: l, clear: sight.NewBits(l), solid: sight.NewBits(l), reach: sight.NewBits(l)}
	rng := rand.New(rand.NewPCG(seed, 1))
	s.each(func(c [3]int) {
		switch rng.IntN(3) {
		case 0:
			s.clear.Set(c)
		case 1:
			s.solid.Set(c)
		}
		if rng.IntN(5) > 0 {
			s.reach.Set(c)
		}
	})
	return s
}

func TestStateOfAPlace(t *testing.T) {
	s := drawn(1)
	seen := map[State]int{}
	s.each(func(c [3]int) {
		mid := s.Lattice.Centre(c)
		st := s.State(mid)
		seen[st]++
		if s.State(r3.Add(mid, r3.Vec{X: 19.9, Y: -19.9, Z: 19.9})) != st {
			t.Fatalf("the voxel at %v has two states", mid)
		}
	})
	v, voxel := s.Volumes(), 0.04*0.04*0.04
	if !closeTo(v.Clear, voxel*float64(seen[Clear])) || !closeTo(v.Solid, voxel*float64(seen[Solid])) || !closeTo(v.Unseen, voxel*float64(seen[Unseen])) {
		t.Errorf("volumes %+v of %v", v, seen)
	}
	if v.UnseenInReach >= v.Unseen || v.UnseenInReach == 0 {
		t.Errorf("of %g m3 unseen %g lie in reach", v.Unseen, v.UnseenInReach)
	}
	if st := s.State(r3.Vec{X: 9999}); st != Unseen {
		t.Errorf("beyond the lattice space is %v", st)
	}
}

func closeTo(a, b float64) bool { return a-b < 1e-9 && b-a < 1e-9 }

// What AnyUnseen and AllClear say is held against places drawn in the body.
func TestBodiesAreHeldAgainstEveryVoxelThatTheyTouch(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	s := drawn(2)
	s.clear = sight.NewBits(s.Lattice)
	s.each(func(c [3]int) { // a hollow of clear voxels amid the others
		if c[0] > 1 && c[0] < 11 && c[1] > 1 && c[1] < 7 && c[2] > 0 && c[2] < 6 {
			s.clear.Set(c)
		}
	})
	s.solid.Without(s.clear)
	answers := map[bool]int{}
	for range 3000 {
		mid := r3.Vec{X: -200 + 520*rng.Float64(), Y: 40 + 360*rng.Float64(), Z: -80 + 280*rng.Float64()}
		var b Body = Capsule{From: mid, To: r3.Add(mid, r3.Vec{X: 100 * rng.NormFloat64(), Z: 30 * rng.NormFloat64()}), Radius: 30 * rng.Float64()}
		if rng.IntN(2) == 0 {
			pose := geom.Pose{R: geom.Exp(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64()}), T: mid}
			b = solid.Box{Box: geom.Box{Pose: pose, Size: r3.Vec{X: 80 * rng.Float64(), Y: 20, Z: 30}}}
		}
		clear, unseen := s.AllClear(b), s.AnyUnseen(b)
		answers[clear]++
		around := b.Bounds(0)
		for range 300 {
			size := r3.Sub(around.Max, around.Min)
			p := r3.Add(around.Min, r3.Vec{X: size.X * rng.Float64(), Y: size.Y * rng.Float64(), Z: size.Z * rng.Float64()})
			if !b.Contains(p, 0) {
				continue
			}
			if st := s.State(p); clear && st != Clear || !unseen && st == Unseen {
				t.Fatalf("%+v: all clear %v, any unseen %v, but %v is %v", b, clear, unseen, p, st)
			}
		}
	}
	if answers[true] < 100 || answers[false] < 100 {
		t.Errorf("answers %v: the draw shows too little", answers)
	}
}

func TestStatesAreReadBackAsWritten(t *testing.T) {
	s := drawn(3)
	var file bytes.Buffer
	if err := s.Write(&file); err != nil {
		t.Fatal(err)
	}
	back, err := Read(bytes.NewReader(file.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	if back.Lattice != s.Lattice || back.Volumes() != s.Volumes() {
		t.Errorf("%+v %+v, want %+v %+v", back.Lattice, back.Volumes(), s.Lattice, s.Volumes())
	}
	s.each(func(c [3]int) {
		if back.At(c) != s.At(c) || back.reach.Has(c) != s.reach.Has(c) {
			t.Fatalf("voxel %v differs", c)
		}
	})
}

func TestReadRefusesOtherFiles(t *testing.T) {
	var file bytes.Buffer
	if err := drawn(4).Write(&file); err != nil {
		t.Fatal(err)
	}
	whole := file.String()
	for name, c := range map[string]struct{ text, want string }{
		"empty":          {"", "first line"},
		"another file":   {"solid cube\nfacet", "no file of states"},
		"a later format": {strings.Replace(whole, "space/1", "space/2", 1), `"cellwall.space/2"`},
		"cut short":      {whole[:len(whole)-20], "ends after"},
		"too long":       {whole + "x", "goes on"},
		"no voxels":      {strings.Replace(whole, "[13,9,7]", "[13,0,7]", 1), "not possible"},
		"far too many":   {strings.Replace(whole, "[13,9,7]", "[99999,99999,99999]", 1), "not possible"},
		"more voxels":    {strings.Replace(whole, "[13,9,7]", "[13,9,9]", 1), "ends after"},
		"fewer voxels":   {strings.Replace(whole, "[13,9,7]", "[13,9,6]", 1), "goes on"},
	} {
		_, err := Read(strings.NewReader(c.text))
		if err == nil || !(strings.Contains(err.Error(), c.want) || name == "fewer voxels" && strings.Contains(err.Error(), "run")) {
			t.Errorf("%s: %v, want something with %q", name, err, c.want)
		}
	}
}

func FuzzRead(f *testing.F) {
	var file bytes.Buffer
	if err := drawn(5).Write(&file); err != nil {
		f.Fatal(err)
	}
	f.Add(file.Bytes())
	f.Add([]byte(`{"format":"cellwall.space/1","frame":"base","voxel_mm":40,"origin_mm":[0,0,0],"count":[2,2,2]}` + "\n\x40"))
	f.Fuzz(func(t *testing.T, data []byte) {
		line, _, _ := bytes.Cut(data, []byte("\n"))
		if l, err := latticeOf(line); err == nil && l.Cubes() > 1e6 {
			t.Skip("a lattice that is allowed and large takes its time")
		}
		if s, err := Read(bytes.NewReader(data)); err == nil {
			s.Volumes()
		}
	})
}
