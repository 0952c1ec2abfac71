package scene

import (
	"math/rand/v2"
	"testing"
	"time"

	"cellwall/fit"
	"cellwall/mapping"
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

func boxAt(lo, hi r3.Vec) solid.Solid {
	return solid.Box{Box: boxOf(geom.Bounds{Min: lo, Max: hi})}
}

// In a corner of the room a voxel lies partly in the floor and partly in the
// wall, and in neither as a whole.
func TestTwoSolidsHoldTogether(t *testing.T) {
	cloud := &mapping.Cloud{Voxels: []mapping.Voxel{{Bounds: geom.Bounds{Min: r3.Vec{X: 60, Y: 90, Z: 0}, Max: r3.Vec{X: 100, Y: 110, Z: 40}}}}}
	floor := boxAt(r3.Vec{X: -1000, Y: -1000, Z: -50}, r3.Vec{X: 1000, Y: 1000, Z: 10})
	wall := boxAt(r3.Vec{X: 90, Y: -1000, Z: -50}, r3.Vec{X: 200, Y: 1000, Z: 2000})
	for _, c := range []struct {
		solids []solid.Solid
		left   int
	}{
		{nil, 1}, {[]solid.Solid{floor}, 1}, {[]solid.Solid{wall}, 1}, {[]solid.Solid{floor, wall}, 1},
	} {
		k := newCover(cloud, 20)
		k.add(c.solids...)
		if got := len(k.left()); got != c.left {
			t.Errorf("%d solids leave %d voxels, want %d", len(c.solids), got, c.left)
		}
	}
	k := newCover(cloud, 30)
	k.add(floor, wall)
	if len(k.left()) != 0 {
		t.Error("with 30 mm the two hold the voxel together")
	}
}

// The index changes nothing: every voxel is as the solids alone say.
func TestCoverAgreesWithTheSolids(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	var w world
	w.scatter(r)
	k := newCover(&w.cloud, 20)
	var solids []solid.Solid
	for range 60 {
		lo := r3.Vec{X: 3000 * r.Float64(), Y: 3000 * r.Float64(), Z: 2000 * r.Float64()}
		solids = append(solids, boxAt(lo, r3.Add(lo, r3.Vec{X: 900 * r.Float64(), Y: 900 * r.Float64(), Z: 300 * r.Float64()})))
	}
	k.add(solids...)
	left := map[int32]bool{}
	for _, i := range k.left() {
		left[i] = true
	}
	held := 0
	for i := range w.cloud.Voxels {
		b := w.cloud.Voxels[i].Bounds
		whole, middle := false, false
		for _, s := range solids {
			whole = whole || s.Holds(b, 20)
			middle = middle || s.Contains(w.cloud.Voxels[i].Mean, 20)
		}
		if whole && left[int32(i)] || !middle && !left[int32(i)] {
			t.Fatalf("voxel %d: left is %v, one solid holds it %v, its middle %v", i, left[int32(i)], whole, middle)
		}
		if whole {
			held++
		}
	}
	if held < 100 || len(left) < 100 {
		t.Errorf("%d held and %d left: the draw shows nothing", held, len(left))
	}
}

// large is a cloud of 600 000 voxels on floors and walls, some of them loose.
func large(r *rand.Rand) *world {
	w := &world{}
	for i := range 6 {
		z := 400 * float64(i)
		w.object(fit.Floor, w.patch(r3.Vec{Z: z}, r3.Vec{X: 6000}, r3.Vec{Y: 6500}, above, nil))
	}
	w.scatter(r)
	return w
}

// The proof of a demo cell's voxels takes well under a second.
func TestProofIsFast(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	w := large(rand.New(rand.NewPCG(2, 2)))
	k := newCover(&w.cloud, 20)
	for i := range 6 {
		for j := range 30 { // as many slabs as a demo cell has
			z, x := 400*float64(i), 200*float64(j)
			k.add(boxAt(r3.Vec{X: x, Z: z - 50}, r3.Vec{X: x + 200, Y: 6500, Z: z}))
		}
	}
	begin := time.Now()
	left := len(k.left())
	took := time.Since(begin)
	t.Logf("%d voxels, %d left, in %v", len(w.cloud.Voxels), left, took)
	if took > 3*time.Second { // ten times what is asked for, for busy machines and the race detector
		t.Errorf("took %v", took)
	}
	if left == 0 || left > 20_000 {
		t.Errorf("%d voxels left", left)
	}
}
