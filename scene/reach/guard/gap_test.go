package guard

import (
	"strings"
	"testing"
)

// ISO 13854:2017 as secondary pages give it: body 500, head 300, leg 180, foot
// 120, toes 50, arm 120, hand, wrist and fist 100, finger 25 mm; 499 fails and
// 500 passes for the body.
func TestGapsAtTheirBoundaries(t *testing.T) {
	p, err := FindProfile("iso-13854-2017")
	if err != nil {
		t.Fatal(err)
	}
	for part, least := range map[string]float64{"body": 500, "head": 300, "leg": 180, "foot": 120, "toes": 50, "arm": 120, "hand/wrist/fist": 100, "finger": 25} {
		for d, want := range map[float64]bool{least - 1: true, least: false, least + 1: false, -5: true} {
			got := false
			for _, x := range p.Crushes(d) {
				got = got || x.Name == part
			}
			if got != want {
				t.Errorf("%s at %g mm: crushed %v, want %v", part, d, got, want)
			}
		}
	}
	// R15.06 before 2012 named 18 in (secondary source).
	old, err := FindProfile("r15.06-1999")
	if err != nil {
		t.Fatal(err)
	}
	if len(old.Crushes(456.9)) != 1 || len(old.Crushes(457)) != 0 {
		t.Error("the 457 mm of the older edition are not its boundary")
	}
	if _, err := FindProfile("iso-13854"); err == nil || !strings.Contains(err.Error(), "iso-13854-2017") {
		t.Errorf("a profile without edition: %v", err)
	}
}
