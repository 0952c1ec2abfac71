package drawing

import (
	"errors"
	"fmt"
)

// ratio is a drawing scale, paper to real.
type ratio struct{ paper, real int }

// scales are those that ISO 5455 recommends, largest first, and the two between
// 1:20 and 1:100 that scale rulers carry (common practice): at 1:50 most cells
// would fill a third of the sheet.
var scales = []ratio{
	{50, 1}, {20, 1}, {10, 1}, {5, 1}, {2, 1}, {1, 1}, {1, 2}, {1, 5}, {1, 10},
	{1, 20}, {1, 25}, {1, 50}, {1, 75}, {1, 100}, {1, 200}, {1, 500}, {1, 1000}, {1, 2000}, {1, 5000}, {1, 10000},
}

func (r ratio) String() string { return fmt.Sprintf("%d:%d", r.paper, r.real) }

// of is how many mm of paper one mm of the cell takes.
func (r ratio) of() float64 { return float64(r.paper) / float64(r.real) }

// largest is the largest scale that fits.
func largest(fits func(ratio) bool) (ratio, error) {
	for _, s := range scales {
		if fits(s) {
			return s, nil
		}
	}
	return ratio{}, errors.New("no scale of ISO 5455 down to 1:10000 brings the scene onto an A3 sheet; " +
		"look for stray points far away and drop them by `ignore` or `range_mm`")
}
