package touch

import (
	"fmt"
	"slices"

	"cellwall/scene/table"

	"gonum.org/v1/gonum/spatial/r3"
)

// columns of a file of touches.
var columns = table.Columns{
	Must: []string{"name", "x", "y", "z", "radius"},
	May:  []string{"object", "surface", "sigma"},
}

// Open reads touches from the CSV file at path: name, x, y, z (base, mm), radius
// (of the pointer's ball, mm), object, and where wanted surface and sigma (mm).
// Rows without a sigma get the one given; where that is 0 they are refused, for a
// distance without its uncertainty tells nothing. Every error is a *fault.Error.
func Open(path string, sigma float64) ([]Point, error) {
	rows, err := table.Open(path, columns)
	if err != nil {
		return nil, err
	}
	var out []Point
	for _, r := range rows {
		p, err := pointOf(r, sigma)
		if err != nil {
			return nil, err
		}
		if slices.ContainsFunc(out, func(q Point) bool { return q.Name == p.Name }) {
			return nil, r.Wrong("name", fmt.Sprintf("%q is there twice", p.Name), "give each touch its own name")
		}
		out = append(out, p)
	}
	return out, nil
}

func pointOf(r table.Row, sigma float64) (Point, error) {
	v, err := r.Numbers("x", "y", "z", "radius")
	if err != nil {
		return Point{}, err
	}
	if r.Has("sigma") {
		if sigma, err = r.Number("sigma"); err != nil {
			return Point{}, err
		}
	}
	p := Point{
		Name: r.Text("name"), At: r3.Vec{X: v[0], Y: v[1], Z: v[2]}, Radius: v[3], Sigma: sigma,
		Object: r.Text("object"), Surface: r.Text("surface"), Line: r.Line,
	}
	switch {
	case p.Name == "":
		return p, r.Wrong("name", "the touch has none", "give each touch a name")
	case p.Radius < 0:
		return p, r.Wrong("radius", fmt.Sprintf("it is %g mm", p.Radius), "give the radius of the pointer's ball, 0 for a tip")
	case !(p.Sigma > 0):
		return p, r.Wrong("sigma", "nothing says how well the touch is known", "add a column sigma, or --sigma: one standard uncertainty of arm and pointer, mm")
	}
	return p, nil
}
