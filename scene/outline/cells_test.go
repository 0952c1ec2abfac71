package outline

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Every point within the radius of the hull is covered, and none that is more
// than a cell's diagonal further away. Distances come from the figure itself.
func TestCellsCoverWhatTheyShould(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 20 {
		corners := make([]r2.Vec, 1+r.IntN(5))
		for i := range corners {
			corners[i] = r2.Vec{X: 400 * r.Float64(), Y: 400 * r.Float64()}
		}
		radius := 5 + 60*r.Float64()
		c := NewCells(r2.NewBox(-80, -80, 480, 480), 8)
		c.Cover(corners, radius)
		hull := Hull(corners, 0)
		for range 500 {
			p := r2.Vec{X: -80 + 550*r.Float64(), Y: -80 + 550*r.Float64()}
			d := math.Inf(1)
			for i, a := range corners {
				for _, b := range corners[:i+1] {
					d = min(d, segment(p, a, b))
				}
			}
			if hull != nil && hull.contains(p) {
				d = 0
			}
			on := c.on[c.cell(p.Y-c.origin.Y)*c.n[0]+c.cell(p.X-c.origin.X)]
			if d <= radius && !on || d > radius+8*math.Sqrt2 && on {
				t.Fatalf("%v is %g mm from the hull of %v, the radius %g: covered %v", p, d, corners, radius, on)
			}
		}
	}
}

// segment is how far p lies from a-b, by trying.
func segment(p, a, b r2.Vec) float64 {
	d := math.Inf(1)
	for k := range 2001 {
		d = min(d, r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(float64(k)/2000, r2.Sub(b, a))))))
	}
	return d
}

// The rings enclose the area of the figure, that of a hole taken off, to what
// thinning leaves: a cell along their length. A ring and a disc by their formulas.
func TestRingsOfCells(t *testing.T) {
	c := NewCells(r2.NewBox(-600, -600, 600, 600), 5)
	for k := range 720 {
		s, co := math.Sincos(float64(k) * math.Pi / 360)
		c.Cover([]r2.Vec{{X: 500 * co, Y: 500 * s}}, 40)
	}
	c.Cover([]r2.Vec{{}}, 100)
	rings := c.Rings()
	if len(rings) != 3 {
		t.Fatalf("%d rings, want the ring's two and the disc's", len(rings))
	}
	sum, corners := 0.0, 0
	for _, r := range rings {
		sum += r.Area()
		corners += len(r)
	}
	want := math.Pi * (540*540 - 460*460 + 100*100)
	if length := 2 * math.Pi * (540 + 460 + 100); math.Abs(sum-want) > 5*length {
		t.Errorf("an area of %g, want %g", sum, want)
	}
	if corners > 200 {
		t.Errorf("%d corners", corners)
	}
}
