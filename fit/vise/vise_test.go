package vise

import (
	"math/rand/v2"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestLocate(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	pose := geom.Pose{R: geom.RotFromRPY(0.01, -0.015, 0.7), T: r3.Vec{X: 1200, Y: 150, Z: 700}}
	b := benchVise(pose, 150, 45, 45, 45, 63)
	c := b.scan(threePasses(b), flaws{noise: 0.3, shift: 0.2, turn: 0.0003, declared: 0.3}, rng)
	t.Logf("%d voxels, %d samples", len(c.Voxels), len(c.Samples))
	found, refused := Locate(c, Want{Width: 150, Height: 45, Depth: 45, Fixed: "far"}, benchPlace(b))
	if refused != nil {
		t.Fatalf("refused: %+v", *refused)
	}
	for _, l := range found {
		d := l.Pose.Minus(pose)
		cov := l.Cov
		t.Logf("error %.3f mm, %.5f rad; sigma %.3f %.5f; opening %.3f (%.3f) width %+v sweep %.3f score %.2f", d[:3], d[3:], cov.SigmaT(), cov.SigmaR(), l.Opening.Value-63, l.Opening.Sigma, l.Width, l.SweepSigma, l.Score)
		for _, f := range l.Faces {
			t.Logf("%-22s %6d points rms %.3f scans %v area %.0f", f.Name, f.Points, f.RMS, f.Scans, f.Area)
		}
	}
}
