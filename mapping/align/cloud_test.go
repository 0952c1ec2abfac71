package align_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cellwall/fixtures"
	"cellwall/mapping"
	"cellwall/mapping/align"
	"cellwall/mapping/geom"
	"cellwall/mapping/mappingtest"

	"gonum.org/v1/gonum/spatial/r3"
)

// cloud is the corner as voxels of 25 mm, the way Merge would leave it.
func (c *corner) cloud() *mapping.Cloud {
	out := &mapping.Cloud{}
	eye := r3.Vec{X: 1000, Y: 1000, Z: 1000}
	for s, moved := range c.moved {
		out.Scans = append(out.Scans, string(rune('a'+s)))
		for i := range 6000 {
			u, v := 25*float64(i%80)+12, 25*float64(i/80)+12
			at := [3]r3.Vec{{X: u, Y: v}, {Y: u, Z: v}, {X: v, Z: u}}[i%3]
			n := [3]r3.Vec{{Z: 1}, {X: 1}, {Y: 1}}[i%3]
			at = r3.Add(at, r3.Scale(c.noise/4*c.rng.NormFloat64(), n))
			m := geom.Moments{N: 16, Mean: moved.Apply(at), Scatter: geom.Outer(16*c.noise*c.noise, n)}
			toward := r3.Sub(eye, at)
			out.Voxels = append(out.Voxels, mapping.Voxel{Moments: m, Scan: int32(s), Edge: 25, Toward: r3.Unit(toward), Range: r3.Norm(toward)})
		}
	}
	return out
}

// gap is the rms by which the clouds' points lie off the corner's planes, as far
// as scans differ in it.
func gap(c *mapping.Cloud) float64 {
	off := make([][3]float64, len(c.Scans))
	n := make([][3]float64, len(c.Scans))
	for i := range c.Voxels {
		v := &c.Voxels[i]
		k := i % 6000 % 3
		off[v.Scan][k] += [3]float64{v.Mean.Z, v.Mean.X, v.Mean.Y}[k]
		n[v.Scan][k]++
	}
	var squares float64
	for k := range 3 {
		var mean float64
		for s := range off {
			off[s][k] /= n[s][k]
			mean += off[s][k] / float64(len(off))
		}
		for s := range off {
			squares += (off[s][k] - mean) * (off[s][k] - mean)
		}
	}
	return math.Sqrt(squares / float64(3*len(off)-3))
}

// The bound: 0.15 mm at 1 m after errors of 0.5 mm and 0.05 degrees.
func TestCloudIsAligned(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2))
	c := corner{rng: rng, noise: 0.4}
	for range 7 {
		c.moved = append(c.moved, small(rng, 0.5, 0.05*math.Pi/180))
	}
	cloud := c.cloud()
	before := gap(cloud)
	if err := align.Cloud(cloud); err != nil {
		t.Fatal(err)
	}
	if cloud.Aligned == nil {
		t.Fatalf("scans %.2f mm apart are not aligned", before)
	}
	if after := gap(cloud); before < 0.3 || after > 0.15 {
		t.Errorf("scans %.2f mm apart before and %.3f mm after", before, after)
	}
	// As a whole it stays where it was: corrections have no mean that chance,
	// seven draws of 0.5 mm, does not explain.
	var mean r3.Vec
	for _, m := range cloud.Aligned.Moves {
		mean = r3.Add(mean, r3.Scale(1./7, m.Shift))
	}
	if r3.Norm(mean) > 4*cloud.Aligned.Common.Shift {
		t.Errorf("the map has drifted by %v mm, said to be good to %.2f", mean, cloud.Aligned.Common.Shift)
	}
	if s := cloud.Aligned.Common.Shift; s < 0.5/math.Sqrt(7)/2 || s > 2*0.5/math.Sqrt(7) {
		t.Errorf("%.3f mm said to be common to all, seven errors of 0.5 mm have a mean of 0.19", s)
	}
}

// Scans that agree are left as they are.
func TestCloudThatAgreesIsLeft(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	moved := 0
	const cells = 20
	for seed := range uint64(cells) {
		rng := rand.New(rand.NewPCG(seed, 9))
		c := corner{rng: rng, noise: 0.4, moved: []geom.Pose{geom.Identity(), geom.Identity(), geom.Identity()}}
		cloud := c.cloud()
		if err := align.Cloud(cloud); err != nil {
			t.Fatal(err)
		}
		if cloud.Aligned != nil {
			moved++
		}
	}
	// One in twenty is the level; four of twenty come with probability 0.02.
	if moved > 3 {
		t.Errorf("%d of %d clouds without any error are aligned", moved, cells)
	}
}

func TestCloudNamesTheScanThatIsOff(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 2))
	c := corner{rng: rng, noise: 0.4}
	for range 7 {
		c.moved = append(c.moved, small(rng, 0.1, 1e-4))
	}
	c.moved[2].T = r3.Add(c.moved[2].T, r3.Vec{X: 4, Y: -3, Z: 2})
	cloud := c.cloud()
	was := cloud.Voxels[2*6000].Mean
	if err := align.Cloud(cloud); err != nil {
		t.Fatal(err)
	}
	if len(cloud.Warnings) != 1 || !strings.Contains(cloud.Warnings[0], "scan c lies") {
		t.Errorf("warnings %v", cloud.Warnings)
	}
	if cloud.Voxels[2*6000].Mean != was {
		t.Error("a scan far off was moved")
	}
}

// A scan whose motion is in the wrong unit shows its room somewhere else.
func TestCloudNamesTheScanThatIsElsewhere(t *testing.T) {
	c := corner{rng: rand.New(rand.NewPCG(5, 3)), noise: 0.4}
	for range 4 {
		c.moved = append(c.moved, geom.Identity())
	}
	c.moved[1] = geom.Pose{R: geom.Exp(r3.Vec{X: 0.4, Y: -0.7, Z: 0.5}), T: r3.Vec{X: 300, Y: 900, Z: 700}}
	for _, moving := range []int{4, 0} { // still scans have no motion to look at
		cloud := c.cloud()
		cloud.Moving = moving
		if err := align.Cloud(cloud); err != nil {
			t.Fatal(err)
		}
		said := len(cloud.Warnings) == 1 && strings.Contains(cloud.Warnings[0], "scan b shows no surface")
		if said != (moving > 0) {
			t.Errorf("%d moving: warnings %v", moving, cloud.Warnings)
		}
	}
}

// An invented cell's scans doubt its mount where that is off, and only there.
func TestCloudDoubtsTheMount(t *testing.T) {
	if testing.Short() {
		t.Skip("maps a cell twice")
	}
	for _, off := range []bool{false, true} {
		s := fixtures.Random(703)
		s.Density = 0.1
		if off {
			s.Errors.MountShift, s.Errors.MountTurn = 2, 0.4*math.Pi/180
		}
		_, _, cloud := mappingtest.Scan(t, s)
		if err := align.Cloud(cloud); err != nil {
			t.Fatal(err)
		}
		if said := strings.Contains(strings.Join(cloud.Warnings, " "), "run cellwall mount"); said != off {
			t.Errorf("mount off: %v; warnings %v", off, cloud.Warnings)
		}
	}
}
