package scene

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// grid divides space into cubes of this edge, mm.
type grid float64

// place is a cell of a grid.
type place [3]int32

// at is the cell that holds p.
func (g grid) at(p r3.Vec) place {
	e := float64(g)
	return place{int32(math.Floor(p.X / e)), int32(math.Floor(p.Y / e)), int32(math.Floor(p.Z / e))}
}

// occupied are the cells that the boxes touch.
func (g grid) occupied(set []geom.Bounds) map[place]bool {
	cells := make(map[place]bool)
	for _, b := range set {
		each(g.at(b.Min), g.at(b.Max), func(c place) { cells[c] = true })
	}
	return cells
}

// each visits the cells from lo to hi.
func each(lo, hi place, visit func(place)) {
	for x := lo[0]; x <= hi[0]; x++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for z := lo[2]; z <= hi[2]; z++ {
				visit(place{x, y, z})
			}
		}
	}
}

func (g grid) middle(c place) r3.Vec {
	return r3.Scale(float64(g), r3.Vec{X: float64(c[0]) + .5, Y: float64(c[1]) + .5, Z: float64(c[2]) + .5})
}

// beside tells whether c or one of its 26 neighbours is occupied.
func beside(cells map[place]bool, c place) bool {
	found := false
	each(place{c[0] - 1, c[1] - 1, c[2] - 1}, place{c[0] + 1, c[1] + 1, c[2] + 1}, func(n place) {
		found = found || cells[n]
	})
	return found
}

// gathered joins the boxes whose middles share a cell, in the order in which
// the cells are first met.
func (g grid) gathered(boxes []geom.Bounds) []geom.Bounds {
	at := make(map[place]int)
	var out []geom.Bounds
	for _, b := range boxes {
		c := g.at(r3.Scale(0.5, r3.Add(b.Min, b.Max)))
		i, ok := at[c]
		if !ok {
			i = len(out)
			at[c] = i
			out = append(out, b)
		}
		out[i].Extend(b.Min)
		out[i].Extend(b.Max)
	}
	return out
}

// clusters parts the boxes into sets whose cells touch each other or leave one
// cell between them.
func (g grid) clusters(boxes []geom.Bounds) [][]geom.Bounds {
	in := make(map[place][]int32)
	for i, b := range boxes {
		each(g.at(b.Min), g.at(b.Max), func(c place) { in[c] = append(in[c], int32(i)) })
	}
	taken := make([]bool, len(boxes))
	var out [][]geom.Bounds
	for i := range boxes {
		if taken[i] {
			continue
		}
		taken[i] = true
		var set []geom.Bounds
		for todo := []int32{int32(i)}; len(todo) > 0; {
			b := boxes[todo[len(todo)-1]]
			todo = todo[:len(todo)-1]
			set = append(set, b)
			lo, hi := g.at(b.Min), g.at(b.Max)
			each(place{lo[0] - 2, lo[1] - 2, lo[2] - 2}, place{hi[0] + 2, hi[1] + 2, hi[2] + 2}, func(c place) {
				for _, k := range in[c] {
					if !taken[k] {
						taken[k] = true
						todo = append(todo, k)
					}
				}
			})
		}
		out = append(out, set)
	}
	return out
}
