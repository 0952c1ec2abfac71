package mapping

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// marked scans ranges rounds times, puts a mixed point wherever the range jumps
// by more than jump between neighbours, and returns how many points were marked
// as mixed: of those put in, of the others within two places of a jump, and of
// all the rest.
func marked(l *lineOf, rounds int, jump float64, ranges func(float64) float64) (mixed, put, beside, besides, rest, rests int) {
	var f profile
	bends := Noise{AtMetre: l.noise.AtMetre * bendOfPoint}
	for range rounds {
		p := &piece{}
		l.scan(p, 0, ranges)
		at, near := map[int]bool{}, map[int]bool{}
		for i := 1; i < l.points; i++ {
			before, after := ranges(l.angle(i-1)), ranges(l.angle(i))
			if math.Abs(after-before) <= jump {
				continue
			}
			for j := i - 3; j < i+3; j++ {
				near[j] = true
			}
			if l.rng.Float64() < 0.5 { // as often, the edge falls between two rays
				share := 0.1 + 0.8*l.rng.Float64()
				p.p[i] = r3.Scale((before+share*(after-before))/norm(p.p[i]), p.p[i])
				at[i] = true
			}
		}
		fate := make([]Reason, len(p.p))
		for i := range fate {
			fate[i] = used
		}
		f.view(p, 0, len(p.p))
		f.markMixed(fate, bends)
		for i := range fate {
			hit := 0
			if fate[i] == EdgePoint {
				hit = 1
			}
			switch {
			case at[i]:
				mixed, put = mixed+hit, put+1
			case near[i]:
				beside, besides = beside+hit, besides+1
			default:
				rest, rests = rest+hit, rests+1
			}
		}
	}
	return
}

// A plate before a wall: what hangs between the two goes, the true last points
// of the plate and the first of the wall stay.
func TestMixedPointsGoAndTrueEdgesStay(t *testing.T) {
	l := newLine(0.3, 1)
	plate := within(-0.2, 0.15, flatAt(800, 0.3))
	mixed, put, beside, besides, rest, rests := marked(l, 400, 50, nearest(plate, flatAt(1500, -0.2)))
	t.Logf("%d of %d mixed points, %d of %d beside an edge, %d of %d others are dropped", mixed, put, beside, besides, rest, rests)
	if mixed < put*98/100 {
		t.Errorf("only %d of %d mixed points are found", mixed, put)
	}
	if beside > besides/200 {
		t.Errorf("%d of %d true points beside an edge are dropped", beside, besides)
	}
	if rest > rests/100000 {
		t.Errorf("%d of %d points away from any edge are dropped", rest, rests)
	}
}

// Nothing of these has a mixed point, however large the steps along the ray.
func TestWhatIsNoMixedPointStays(t *testing.T) {
	wall := flatAt(1500, 0)
	limb := func(radius, at, depth float64) func(float64) float64 {
		return func(a float64) float64 {
			off := depth * math.Sin(a-at)
			if math.Abs(off) >= radius {
				return math.Inf(1)
			}
			return depth*math.Cos(a-at) - math.Sqrt(radius*radius-off*off)
		}
	}
	for _, c := range []struct {
		name   string
		ranges func(float64) float64
	}{
		{"a wall", wall},
		{"a wall seen at 60 to 85 degrees", within(-0.5, 0.3, flatAt(1000, 1.2))},
		{"a corner", func(a float64) float64 { return math.Min(flatAt(1200, 0.7)(a), flatAt(1200, -0.7)(a)) }},
		{"an edge toward the eye", func(a float64) float64 { return math.Max(flatAt(1200, 0.7)(a), flatAt(1200, -0.7)(a)) }},
		{"a wire before a wall", nearest(wall, within(0.0501, 0.0540, flatAt(700, 0)))},
		{"a plate before a wall", nearest(wall, within(-0.2, 0.15, flatAt(800, 0.3)))},
		{"a pillar before a wall", nearest(wall, limb(60, 0.1, 900))},
		{"a pipe before a wall", nearest(wall, limb(15, -0.2, 700))},
	} {
		l := newLine(0.3, 2)
		clean := func(a float64) float64 {
			if r := c.ranges(a); r < 1e5 {
				return r
			}
			return 4000 // a far wall where nothing else is
		}
		var f profile
		dropped, all := 0, 0
		for range 200 {
			p := &piece{}
			l.scan(p, 0, clean)
			fate := make([]Reason, len(p.p))
			f.view(p, 0, len(p.p))
			f.markMixed(fate, Noise{AtMetre: l.noise.AtMetre * bendOfPoint})
			for _, why := range fate {
				if why == EdgePoint {
					dropped++
				}
				all++
			}
		}
		t.Logf("%s: %d of %d points dropped", c.name, dropped, all)
		if dropped > all/10000 {
			t.Errorf("%s: %d of %d true points are dropped", c.name, dropped, all)
		}
	}
}

func TestProfilesTooShortToTellStay(t *testing.T) {
	p := &piece{p: []r3.Vec{{Z: 500}, {X: 5, Z: 900}, {X: 20, Z: 1400}}}
	var f profile
	f.view(p, 0, 3)
	fate := []Reason{used, used, used}
	f.markMixed(fate, Noise{AtMetre: 0.1})
	for i, why := range fate {
		if why != used {
			t.Errorf("point %d of three is dropped as %s", i, why)
		}
	}
}
