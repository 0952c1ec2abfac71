package fit

import (
	"strings"
	"testing"

	"cellwall/mapping/cell"

	"gonum.org/v1/gonum/spatial/r3"
)

func hinted(name string, x float64) cell.Wanted {
	return cell.Wanted{Name: name, Kind: "table", Near: &r3.Vec{X: x}}
}

func TestMatch(t *testing.T) {
	free := cell.Wanted{Name: "bench", Kind: "table"}
	at := func(xs ...float64) (out []r3.Vec) {
		for _, x := range xs {
			out = append(out, r3.Vec{X: x})
		}
		return out
	}
	for _, c := range []struct {
		name    string
		wanted  []cell.Wanted
		middles []r3.Vec
		want    []matched
	}{
		{"one of one", []cell.Wanted{free}, at(5), []matched{{0, 1}}},
		{"none there", []cell.Wanted{free}, nil, []matched{{-1, 0}}},
		{"two fit equally well", []cell.Wanted{free}, at(5, 900), []matched{{-1, 2}}},
		{"a hint tells", []cell.Wanted{hinted("bench", 800)}, at(5, 900), []matched{{1, 0}}},
		{"a hint out of reach", []cell.Wanted{hinted("bench", 3000)}, at(5, 900), []matched{{-1, 0}}},
		{"the rest takes what is left", []cell.Wanted{free, hinted("b", 100)}, at(5, 2000), []matched{{1, 1}, {0, 0}}},
		{"the closest pair first", []cell.Wanted{hinted("a", 450), hinted("b", 480)}, at(0, 500), []matched{{0, 0}, {1, 0}}},
		{"two names, one place", []cell.Wanted{free, free}, at(5), []matched{{-1, 1}, {-1, 1}}},
	} {
		got := match(c.wanted, len(c.middles), fromMiddle(c.middles))
		for i := range c.want {
			if got[i] != c.want[i] {
				t.Errorf("%s: wanted %d is %+v, want %+v", c.name, i, got[i], c.want[i])
			}
		}
	}
}

func TestRefusalSaysWhy(t *testing.T) {
	for _, c := range []struct {
		m    matched
		w    cell.Wanted
		want string
	}{
		{matched{-1, 0}, cell.Wanted{Name: "b"}, "nothing like it"},
		{matched{-1, 3}, cell.Wanted{Name: "b"}, "3 places"},
		{matched{-1, 1}, cell.Wanted{Name: "b"}, "more than one wanted"},
		{matched{-1, 0}, hinted("b", 1), "near_mm"},
	} {
		r := c.m.refusal(c.w, "nothing like it was seen", "more of it")
		if !strings.Contains(r.Reason, c.want) || r.ScanNext == "" || r.Candidates != c.m.among {
			t.Errorf("%+v: %q, scan %q", c.m, r.Reason, r.ScanNext)
		}
	}
}
