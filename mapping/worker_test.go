package mapping

import (
	"math"
	"slices"
	"testing"

	"cellwall/mapping/points"

	"gonum.org/v1/gonum/spatial/r3"
)

// plates is a piece of many profiles over a plate before a wall, with a mixed
// point on every second edge; it returns how many there are.
func plates(stamp func(profile, point int) float64) (*piece, int) {
	l := newLine(0.3, 11)
	p, put := &piece{}, 0
	for k := range 60 {
		from := len(p.p)
		l.scan(p, 0, nearest(flatAt(1500, 0), within(-0.2, 0.1501, flatAt(800, 0))))
		for i := range l.points {
			p.t[from+i] = stamp(k, i)
			if k%2 == 0 && i > 0 && (l.angle(i-1) <= 0.1501) != (l.angle(i) <= 0.1501) {
				p.p[from+i].X *= 0.75
				p.p[from+i].Z *= 0.75
				put++
			}
		}
	}
	return p, put
}

func edgePoints(p *piece) (n int) {
	w := stillScan().work(p)
	for _, why := range w.fate {
		if why == EdgePoint {
			n++
		}
	}
	return n
}

// Whether a profile has one stamp or each of its points its own, the line is
// the same and so are its mixed points.
func TestStampsPerPointMakeALineToo(t *testing.T) {
	for name, stamp := range map[string]func(int, int) float64{
		"one a profile": func(k, _ int) float64 { return 0.01 * float64(k) },
		"one a point":   func(k, i int) float64 { return 0.01*float64(k) + 1e-5*float64(i) },
	} {
		p, put := plates(stamp)
		if got := edgePoints(p); got != put {
			t.Errorf("%s: %d points dropped as mixed, %d are", name, got, put)
		}
	}
}

// Without the order of the line nothing can be said about edges.
func TestPointsInNoOrderStay(t *testing.T) {
	p, _ := plates(func(k, _ int) float64 { return float64(k) })
	l := newLine(0, 12)
	for k := range 60 {
		part := p.p[k*l.points : (k+1)*l.points]
		l.rng.Shuffle(len(part), func(i, j int) { part[i], part[j] = part[j], part[i] })
	}
	if got := edgePoints(p); got != 0 {
		t.Errorf("%d points of shuffled profiles are dropped as mixed", got)
	}
}

func TestPiecesHoldWholeProfiles(t *testing.T) {
	p := &piece{}
	for k := range 100 {
		for range k % 7 {
			p.p = append(p.p, r3.Vec{X: float64(k)})
			p.t = append(p.t, float64(k))
		}
	}
	whole := append([]float64{}, p.t...)
	cut := p.lastProfile()
	rest := p.split(cut)
	if len(p.p) != len(p.t) || len(rest.p) != len(rest.t) || rest.at != int64(cut) {
		t.Fatalf("split at %d into %d and %d points", cut, p.len(), rest.len())
	}
	if p.t[len(p.t)-1] == rest.t[0] {
		t.Error("a profile is cut")
	}
	n := 0
	p.profiles(func(from, to int) {
		for i := from; i < to; i++ {
			if p.t[i] != p.t[from] || p.t[i] != whole[n] {
				t.Fatalf("profile %d to %d holds stamps %v", from, to, p.t[from:to])
			}
			n++
		}
	})
	if n != cut {
		t.Errorf("profiles hold %d of %d points", n, cut)
	}
}

// Some files write a ray that did not come back without its stamp too.
func TestRaysWithoutStampStayInTheirProfile(t *testing.T) {
	nan := math.NaN()
	p := &piece{}
	p.append(&points.Batch{X: []float64{1, nan, 2, 3, nan, 4}, Y: make([]float64, 6), Z: make([]float64, 6), T: []float64{7, nan, 7, 8, nan, nan}}, 1000)
	var bounds [][2]int
	p.profiles(func(from, to int) { bounds = append(bounds, [2]int{from, to}) })
	if !slices.Equal(bounds, [][2]int{{0, 3}, {3, 5}, {5, 6}}) {
		t.Errorf("profiles %v, want the gaps within theirs and the point without a stamp by itself", bounds)
	}
	if p.p[2].X != 2000 {
		t.Errorf("2 m is %g mm", p.p[2].X)
	}
}
