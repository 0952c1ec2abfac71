package shape

import "math"

// corrCells are the cells over which residuals are averaged to see their
// correlation, mm: from a few lines of the scan to a face.
var corrCells = []float64{4, 10, 25, 60}

const (
	leastCells    = 12 // for a variance known to 40 %
	leastInCell   = 3
	mostInflation = 400.0
)

// designEffect is the variance of a mean over that of independent points (Kish
// 1965): of the means over cells of space, the worst size.
func (f *fit) designEffect() float64 {
	worst := 1.0
	for _, edge := range corrCells {
		worst = max(worst, f.inflation(edge))
	}
	return min(worst, mostInflation)
}

func (f *fit) inflation(edge float64) float64 {
	type tally struct{ sum, squares, n float64 }
	type key struct {
		scan int32
		cell [3]int32
		side [3]int8
	}
	at := map[key]*tally{}
	var order []*tally
	for i := range f.points {
		p := &f.points[i]
		if p.weight == 0 {
			continue
		}
		k := key{scan: p.scan}
		for a, x := range vec(p.at) {
			k.cell[a] = int32(math.Floor(x / edge))
			k.side[a] = int8(math.Round(2 * vec(p.normal)[a]))
		}
		c := at[k]
		if c == nil {
			c = &tally{}
			at[k] = c
			order = append(order, c)
		}
		r := p.weight * p.off / f.scale[p.scan]
		c.sum, c.squares, c.n = c.sum+r, c.squares+r*r, c.n+1
	}
	var apart, within, total, used float64
	for _, c := range order {
		if c.n >= leastInCell {
			apart += c.sum * c.sum / c.n
			within, total, used = within+c.squares, total+c.n, used+1
		}
	}
	if used < leastCells || within == 0 {
		return 1
	}
	return apart / used / (within / total)
}
