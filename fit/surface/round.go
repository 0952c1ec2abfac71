package surface

import (
	"math"
	"slices"

	"cellwall/fit/surface/shape"
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// round describes a column as a surface; false where its fit does not hold up.
func (f *field) round(c *column, s sway, usual float64, mount []mapping.Rigid) (Surface, bool) {
	fit, cov, reach, err := shape.FitCylinder(f.sets(c.members), c.Cylinder)
	if err != nil {
		return Surface{}, false
	}
	c.Cylinder = fit
	middle := c.middle(f.spots)
	arc, height := c.extent(f.spots, middle)
	centre := r3.Add(c.Point, r3.Add(r3.Scale((height[0]+height[1])/2, c.Axis), r3.Scale(c.Radius, middle)))
	pl := geom.Plane{Normal: middle, Offset: r3.Dot(middle, centre)}
	out := Surface{
		Plane: pl, Centre: centre, Outline: c.rim(middle, arc, height),
		Area: (arc[1] - arc[0]) * c.Radius * (height[1] - height[0]),
	}
	var squares float64
	for _, m := range c.members {
		sp := &f.spots[m]
		dist := c.Spread(sp.Moments)
		squares += sp.N * dist * dist
		out.Points += int(sp.N)
		out.Voxels = append(out.Voxels, sp.voxel)
	}
	slices.Sort(out.Voxels)
	grips := f.gripsOf(c, reach)
	for _, g := range grips {
		out.Scans = append(out.Scans, g.scan)
	}
	slices.Sort(out.Scans)
	out.RMS = math.Sqrt(squares / float64(out.Points))
	b := roundBudget(grips, cov, reach, usual, s, mount)
	out.Budget = c.tangent(pl.Frame(centre), b)
	out.Cov = out.Budget.Total()
	out.Cylinder = &Cylinder{
		Point: c.Point, Axis: c.Axis, Radius: c.Radius, Length: height[1] - height[0],
		Budget: b, Cov: b.Total(),
	}
	out.Cylinder.SigmaRadius = math.Sqrt(out.Cylinder.Cov[4][4])
	return out, true
}

// extent is the arc and the stretch of axis that the members lie on.
func (c *column) extent(spots []spot, middle r3.Vec) (arc, height [2]float64) {
	arc = [2]float64{math.Inf(1), math.Inf(-1)}
	height = arc
	for _, m := range c.members {
		s := &spots[m]
		a, h := c.unroll(s.Mean, middle)
		half := math.Sqrt(3 * max(s.Scatter.Form(c.Axis), 0) / s.N)
		arc = [2]float64{min(arc[0], a), max(arc[1], a)}
		height = [2]float64{min(height[0], h-half), max(height[1], h+half)}
	}
	return arc, height
}

// facet is the angle between two corners of an outline on a cylinder, rad.
const facet = math.Pi / 18

// rim is the outline of the seen part, counter-clockwise from outside.
func (c *column) rim(middle r3.Vec, arc, height [2]float64) []r3.Vec {
	n := int(math.Ceil((arc[1] - arc[0]) / facet))
	side := r3.Cross(c.Axis, middle)
	at := func(i int, h float64) r3.Vec {
		sin, cos := math.Sincos(arc[0] + (arc[1]-arc[0])*float64(i)/float64(n))
		out := r3.Add(r3.Scale(c.Radius*cos, middle), r3.Scale(c.Radius*sin, side))
		return r3.Add(c.Point, r3.Add(out, r3.Scale(h, c.Axis)))
	}
	var ring []r3.Vec
	for i := 0; i <= n; i++ {
		ring = append(ring, at(i, height[0]))
	}
	for i := n; i >= 0; i-- {
		ring = append(ring, at(i, height[1]))
	}
	return ring
}
