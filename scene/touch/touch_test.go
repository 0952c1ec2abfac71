package touch

import (
	"bytes"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/rigid"
	"cellwall/scene/schema"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"gonum.org/v1/gonum/spatial/r3"
)

var x, y, z = r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}

// plate is a square face of a map, 400 mm wide, off by what its covariance says.
func plate(rng *rand.Rand, name string, middle, normal r3.Vec) fit.Face {
	const sigma, turn = .1, 2e-4
	f := geom.Plane{Normal: normal, Offset: r3.Dot(normal, middle)}.Frame(middle)
	off := rigid.About(middle, r3.Scale(sigma*rng.NormFloat64(), normal),
		r3.Add(r3.Scale(turn*rng.NormFloat64(), f.R.Axis(0)), r3.Scale(turn*rng.NormFloat64(), f.R.Axis(1))))
	at := off.Mul(f)
	s := surface.Surface{Centre: at.T, Area: 160_000, Cov: surface.Cov3{{sigma * sigma}, {1: turn * turn}, {2: turn * turn}}}
	s.Plane = geom.Plane{Normal: at.R.Axis(2), Offset: r3.Dot(at.R.Axis(2), at.T)}
	for _, c := range [4][2]float64{{-200, -200}, {200, -200}, {200, 200}, {-200, 200}} {
		s.Outline = append(s.Outline, at.Apply(r3.Vec{X: c[0], Y: c[1]}))
	}
	return fit.Face{Name: name, Surface: s}
}

// corner is a map of a block with three faces seen.
func corner(rng *rand.Rand) *scene.Scene {
	o := scene.Object{Object: fit.Object{Name: "block", Kind: fit.Block, Pose: geom.Identity()}}
	o.Faces = []fit.Face{plate(rng, "top", r3.Vec{}, z), plate(rng, "front", r3.Vec{X: -200, Z: -200}, by(-1, x)), plate(rng, "left", r3.Vec{Y: 200, Z: -200}, y)}
	return &scene.Scene{Objects: []scene.Object{o}}
}

func by(s float64, v r3.Vec) r3.Vec { return r3.Scale(s, v) }

// touches are 3-2-1 on the true faces, moved by the truth, with a ball of 3 mm.
func touches(rng *rand.Rand, truth geom.Pose, sigma float64) []Point {
	var out []Point
	for i, p := range []struct{ at, n r3.Vec }{
		{r3.Vec{X: -150, Y: -150}, z}, {r3.Vec{X: 150, Y: -100}, z}, {r3.Vec{X: 20, Y: 160}, z},
		{r3.Vec{X: -200, Y: -150, Z: -200}, by(-1, x)}, {r3.Vec{X: -200, Y: 150, Z: -250}, by(-1, x)},
		{r3.Vec{X: 30, Y: 200, Z: -150}, y},
	} {
		at := truth.Apply(r3.Add(p.at, r3.Scale(3, p.n)))
		at = r3.Add(at, r3.Vec{X: sigma * rng.NormFloat64(), Y: sigma * rng.NormFloat64(), Z: sigma * rng.NormFloat64()})
		out = append(out, Point{Name: string("abcdef"[i]), At: at, Radius: 3, Sigma: sigma, Object: "block"})
	}
	return out
}

// At a level of 95 % some 95 of 100 true maps agree, and the correction holds the
// truth: its chi-square is 6 in the mean.
func TestAgainstAndSolveHoldTheirLevel(t *testing.T) {
	const runs, sigma = 600, .15
	truth := geom.Pose{R: geom.Exp(r3.Vec{X: .004, Z: -.01}), T: r3.Vec{X: 3, Y: -2, Z: 1}}
	agree, single, sum := 0, 0, 0.0
	for k := range runs {
		rng := rand.New(rand.NewPCG(uint64(k), 2))
		s := corner(rng)
		c, err := Against(s, touches(rng, geom.Identity(), sigma), .95, "t.csv")
		if err != nil {
			t.Fatal(err)
		}
		if !c.Test.Beyond(.95) {
			agree++
		}
		for _, h := range c.Held {
			if h.Agrees {
				single++
			}
		}
		if c, err = Against(s, touches(rng, truth, sigma), .95, "t.csv"); err != nil {
			t.Fatal(err)
		}
		fix, err := c.Solve()
		if err != nil {
			t.Fatal(err)
		}
		if c.Agrees() || !fix.Needed {
			t.Fatal("a map that is 3 mm off agrees")
		}
		d := fix.Pose.Minus(truth)
		sum += rigid.Against(d, fix.OfBase(), 150).ChiSquare
	}
	spread := 4 * math.Sqrt(.05*.95/runs)
	if got := float64(agree) / runs; math.Abs(got-.95) > spread {
		t.Errorf("%.3f of the true maps agree at the level .95", got)
	}
	if got := float64(single) / (6 * runs); math.Abs(got-.95) > spread {
		t.Errorf("%.3f of the single touches agree at the level .95", got)
	}
	if mean := sum / runs; math.Abs(mean-6) > 4*math.Sqrt(12./runs) {
		t.Errorf("chi-square of the correction is %.2f in the mean, want 6", mean)
	}
}

func TestSolveNamesWhatIsOpen(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	s, all := corner(rng), touches(rng, geom.Identity(), .1)
	line := append([]Point(nil), all...)
	line[2].At = r3.Scale(.5, r3.Add(line[0].At, line[1].At)) // the three on top in one line
	for n, want := range map[int]string{5: "a slide along base Y;", 3: "a slide along"} {
		c, err := Against(s, all[:n], .99, "t.csv")
		if err != nil {
			t.Fatal(err)
		}
		_, err = c.Solve()
		var open *Degenerate
		if !errors.As(err, &open) || len(open.Open) != 6-n || !strings.Contains(err.Error(), want) {
			t.Errorf("%d touches: %v, want %s", n, err, want)
		}
	}
	c, err := Against(s, line, .99, "t.csv")
	if err != nil {
		t.Fatal(err)
	}
	var open *Degenerate
	if _, err = c.Solve(); !errors.As(err, &open) || len(open.Open) != 1 || open.Open[0].Turn == (r3.Vec{}) {
		t.Errorf("three in one line leave a turn open: %v", err)
	}
}

// The frame of CHECKS.md from three points, worked out apart from this module.
func TestFrameFromThreePoints(t *testing.T) {
	p := [3]Point{{At: r3.Vec{X: 1000, Y: 200, Z: 900}, Sigma: .1}, {At: r3.Vec{X: 1000, Y: 400, Z: 900}, Sigma: .1}, {At: r3.Vec{X: 850, Y: 250, Z: 900}, Sigma: .1}}
	pose, cov, err := Frame(p)
	if err != nil {
		t.Fatal(err)
	}
	want := geom.Pose{R: geom.RotFromAxes(y, by(-1, x), z), T: p[0].At}
	for i, d := range pose.Minus(want) {
		if math.Abs(d) > 1e-12 {
			t.Errorf("component %d is off by %g", i, d)
		}
	}
	// The turn about Z is that of the line of 200 mm: sqrt(2) sigma over its length.
	if got, want := cov.SigmaR().Z, math.Sqrt2*.1/200; math.Abs(got/want-1) > 1e-6 {
		t.Errorf("sigma of the turn about Z is %g, want %g", got, want)
	}
	p[2].At = r3.Vec{X: 1000, Y: 900, Z: 900}
	if _, _, err := Frame(p); err == nil || !strings.Contains(err.Error(), "one line") {
		t.Errorf("collinear points: %v", err)
	}
}

func TestWrongTouches(t *testing.T) {
	s := corner(rand.New(rand.NewPCG(1, 1)))
	for text, says := range map[string]string{
		"name,x,y,z,radius,object\na,0,0,3,3,blok\n":                   `t.csv:2: object: the map has no object "blok"; it has block`,
		"name,x,y,z,radius,object,surface\na,0,0,3,3,block,tip\n":      `no surface "tip"`,
		"name,x,y,z,radius,object\na,0,0,900,3,block\n":                "mm from block top",
		"name,x,y,z,radius,object\na,0,0,3,-3,block\n":                 "t.csv:2: radius: it is -3 mm",
		"name,x,y,z,radius,object,sigma\na,0,0,3,3,block,0\n":          "t.csv:2: sigma",
		"name,x,y,z,radius,object\na,0,0,3,3,block\na,0,0,3,3,block\n": "t.csv:3: name: \"a\" is there twice",
		"name,x,y,z,radius,object\n,0,0,3,3,block\n":                   "t.csv:2: name",
		"name,x,y,z,radius,object\na,0,zero,3,3,block\n":               "t.csv:2: y: \"zero\" is not a number",
	} {
		path := filepath.Join(t.TempDir(), "t.csv")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		points, err := Open(path, .1)
		if err == nil {
			_, err = Against(s, points, .99, path)
		}
		var f *fault.Error
		if !errors.As(err, &f) || f.Remedy == "" || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want %s", text, err, says)
		}
	}
}

func TestDistanceToCylinder(t *testing.T) {
	f := fit.Face{Name: "side"}
	f.Cylinder = &surface.Cylinder{Point: r3.Vec{X: 10}, Axis: z, Radius: 50, SigmaRadius: .3, Length: 400}
	f.Plane, f.Cov = geom.Plane{Normal: by(-1, x), Offset: 40}, surface.Cov3{{.16}}
	h := hold(Point{At: r3.Vec{X: 10, Y: 55, Z: 70}, Radius: 4, Sigma: .1}, &f, .99)
	if math.Abs(h.Distance-1) > 1e-12 || math.Abs(h.MapSigma-.5) > 1e-12 {
		t.Errorf("distance %g, sigma %g; want 1 and 0.5", h.Distance, h.MapSigma)
	}
}

func TestWrittenCheckKeepsItsSchema(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	c, err := Against(corner(rng), touches(rng, geom.Identity(), .1), .99, "t.csv")
	if err != nil {
		t.Fatal(err)
	}
	fix, err := c.Solve()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema.Touch))
	if err != nil {
		t.Fatal(err)
	}
	k := jsonschema.NewCompiler()
	if err := k.AddResource("schema.json", doc); err != nil {
		t.Fatal(err)
	}
	compiled, err := k.Compile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, with := range []*Correction{nil, fix} {
		var b bytes.Buffer
		if err := c.WriteJSON(&b, with); err != nil {
			t.Fatal(err)
		}
		v, err := jsonschema.UnmarshalJSON(&b)
		if err == nil {
			err = compiled.Validate(v)
		}
		if err != nil {
			t.Error(err)
		}
	}
}
