package reach

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// home bends the elbow and holds the flange down.
func home() []float64 {
	return []float64{0.1, -1.2, 0.9, 0.1, 1.2, 0.2}
}

// Between any two knots the flange strays from the line by no more than the
// slack, and it ends where it was told to.
func TestLinesAreStraight(t *testing.T) {
	c := mustChecker(t, sixAxis(), shop(t, rand.New(rand.NewPCG(1, 1)), 2))
	start := c.arm.Flange(home())
	r := rand.New(rand.NewPCG(4, 4))
	straight := 0
	for range 40 {
		target := geom.Pose{R: start.R.Mul(geom.Exp(r3.Scale(.3, r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}))),
			T: r3.Add(start.T, r3.Scale(150, r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}))}
		w, err := c.to(&Row{Name: "x", Motion: Line, Pose: &target}, home())
		if err != nil {
			continue
		}
		straight++
		end := c.arm.Flange(w.knots[len(w.knots)-1]).Minus(target)
		if d := math.Sqrt(end[0]*end[0] + end[1]*end[1] + end[2]*end[2]); d > 1e-6 {
			t.Errorf("it ends %g mm away", d)
		}
		for i := 1; i < len(w.knots); i++ {
			for _, f := range []float64{.25, .5, .75} {
				q := make([]float64, len(home()))
				for k := range q {
					q[k] = w.knots[i-1][k] + f*(w.knots[i][k]-w.knots[i-1][k])
				}
				at := c.arm.Flange(q).T
				along := r3.Unit(r3.Sub(target.T, start.T))
				off := r3.Sub(at, start.T)
				if d := r3.Norm(r3.Sub(off, r3.Scale(r3.Dot(off, along), along))); d > w.slack {
					t.Fatalf("the flange strays %g mm from the line, slack is %g", d, w.slack)
				}
			}
		}
	}
	if straight < 30 {
		t.Errorf("only %d lines of 40 were gone", straight)
	}
}

func TestRowsThatCannotBeGoneAreNamed(t *testing.T) {
	c := mustChecker(t, sixAxis(), shop(t, rand.New(rand.NewPCG(1, 1)), 2))
	start := c.arm.Flange(home())
	// The wrist is straight where joint 5 is 0: a line through there turns it over.
	through := []float64{0, -1.2, 0.9, 0, 0.25, 0}
	beyond := []float64{0, -1.2, 0.9, 0, -0.25, 0}
	side := c.arm.Flange(beyond)
	side.T = r3.Add(side.T, r3.Vec{Y: 8}) // past the singular posture, not through it
	shift := func(v r3.Vec) *geom.Pose { return &geom.Pose{R: start.R, T: r3.Add(start.T, v)} }
	for _, x := range []struct {
		name string
		row  Row
		from []float64
		says string
	}{
		{"far away", Row{Motion: Line, Pose: shift(r3.Vec{X: 3000})}, home(), "the pose is out of reach"},
		{"far away, by joints", Row{Motion: Joint, Pose: shift(r3.Vec{X: 3000})}, home(), "out of reach"},
		{"past a straight wrist", Row{Motion: Line, Pose: &side}, through, "singular posture"},
		{"beyond the reach", Row{Motion: Line, Pose: shift(r3.Vec{X: 1100, Z: 200})}, home(), "the pose is out of reach"},
		{"another posture", Row{Motion: Line, Joints: []float64{0.1, -1.2, 0.9, 0.1 + math.Pi, -1.2, 0.2 + math.Pi}}, home(), "cannot change its posture"},
	} {
		if _, err := c.to(&x.row, x.from); err == nil || !strings.Contains(err.Error(), x.says) {
			t.Errorf("%s: %v, want %q", x.name, err, x.says)
		}
	}
}
