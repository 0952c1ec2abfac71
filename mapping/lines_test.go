package mapping_test

import (
	"reflect"
	"runtime"
	"testing"

	"cellwall/fixtures"
	"cellwall/mapping"
	"cellwall/mapping/mappingtest"

	"gonum.org/v1/gonum/spatial/r3"
)

// The choice is even over time and space, bounded, and the same on every run.
func TestReadLinesChoosesEvenly(t *testing.T) {
	s := fixtures.Demo(4)
	s.Density = 0.05
	_, c := mappingtest.Write(t, s)
	read := func(most, cores int) *mapping.Raw {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		raw, err := mapping.ReadLines(t.Context(), c, most, nil)
		if err != nil {
			t.Fatal(err)
		}
		return raw
	}
	const most = 2000
	few, again, all := read(most, 1), read(most, 4), read(1e9, 2)
	if !reflect.DeepEqual(points(few), points(again)) {
		t.Error("one core and four choose other points")
	}
	for i := range few.Scans {
		n, mean := sum(few.Scans[i].Lines)
		nAll, meanAll := sum(all.Scans[i].Lines)
		if n < most/2 && n < nAll || n > 2*most {
			t.Errorf("scan %s: %d points kept of %d", few.Scans[i].Name, n, nAll)
		}
		// Coordinates spread over a metre: the mean of so many is within 5
		// deviations of 1000/sqrt(n).
		if d := r3.Norm(r3.Sub(mean, meanAll)); d > 5*1000/31 {
			t.Errorf("scan %s: the chosen points' mean lies %.0f mm off that of all", few.Scans[i].Name, d)
		}
	}
}

func points(raw *mapping.Raw) (all [][]mapping.Line) {
	for _, s := range raw.Scans {
		all = append(all, s.Lines)
	}
	return all
}

func sum(lines []mapping.Line) (n int, mean r3.Vec) {
	for _, l := range lines {
		for _, p := range l.Points {
			mean = r3.Add(mean, p)
			n++
		}
	}
	return n, r3.Scale(1/float64(n), mean)
}
