package scene

import (
	"math/rand/v2"
	"testing"

	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/mapping"
	"cellwall/mapping/mappingtest"

	"gonum.org/v1/gonum/spatial/r3"
)

// scanned is an invented cell with its truth, scanned and built.
type scanned struct {
	shop  *fixtures.Shop
	cloud *mapping.Cloud
	scene *Scene
	index *cover // of the scene's solids, grown
}

func scan(t *testing.T, settings fixtures.Settings) *scanned {
	t.Helper()
	settings.Density = 0.15
	shop, c, cloud := mappingtest.Scan(t, settings)
	s, err := Build(c, cloud, fit.Find(cloud, c.Wanted))
	if err != nil {
		t.Fatal(err)
	}
	w := &scanned{shop: shop, cloud: cloud, scene: s, index: newCover(cloud, c.Scene.Margin)}
	for _, o := range s.Objects {
		w.index.add(o.Solids...)
	}
	return w
}

// blocked tells whether p lies in the scene. Where the cloud has a bound, so has
// the index: a point outside is looked up at the nearest cell.
func (w *scanned) blocked(p r3.Vec) bool {
	for _, id := range w.index.near[w.index.index(w.index.at(p))] {
		if w.index.solids[id].Contains(p, w.index.margin) {
			return true
		}
	}
	return false
}

// The two promises of a collision scene, against the truth of invented cells:
// what a ray reached and gave a return from is inside, and space that is really
// free stays free.
func TestSceneAgainstTheTruth(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	for name, settings := range map[string]fixtures.Settings{
		"demo": fixtures.Demo(1), "demo, another seed": fixtures.Demo(2), "random 1": fixtures.Random(1), "random 2": fixtures.Random(2),
	} {
		t.Run(name, func(t *testing.T) {
			w := scan(t, settings)
			w.checkReached(t)
			w.checkFree(t)
			w.checkProof(t)
			if d, ok := w.shop.Truth.Object("mill"); ok && d.Opening != nil {
				w.checkDoor(t, d)
			}
		})
	}
}

// checkReached asks for 99.5 % of the surface points that gave a return.
func (w *scanned) checkReached(t *testing.T) {
	var returned, held, silent, heldSilent int
	for _, p := range w.shop.Reached(40_000) {
		in := w.blocked(p.Point)
		switch {
		case p.Returned:
			returned++
			if in {
				held++
			}
		default:
			silent++
			if in {
				heldSilent++
			}
		}
	}
	t.Logf("inside: %.3f %% of the %d points that gave a return, %.1f %% of the %d that gave none",
		100*float64(held)/float64(returned), returned, 100*float64(heldSilent)/float64(silent), silent)
	if float64(held) < 0.995*float64(returned) {
		t.Errorf("%d of %d surface points lie outside the scene", returned-held, returned)
	}
}

// checkFree asks that less than 2 % of the free space 100 mm or more from
// everything is blocked.
func (w *scanned) checkFree(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	b := w.shop.Bounds()
	size := r3.Sub(b.Max, b.Min)
	var free, blocked int
	for range 60_000 {
		p := r3.Add(b.Min, r3.Vec{X: size.X * r.Float64(), Y: size.Y * r.Float64(), Z: size.Z * r.Float64()})
		if w.shop.Distance(p) < 100 {
			continue
		}
		free++
		if w.blocked(p) {
			blocked++
		}
	}
	solids := 0
	for _, o := range w.scene.Objects {
		solids += len(o.Solids)
	}
	t.Logf("blocked: %.3f %% of %d free places, by %d solids", 100*float64(blocked)/float64(free), free, solids)
	if float64(blocked) > 0.02*float64(free) {
		t.Errorf("%d of %d free places are blocked", blocked, free)
	}
	if free < 1000 {
		t.Errorf("only %d free places: the draw shows nothing", free)
	}
	if solids > 600 {
		t.Errorf("%d solids: too many to load", solids)
	}
}

// checkProof repeats the proof through the scene alone.
func (w *scanned) checkProof(t *testing.T) {
	if left := w.index.left(); len(left) > 0 {
		t.Errorf("%d of %d voxels are not held", len(left), len(w.cloud.Voxels))
	}
}

// checkDoor looks through the machine's door opening, the grown edges and the
// 5 mm to which the opening is known left out.
func (w *scanned) checkDoor(t *testing.T, mill *fixtures.Object) {
	const edge = 20 * 1.42 // a grown corner of a prism
	r := rand.New(rand.NewPCG(2, 2))
	o := mill.Opening
	inset := edge + 5
	var free, blocked int
	for range 2000 {
		p := mill.Pose.Apply(r3.Vec{
			X: -60 + 120*r.Float64(),
			Y: o.YMin + inset + (o.YMax-o.YMin-2*inset)*r.Float64(),
			Z: o.ZMin + inset + (o.ZMax-o.ZMin-2*inset)*r.Float64(),
		})
		if w.shop.Distance(p) < 60 {
			continue
		}
		free++
		if w.blocked(p) {
			blocked++
		}
	}
	t.Logf("door: %d of %d places blocked", blocked, free)
	if float64(blocked) > 0.01*float64(free) || free < 500 {
		t.Errorf("%d of %d places in the door opening are blocked", blocked, free)
	}
}
