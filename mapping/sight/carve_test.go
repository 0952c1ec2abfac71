package sight

import (
	"math"
	"runtime"
	"sync"
	"testing"
	"time"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Profiles of a scanner that an arm swings round its base in an empty room of 4
// by 4 by 2.4 m, 0.8 m from the axis: what the benchmark and the reference test
// cross.
const (
	swingRays = 500
	swingFan  = 1.4 // rad
)

// swing is profile i of n: every ray as far as the wall, floor or ceiling.
func swing(i, n int, l *Line) {
	now := swingPose(i, n)
	eye, out, up := now.T, now.R.Axis(0), r3.Vec{Z: 1}
	l.Reset()
	l.Beside = append(l.Beside, swingPose(i-1, n).Mul(now.Inverse()), swingPose(i+1, n).Mul(now.Inverse()))
	for k := range swingRays {
		a, b := math.Sincos(swingFan * (float64(k)/(swingRays-1) - 0.5))
		along := r3.Add(r3.Scale(b, out), r3.Scale(a, up))
		l.Rays = append(l.Rays, Ray{Eye: eye, Along: along, Clear: roomRange(eye, along)})
	}
}

// swingPose is where the scanner is at profile i of n: X outward, Z up.
func swingPose(i, n int) geom.Pose {
	turn := 5.5 * float64(i) / float64(n)
	s, c := math.Sincos(turn)
	return geom.Pose{R: geom.Exp(r3.Vec{Z: turn}), T: r3.Vec{X: 800 * c, Y: 800 * s, Z: 900 + 300*math.Sin(3*turn)}}
}

func roomRange(eye, along r3.Vec) float64 {
	least := math.Inf(1)
	for i, half := range [3]float64{2000, 2000, 1200} {
		if d := axis(along, i); d != 0 {
			least = min(least, (math.Copysign(half, d)-axis(r3.Sub(eye, r3.Vec{Z: 600}), i))/d)
		}
	}
	return least
}

// BenchmarkCarve marks what 4 million rays cross, for voxels of 20 mm, on all
// cores, and reports the grid's memory.
func BenchmarkCarve(b *testing.B) {
	const profiles = 8000
	for b.Loop() {
		g, err := New(arm.Reach{Centres: []r3.Vec{{Z: 600}}, Radius: 2100}, 20, 10)
		if err != nil {
			b.Fatal(err)
		}
		carve(g, profiles)
		b.ReportMetric(float64(len(g.crossed.words))*8/(1<<20), "MiB")
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/profiles/swingRays, "ns/ray")
}

// carve crosses all the profiles, and returns how long that took.
func carve(g *Grid, profiles int) time.Duration {
	start := time.Now()
	var all sync.WaitGroup
	cores := runtime.GOMAXPROCS(0)
	for k := range cores {
		all.Go(func() {
			var l Line
			for i := k; i < profiles; i += cores {
				swing(i, profiles, &l)
				l.Cross(g)
			}
		})
	}
	all.Wait()
	return time.Since(start)
}

// Whatever the number of cores, the same cubes are crossed.
func TestCarvingIsTheSameOnAnyNumberOfCores(t *testing.T) {
	var sets [2]Bits
	for i, cores := range []int{1, 4} {
		before := runtime.GOMAXPROCS(cores)
		g, err := New(arm.Reach{Centres: []r3.Vec{{Z: 600}}, Radius: 2100}, 40, 60)
		if err != nil {
			t.Fatal(err)
		}
		carve(g, 200)
		runtime.GOMAXPROCS(before)
		sets[i] = g.crossed
	}
	if sets[0].Count() < 100_000 {
		t.Errorf("only %d cubes were crossed", sets[0].Count())
	}
	for i, w := range sets[0].words {
		if w != sets[1].words[i] {
			t.Fatal("the sets differ")
		}
	}
}
