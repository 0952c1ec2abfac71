package surface

import (
	"slices"

	"cellwall/mapping"
	"cellwall/mapping/cores"
	"cellwall/mapping/geom"
	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// face is a part of a region that hangs together, with its outline and its fit.
type face struct {
	region
	frame geom.Pose // of outer and holes
	outer []r2.Vec
	holes [][]r2.Vec
	fit   refined
}

// faces lays every region out, takes it apart and fits the parts.
func (f *field) faces(s sway) []face {
	parts := make([][]face, len(f.regions))
	cores.Each(len(f.regions), func(i int) { parts[i] = facesOf(f.spots, &f.regions[i], s) })
	return slices.Concat(parts...)
}

func facesOf(spots []spot, r *region, s sway) []face {
	sh := layOut(spots, r)
	depth := sh.depth()
	var out []face
	for k, part := range sh.split(spots, r) {
		if !part.sound() {
			continue
		}
		fc := face{region: part, frame: sh.frame}
		fc.outer, fc.holes = sh.outline(int32(k))
		c := flat.Centroid(fc.outer)
		centre := sh.frame.Apply(r3.Vec{X: c.X, Y: c.Y})
		fc.fit = refine(spots, inner(spots, &part, sh, depth), part.fit(), centre, s)
		out = append(out, fc)
	}
	return out
}

// innerShare is the least share of a part's points that the fit may rest on: a
// narrow strip keeps its rim, for nothing but rim is left of it.
const innerShare = 1.0 / 3

// inner are the voxels of a part that lie further from its rim than their own
// edge: at the rim a voxel holds points of what is beside, and the laser's spot
// lies half on each.
func inner(spots []spot, part *region, sh *sheet, depth []float32) []int32 {
	var out []int32
	var points float64
	for _, m := range part.members {
		if s := &spots[m]; depth[sh.at(s.in(sh.frame))] > s.edge {
			out = append(out, m)
			points += s.N
		}
	}
	if points < innerShare*part.points || len(out) < seedSpots {
		return slices.Clone(part.members)
	}
	return out
}

// report turns faces and columns into surfaces with their uncertainty.
func (f *field) report(faces []face, columns []column, expected sway, c *mapping.Cloud) []Surface {
	fits := make([]*refined, len(faces))
	for i := range faces {
		fits[i] = &faces[i].fit
	}
	effect := usual(fits)
	weigh, s := compare(fits, expected, c.PoseSigma > 0, len(c.Scans))
	weigh, s = weigh.after(c.Aligned), s.after(c.Aligned)
	out := make([]Surface, len(faces))
	cores.Each(len(faces), func(i int) { out[i] = faces[i].surface(f.spots, weigh, s, c.Mount) })
	for i := range columns {
		if r, ok := f.round(&columns[i], s, effect, c.Mount); ok {
			out = append(out, r)
		}
	}
	return out
}

// surface describes a face.
func (fc *face) surface(spots []spot, weigh, s sway, mount []mapping.Rigid) Surface {
	fit := &fc.fit
	planes := fit.planes()
	p := pool(planes, weigh)
	fit.move(p)
	out := Surface{
		Plane: fit.plane(), Centre: fit.frame.T, Area: netArea(fc.outer, fc.holes),
		RMS: fit.rms(spots), Budget: budget(&p, planes, s),
	}
	out.Budget.Mount = Cov3(mounts(fit.sights, fit.frame, mount))
	out.Cov = out.Budget.Total()
	onto := func(ring []r2.Vec) (r []r3.Vec) {
		for _, q := range ring {
			r = append(r, out.Plane.Foot(fc.frame.Apply(r3.Vec{X: q.X, Y: q.Y})))
		}
		return r
	}
	out.Outline = onto(fc.outer)
	for _, h := range fc.holes {
		out.Holes = append(out.Holes, onto(h))
	}
	for _, m := range fc.members {
		out.Voxels = append(out.Voxels, spots[m].voxel)
	}
	slices.Sort(out.Voxels)
	for k := range fit.sights {
		out.Scans = append(out.Scans, fit.sights[k].scan)
		out.Points += int(fit.sights[k].points)
	}
	slices.Sort(out.Scans)
	return out
}

// budget says what noise, sweeps and arm add to the covariance.
func budget(p *pooled, planes []plain, s sway) Budget {
	more := p.inflation()
	var arm mat3
	for k := range planes {
		arm = arm.plus(s.arm(&planes[k]).times(1 / float64(len(planes))))
	}
	return Budget{Noise: Cov3(p.noise.times(more)), Sweep: Cov3(p.sweep(planes, s).times(more)), Arm: Cov3(arm)}
}
