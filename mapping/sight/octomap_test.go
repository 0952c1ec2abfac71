//go:build reference

package sight

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"cellwall/mapping/arm"

	"gonum.org/v1/gonum/spatial/r3"
)

// OctoMap (Hornung et al., Autonomous Robots 34 (2013) 189; Debian package
// liboctomap-dev) traces the same rays: the same cells are crossed. Inserting
// them into its tree, at voxels of 20 mm, takes it longer.
func TestOctoMapCrossesTheSameCubes(t *testing.T) {
	program := compiled(t)
	const profiles, edge, voxel = 40, 10.0, 20.0
	g, err := New(arm.Reach{Centres: []r3.Vec{{Z: 600}}, Radius: 2100}, voxel, edge)
	if err != nil {
		t.Fatal(err)
	}
	var l Line
	var rays bytes.Buffer
	var walking time.Duration
	for i := range profiles {
		swing(i, profiles, &l)
		for _, r := range l.Rays {
			end := r3.Add(r.Eye, r3.Scale(r.Clear-1, r.Along))
			for _, v := range [2]r3.Vec{r.Eye, end} { // OctoMap's own precision is single
				binary.Write(&rays, binary.LittleEndian, [3]float64{float64(float32(v.X)), float64(float32(v.Y)), float64(float32(v.Z))})
			}
		}
		start := time.Now()
		for _, r := range l.Rays {
			g.Walk(r.Eye, r3.Add(r.Eye, r3.Scale(r.Clear-1, r.Along)))
		}
		walking += time.Since(start)
	}
	cmd := exec.Command(program, fmt.Sprint(swingRays), fmt.Sprint(edge), fmt.Sprint(voxel))
	cmd.Stdin = &rays
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(bytes.NewReader(out))
	lines.Scan()
	var inserting float64
	var free, both, theirs int
	fmt.Sscan(lines.Text(), &inserting, &free)
	for lines.Scan() {
		var k [3]int
		fmt.Sscan(lines.Text(), &k[0], &k[1], &k[2])
		theirs++
		if c := g.lattice.At(r3.Scale(edge, r3.Vec{X: float64(k[0]) + .5, Y: float64(k[1]) + .5, Z: float64(k[2]) + .5})); g.lattice.Holds(c) && g.crossed.Has(c) {
			both++
		}
	}
	ours := g.crossed.Count()
	t.Logf("%d rays: crossing every one takes %.3f s in cubes of %g mm, one core; OctoMap inserts them into %g mm voxels in %.3f s, %.1f times as long",
		profiles*swingRays, walking.Seconds(), edge, voxel, inserting, inserting/walking.Seconds())
	t.Logf("%d cubes, OctoMap %d, both %d", ours, theirs, both)
	// A ray that passes an edge between cubes by less than a float's step may be
	// traced on either side of it.
	if few := ours / 1000; ours-both > few || theirs-both > few || ours < 100_000 {
		t.Errorf("%d cubes are crossed here alone and %d there alone, of %d", ours-both, theirs-both, ours)
	}
}

func compiled(t testing.TB) string {
	t.Helper()
	program := filepath.Join(t.TempDir(), "octomap")
	out, err := exec.Command("g++", "-O2", "-o", program, filepath.Join("testdata", "octomap.cpp"), "-loctomap", "-loctomath").CombinedOutput()
	if err != nil {
		t.Skipf("OctoMap cannot be compiled against (Debian packages liboctomap-dev and g++): %s", out)
	}
	return program
}

// BenchmarkCarveBesideOctoMap has 4 million rays carved, and OctoMap insert the
// same ones, into voxels of 20 mm; processor time of both, which other work on the
// machine does not change.
func BenchmarkCarveBesideOctoMap(b *testing.B) {
	program := compiled(b)
	const profiles, voxel = 8000, 20.0
	var rays bytes.Buffer
	var l Line
	for i := range profiles {
		swing(i, profiles, &l)
		for _, r := range l.Rays {
			end := r3.Add(r.Eye, r3.Scale(r.Clear, r.Along))
			for _, x := range [6]float64{r.Eye.X, r.Eye.Y, r.Eye.Z, end.X, end.Y, end.Z} {
				rays.Write(binary.LittleEndian.AppendUint64(nil, math.Float64bits(x)))
			}
		}
	}
	for b.Loop() {
		g, err := New(arm.Reach{Centres: []r3.Vec{{Z: 600}}, Radius: 2100}, voxel, voxel/2)
		if err != nil {
			b.Fatal(err)
		}
		before := processor(b)
		carve(g, profiles)
		ours := processor(b) - before
		cmd := exec.Command(program, fmt.Sprint(swingRays), "0", fmt.Sprint(voxel))
		cmd.Stdin = bytes.NewReader(rays.Bytes())
		out, err := cmd.Output()
		if err != nil {
			b.Fatal(err)
		}
		var theirs float64
		fmt.Sscan(string(out), &theirs)
		b.ReportMetric(ours, "cpu-s")
		b.ReportMetric(theirs, "octomap-cpu-s")
		b.ReportMetric(theirs/ours, "octomap/ours")
	}
}

// processor is how much processor time this process has used, s.
func processor(b *testing.B) float64 {
	var use syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &use); err != nil {
		b.Fatal(err)
	}
	return time.Duration(use.Utime.Nano() + use.Stime.Nano()).Seconds()
}
