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
