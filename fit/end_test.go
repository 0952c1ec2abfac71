package fit

import (
	"math"
	"testing"
)

func TestMillAgainstAWall(t *testing.T) {
	slow(t)
	w := hall(13)
	w.box(standing(0, 700, 0), -500, 0, 0, 4000, 100, 3000)
	at := standing(900, -60, 0)
	plainMill.stand(w, at)
	o := millIn(t, w, at)
	holdMill(t, o, at, plainMill)
	for _, f := range o.Faces {
		if f.Centre.X < 800 {
			t.Errorf("%s at %v is the room's wall, not the machine's", f.Name, f.Centre)
		}
	}
}

func TestFrontThatEndsUnseenIsMissing(t *testing.T) {
	slow(t)
	w := hall(16)
	at := standing(900, 0, 0)
	plainMill.stand(w, at)
	w.box(standing(650, 500, 0), 0, 0, 0, 60, 1800, 2600) // hides the left end from everywhere
	machines, _ := surveyedAt(w, 0.3).findMachines()
	if len(machines) != 1 {
		t.Fatalf("%d machines, want 1", len(machines))
	}
	if len(machines[0].missing) == 0 {
		end := machines[0].ends[left]
		if got := at.Inverse().Apply(end.Centre).Y; math.Abs(got-750) > 3*offsetOf(end) {
			t.Errorf("the hidden end is said to lie at %.0f with sigma %.0f, true 750", got, offsetOf(end))
		}
	}
}

func offsetOf(b bound) float64 { return math.Sqrt(b.Cov[0][0]) }

// Beside an opening of which the border was not seen, a strip in the front's
// plane may be a leaf's edge, beyond which the opening goes on: it ends the
// front only where it is wider than an opening is looked for beyond its bound.
func TestStripBesideAnOpenBorderEndsNothing(t *testing.T) {
	var s survey
	for _, c := range []struct {
		closed, mouth bool
		at            float64
		short         bool
	}{
		{false, false, -743, true},
		{false, false, -724 - bracketReach - 10, false},
		{true, false, -743, false},
		{false, true, -743, false},
		{true, false, -700, true}, // within the opening
	} {
		m := machine{front: front{hole: rect{lo: [2]float64{-724, 0}, hi: [2]float64{-106, 867}}, mouth: c.mouth}}
		m.rims[0][left].closed = c.closed
		if got := s.fallsShort(&m, left, border{at: c.at, sigma: 1}); got != c.short {
			t.Errorf("%+v: got %v", c, got)
		}
	}
}
