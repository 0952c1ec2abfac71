package scene

import (
	"strings"
	"testing"
)

// What clear space rests on is said of maps that know it, and of no return only
// where it was relied on.
func TestClearSpaceSaysWhatItRestsOn(t *testing.T) {
	by := 0.75
	for want, s := range map[string]*Space{
		"":             nil,
		"|":            {Voxel: 40},
		"40 mm":        {Voxel: 40, LeastObstacle: 40},
		"12 mm|0.75 m": {Voxel: 40, LeastObstacle: 12, ByNoReturn: &by},
	} {
		got := s.ClearRestsOn()
		words := strings.FieldsFunc(want, func(r rune) bool { return r == '|' })
		if len(got) != len(words) {
			t.Fatalf("%q: %q", want, got)
		}
		for i, w := range words {
			if !strings.Contains(got[i], w) {
				t.Errorf("%q does not say %q", got[i], w)
			}
		}
	}
}
