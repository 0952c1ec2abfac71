package surface

import (
	"math"
	"testing"

	"cellwall/fixtures"
	"cellwall/mapping"
	"cellwall/mapping/mappingtest"

	"gonum.org/v1/gonum/spatial/r3"
)

// Planes of invented cells, made by ray casting with all the faults of a
// scanner, against their truth. A face of this many points must be known to the
// bounds that the map is held to.
const (
	trialPoints = 2000
	trialMM     = 0.8
	trialDeg    = 0.08
)

// tally counts how many intervals of 95 % hold the truth.
type tally struct{ in, all int }

func (c *tally) count(err, sigma float64) {
	c.all++
	if math.Abs(err) < 1.96*sigma {
		c.in++
	}
}

func TestPlanesOfInventedCells(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	cells := []fixtures.Settings{fixtures.Demo(1), fixtures.Random(11), fixtures.Random(12), fixtures.Random(13)}
	var offsets, turns tally
	for _, s := range cells {
		s.Density = 0.15
		shop, _, cloud := mappingtest.Scan(t, s)
		trial(t, shop, cloud, &offsets, &turns)
	}
	// Faces of one cell share their sweeps' errors, so a cell counts about as six
	// intervals: 0.95 less twice the binomial sigma, and the trouble of few.
	least := 0.95 - 2*math.Sqrt(0.95*0.05/float64(6*len(cells)))
	for name, c := range map[string]tally{"offsets": offsets, "turns": turns} {
		share := float64(c.in) / float64(c.all)
		t.Logf("%s: %d of %d within their interval of 95 %%", name, c.in, c.all)
		if share < least {
			t.Errorf("%s: %.2f of the intervals hold the truth, want %.2f at least", name, share, least)
		}
	}
}

// trial compares the faces of a shop with the surfaces found on them.
func trial(t *testing.T, shop *fixtures.Shop, c *mapping.Cloud, offsets, turns *tally) {
	got := Find(c)
	for _, o := range shop.Truth.Objects {
		for _, face := range o.Faces {
			s := onFace(got, face)
			if s == nil {
				continue
			}
			err := face.Plane.Distance(s.Centre)
			axes := s.Plane.Frame(s.Centre).R
			w := r3.Cross(face.Plane.Normal, s.Plane.Normal)
			u, v := r3.Dot(w, axes.Axis(0)), r3.Dot(w, axes.Axis(1))
			offsets.count(err, math.Sqrt(s.Cov[0][0]))
			turns.count(u, math.Sqrt(s.Cov[1][1]))
			turns.count(v, math.Sqrt(s.Cov[2][2]))
			deg := math.Hypot(u, v) * 180 / math.Pi
			if s.Points >= trialPoints && (math.Abs(err) > trialMM || deg > trialDeg) {
				t.Errorf("%s, %s %s: off by %.2f mm and %.3f deg (stated %.2f and %.3f), %d points", shop.Settings.Name, o.Name, face.Name,
					err, deg, math.Sqrt(s.Cov[0][0]), math.Sqrt(s.Cov[1][1]+s.Cov[2][2])*180/math.Pi, s.Points)
			}
		}
	}
}

// onFace is the largest plane found on a face of the truth; nil where none is.
func onFace(all []Surface, face fixtures.Face) *Surface {
	var best *Surface
	for i := range all {
		s := &all[i]
		if s.Cylinder == nil && r3.Dot(s.Plane.Normal, face.Plane.Normal) > parallel &&
			math.Abs(face.Plane.Distance(s.Centre)) < 2.5 && inside(face, s.Centre) && (best == nil || s.Area > best.Area) {
			best = s
		}
	}
	return best
}

// inside tells whether p lies over a face, whose corners are convex and run
// counter-clockwise about its normal.
func inside(face fixtures.Face, p r3.Vec) bool {
	for i, a := range face.Corners {
		b := face.Corners[(i+1)%len(face.Corners)]
		if r3.Dot(face.Plane.Normal, r3.Cross(r3.Sub(b, a), r3.Sub(p, a))) < 0 {
			return false
		}
	}
	return true
}

// BenchmarkFind takes the demo cell at full density:
// go test -run xxx -bench Find ./fit/surface
func BenchmarkFind(b *testing.B) {
	_, _, cloud := mappingtest.Scan(b, fixtures.Demo(1))
	for b.Loop() {
		Find(cloud)
	}
	b.ReportMetric(float64(len(cloud.Voxels)), "voxels")
}

// The pillar of the demo cell.
func TestPillarOfTheDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("casts another cell")
	}
	s := fixtures.Demo(2)
	s.Density = 0.15
	shop, _, cloud := mappingtest.Scan(t, s)
	pillar, ok := shop.Truth.Object("pillar")
	if !ok {
		t.Fatal("the demo has no pillar")
	}
	want := pillar.Cylinder
	axis := r3.Unit(r3.Sub(want.To, want.From))
	for _, f := range Find(cloud) {
		if f.Cylinder == nil || math.Abs(f.Cylinder.Radius-want.Radius) > 5 {
			continue
		}
		off := r3.Norm(r3.Cross(r3.Sub(f.Cylinder.Point, want.From), axis))
		tilt := r3.Norm(r3.Cross(f.Cylinder.Axis, axis)) * 180 / math.Pi
		if d := math.Abs(f.Cylinder.Radius - want.Radius); d > 0.5 || off > trialMM || tilt > trialDeg {
			t.Errorf("radius off by %.2f mm, axis by %.2f mm and %.3f deg", d, off, tilt)
		}
		return
	}
	t.Error("not found")
}
