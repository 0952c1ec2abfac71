package fit

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// doorSheet is a sheet of 1.6 m by 2 m with a door, seen by points 5 mm apart.
func doorSheet(door rect) *sheet {
	rng := rand.New(rand.NewPCG(3, 3))
	s := &sheet{}
	for x := -800.0; x < 800; x += 5 {
		for y := 0.0; y < 2000; y += 5 {
			px, py := x+5*rng.Float64(), y+5*rng.Float64()
			p := patch{at: [2]float64{px, py}, spacing: 5, facing: 1, deep: 400}
			if px > door.lo[0] && px < door.hi[0] && py > door.lo[1] && py < door.hi[1] {
				s.open = append(s.open, p)
				s.rays = append(s.rays, rayAt(px, py))
			} else {
				p.deep = 0
				s.closed = append(s.closed, p)
			}
		}
	}
	return s
}

var wholeSheet = rect{lo: [2]float64{-800, 0}, hi: [2]float64{800, 2000}}

func TestOpeningIsTheDoor(t *testing.T) {
	door := rect{lo: [2]float64{-333, 777}, hi: [2]float64{412, 1601}}
	got, borders, ok := doorSheet(door).opening(wholeSheet)
	if !ok {
		t.Fatal("no opening")
	}
	for a := range 2 {
		for side := range 2 {
			within(t, "border", got.edge(a, side), door.edge(a, side), 1.5)
			if s := borders[a][side].sigma; s > 2 {
				t.Errorf("border %d/%d is known to %.1f mm only", a, side, s)
			}
		}
	}
}

func TestKeyholeIsNoOpening(t *testing.T) {
	if r, _, ok := doorSheet(rect{lo: [2]float64{0, 900}, hi: [2]float64{150, 1100}}).opening(wholeSheet); ok {
		t.Errorf("an arm would have to reach through %+v", r)
	}
	if r, _, ok := doorSheet(rect{}).opening(wholeSheet); ok {
		t.Errorf("found %+v in a closed sheet", r)
	}
}

// seenOnly leaves what lies where keep says of a sheet.
func (s *sheet) seenOnly(keep func(x, y float64) bool) *sheet {
	out := &sheet{}
	for _, p := range s.closed {
		if keep(p.at[0], p.at[1]) {
			out.closed = append(out.closed, p)
		}
	}
	for i, p := range s.open {
		if keep(p.at[0], p.at[1]) {
			out.open = append(out.open, p)
			out.rays = append(out.rays, s.rays[i])
		}
	}
	return out
}

// The swing ended in the middle of the door: its right edge, 300 mm further on,
// was never scanned, and must not pass for measured where the last ray went. Nor
// must the lower edge where the laser line ended above the sill.
func TestEdgeThatNobodyScannedIsABound(t *testing.T) {
	door := rect{lo: [2]float64{-333, 777}, hi: [2]float64{412, 1601}}
	for _, c := range []struct {
		name       string
		axis, side int
		keep       func(x, y float64) bool
	}{
		{"right", 0, 1, func(x, y float64) bool { return x < 112 || y > 1650 }},
		{"left", 0, 0, func(x, y float64) bool { return x > -100 || y > 1650 }},
		{"bottom", 1, 0, func(x, y float64) bool { return y > 960 || x > 450 }},
	} {
		got, borders, ok := doorSheet(door).seenOnly(c.keep).opening(wholeSheet)
		if !ok {
			t.Errorf("%s: no opening", c.name)
			continue
		}
		for a := range 2 {
			for side := range 2 {
				b := borders[a][side]
				if a == c.axis && side == c.side {
					if b.closed || !math.IsInf(b.sigma, 1) {
						t.Errorf("%s: an edge that nobody scanned is at %.0f with sigma %.1f", c.name, b.at, b.sigma)
					}
					continue
				}
				within(t, c.name+": another border", got.edge(a, side), door.edge(a, side), max(1.5, 1.96*b.sigma))
			}
		}
		m := machine{name: "mill", front: front{hole: got, rims: borders}}
		if r := m.boundedOpening(); r == nil || !strings.Contains(r.Reason, c.name) || !strings.Contains(r.ScanNext, c.name) {
			t.Errorf("%s: refused by %+v", c.name, r)
		}
	}
}

// A band of 37 mm about the door's right edge was not scanned: the edge lies
// somewhere in it, and its sigma says so. In a band of 56 mm it is a bound.
func TestEdgeInAnUnscannedBandIsUncertain(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	door := rect{lo: [2]float64{-333, 777}, hi: [2]float64{412, 1601}}
	rng := rand.New(rand.NewPCG(8, 8))
	var z []float64
	for range 12 {
		from := 412 - 37*rng.Float64()
		_, borders, ok := doorSheet(door).seenOnly(func(x, _ float64) bool { return x < from || x > from+37 }).opening(wholeSheet)
		b := borders[0][1]
		if !ok || !b.closed || b.sigma < 5 {
			t.Fatalf("%v: edge at %.1f with sigma %.1f", ok, b.at, b.sigma)
		}
		z = append(z, math.Abs(b.at-412)/b.sigma)
	}
	_, borders, ok := doorSheet(door).seenOnly(func(x, _ float64) bool { return x < 400 || x > 456 }).opening(wholeSheet)
	if b := borders[0][1]; !ok || b.closed || b.at > 402 || b.at < 390 {
		t.Errorf("%v: in a band of 56 mm the edge is %+v, want a bound at 400", ok, b)
	}
	if worst := slices.Max(z); worst > 2 { // uniform: never beyond sqrt(3), and what the strays take
		t.Errorf("an edge is off by %.1f of its sigma", worst)
	}
}
