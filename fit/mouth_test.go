package fit

import "testing"

// A side whose straight end was seen and one of whose end but a short piece was,
// make a mouth where both end in one plane, and only there.
func TestShortEndCountsBesideAStraightOne(t *testing.T) {
	end := border{sigma: 2}
	straight, short, unseen := cheek{ends: true, free: true, rim: end}, cheek{ends: true, rim: end}, cheek{rim: end}
	for _, c := range []struct {
		name string
		a, b cheek
		off  float64
		want bool
	}{
		{"both straight", straight, straight, 100, true},
		{"one short, in one plane", straight, short, -5, true},
		{"the other way round", short, straight, 5, true},
		{"one short, elsewhere", straight, short, 40, false},
		{"both short", short, short, 1, false},
		{"one unseen", straight, unseen, 0, false},
	} {
		if got := c.a.endsWith(&c.b, c.off); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}
