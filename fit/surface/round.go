package surface

import (
	"math"
	"slices"

	"cellwall/fit/surface/shape"
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
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
	sights := f.sightsOf(c.members)
	cov.ScaleSym(usual*noiseShare(sights), cov)
	var squares float64
	for _, m := range c.members {
		sp := &f.spots[m]
		dist := c.Spread(sp.Moments)
		squares += sp.N * dist * dist
		out.Points += int(sp.N)
		out.Voxels = append(out.Voxels, sp.voxel)
	}
	slices.Sort(out.Voxels)
	for i := range sights {
		out.Scans = append(out.Scans, sights[i].scan)
	}
	slices.Sort(out.Scans)
	out.RMS = math.Sqrt(squares / float64(out.Points))
	out.Budget = columnBudget(c, sights, pl.Frame(centre), cov, reach, s)
	out.Budget.Mount = Cov3(mounts(sights, pl.Frame(centre), mount))
	out.Cov = out.Budget.Total()
	out.Cylinder = &Cylinder{
		Point: c.Point, Axis: c.Axis, Radius: c.Radius, Length: height[1] - height[0],
		SigmaRadius: math.Sqrt(cov.At(4, 4) + radiusSway(sights, out.Budget.Sweep)),
	}
	return out, true
}

// noiseShare is the part of the weights' variance that noise makes up; the rest
// is there for what sweeps differ by.
func noiseShare(sights []sight) float64 {
	var noise, all float64
	for i := range sights {
		noise += sights[i].noisy.N
		all += sights[i].weighed.N
	}
	return noise / all
}

// radiusSway is the variance that sweeps give a radius: one sweep carries the
// whole cylinder along and leaves its radius; several pull at different sides of
// it, by what the surface is uncertain.
func radiusSway(sights []sight, sweep Cov3) float64 {
	if len(sights) < 2 {
		return 0
	}
	return sweep[0][0]
}

// columnBudget is the budget of the tangent plane; sweeps count alike.
func columnBudget(c *column, sights []sight, frame geom.Pose, cov *mat.SymDense, reach float64, s sway) Budget {
	j := c.tangent(frame, reach)
	var jc, noise mat.Dense
	jc.Mul(j, cov)
	noise.Mul(&jc, j.T())
	var b Budget
	n := float64(len(sights))
	for i := range 3 {
		for k := range 3 {
			b.Noise[i][k] = noise.At(i, k)
		}
	}
	for i := range sights {
		p := sights[i].plane(frame, 1)
		b.Sweep = Cov3(mat3(b.Sweep).plus(s.of(&p).times(1 / (n * n))))
		b.Arm = Cov3(mat3(b.Arm).plus(s.arm(&p).times(1 / n)))
	}
	return b
}

// sightsOf sums up what each sweep saw of the members.
func (f *field) sightsOf(members []int32) []sight {
	var out []sight
	for _, m := range members {
		s := &f.spots[m]
		k := slices.IndexFunc(out, func(g sight) bool { return g.scan == s.scan })
		if k < 0 {
			k = len(out)
			out = append(out, sight{scan: s.scan})
		}
		out[k].add(s, 1/s.variance(), s.noise)
	}
	return out
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
