package fit

import (
	"testing"

	"cellwall/fit/vise"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// No place gets two names, and a name no place that it was not certainly given.
func TestDealVises(t *testing.T) {
	at := func(xs ...float64) (out []vise.Located) {
		for _, x := range xs {
			out = append(out, vise.Located{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: x}}, Width: vise.Measure{Value: 125}})
		}
		return out
	}
	free := cell.Wanted{Name: "a"}
	hinted := func(x float64) cell.Wanted { return cell.Wanted{Name: "b", Near: &r3.Vec{X: x}} }
	const none = -1
	for _, c := range []struct {
		name   string
		wanted []cell.Wanted
		fits   [][]vise.Located
		want   []float64
	}{
		{"one", []cell.Wanted{free}, [][]vise.Located{at(1000)}, []float64{1000}},
		{"two fit one", []cell.Wanted{free}, [][]vise.Located{at(1000, 1300)}, []float64{none}},
		{"one fits two", []cell.Wanted{free, free}, [][]vise.Located{at(1000), at(1010)}, []float64{none, none}},
		{"told by their sizes", []cell.Wanted{free, free}, [][]vise.Located{at(1000), at(1300)}, []float64{1000, 1300}},
		{"hints, the closest first", []cell.Wanted{hinted(1250), hinted(1290)}, [][]vise.Located{at(1000, 1300), at(1000, 1300)}, []float64{1000, 1300}},
		{"what a hint leaves", []cell.Wanted{free, hinted(900)}, [][]vise.Located{at(1000, 1300), at(1000, 1300)}, []float64{1300, 1000}},
		{"nothing left", []cell.Wanted{free, hinted(900)}, [][]vise.Located{at(1010), at(1000)}, []float64{none, 1000}},
	} {
		for w, d := range dealVises(c.wanted, c.fits) {
			switch {
			case (d.is == nil) != (c.want[w] == none) || (d.refused == nil) == (d.is == nil):
				t.Errorf("%s: wanted %d got %+v, refused %+v", c.name, w, d.is, d.refused)
			case d.is != nil && d.is.Pose.T.X != c.want[w]:
				t.Errorf("%s: wanted %d is at %g, want %g", c.name, w, d.is.Pose.T.X, c.want[w])
			}
		}
	}
}
