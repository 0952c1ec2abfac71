package mapping

import (
	"math"
	"slices"
	"testing"
)

// The sample must not depend on how the points come in, and must not favour the
// first or the last of them.
func TestReservoirIsUnbiasedAndIndependentOfTheOrder(t *testing.T) {
	const n, rounds = 200, 3000
	var meanOrdinal float64
	for round := range rounds {
		var forth, back reservoir
		for i := range n {
			j := n - 1 - i
			forth.offer(draw{lot(int64(round*n + i)), Sample{float32(i)}})
			back.offer(draw{lot(int64(round*n + j)), Sample{float32(j)}})
		}
		a, b := forth.samples(nil), back.samples(nil)
		if len(a) != samplesPerVoxel || !slices.Equal(a, b) {
			t.Fatalf("forth %v, back %v", a, b)
		}
		for _, s := range a {
			meanOrdinal += float64(s[0])
		}
	}
	meanOrdinal /= samplesPerVoxel * rounds
	// The mean of uniform draws from 0..n-1, to four of its standard errors.
	want, se := float64(n-1)/2, float64(n)/math.Sqrt(12*samplesPerVoxel*rounds)
	if math.Abs(meanOrdinal-want) > 4*se {
		t.Errorf("the mean place of a sample is %.2f, want %.2f +- %.2f", meanOrdinal, want, se)
	}
}

func TestReservoirKeepsAllOfAFew(t *testing.T) {
	var r reservoir
	for i := range 5 {
		r.offer(draw{lot(int64(i)), Sample{float32(i)}})
	}
	got := r.samples(nil)
	slices.SortFunc(got, func(a, b Sample) int { return slices.Compare(a[:], b[:]) })
	if !slices.Equal(got, []Sample{{0}, {1}, {2}, {3}, {4}}) {
		t.Errorf("kept %v of five", got)
	}
}
