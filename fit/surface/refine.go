package surface

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// refined is a plane being fitted to voxels, sweep by sweep.
type refined struct {
	frame   geom.Pose // baseFromSurface: origin at the centre, Z along the normal
	members []int32   // the spots that the fit rests on
	slot    []int32   // of each member: its sight
	sights  []sight
	own     []vec3   // each sweep's plane, as far as its points tell, in the frame
	design  []design // of each sight
}

// trims is how often a plane is fitted: to all members, then without the strays
// that this shows, then once more, for without them the plane lies elsewhere and
// others may be strays.
const trims = 3

// refine fits a plane through centre to the members. What lies further off its
// own sweep's plane than three times what is usual is left out; sweeps may
// sway by s.
func refine(spots []spot, members []int32, pl geom.Plane, centre r3.Vec, s sway) refined {
	f := refined{frame: pl.Frame(centre), members: members}
	for i := range trims {
		if i > 0 {
			f.trim(spots)
		}
		f.line(spots)
		f.gather(spots)
		f.move(pool(f.planes(), s))
	}
	f.judge(spots)
	return f
}

// line gives every member its sight and every sweep a sight.
func (f *refined) line(spots []spot) {
	at := map[int32]int32{}
	f.slot, f.sights = make([]int32, len(f.members)), nil
	for i, m := range f.members {
		scan := spots[m].scan
		k, ok := at[scan]
		if !ok {
			k = int32(len(f.sights))
			at[scan] = k
			f.sights = append(f.sights, sight{scan: scan})
		}
		f.slot[i] = k
	}
	f.own = make([]vec3, len(f.sights))
	f.design = make([]design, len(f.sights))
}

// gather sums up what each sweep saw.
func (f *refined) gather(spots []spot) {
	n := f.frame.R.Axis(2)
	for i, m := range f.members {
		s := &spots[m]
		f.sights[f.slot[i]].add(s, 1/s.across(n), s.noiseAcross(n))
	}
}

// planes solves for each sweep's own plane.
func (f *refined) planes() []plain {
	out := make([]plain, len(f.sights))
	for k := range f.sights {
		out[k] = f.sights[k].plane(f.frame, f.design[k].effect())
	}
	return out
}

// move carries the frame to the plane that was solved for.
func (f *refined) move(p pooled) {
	f.frame = moved(f.frame, p.at)
	for k := range f.own {
		f.own[k] = p.own[k].minus(p.at)
	}
}

// moved is the frame of the plane with parameters p in the frame.
func moved(frame geom.Pose, p vec3) geom.Pose {
	u, v, n := frame.R.Axis(0), frame.R.Axis(1), frame.R.Axis(2)
	at := r3.Add(frame.T, r3.Scale(p[0], n))
	n = r3.Unit(r3.Add(n, r3.Sub(r3.Scale(p[2], u), r3.Scale(p[1], v))))
	return geom.Plane{Normal: n, Offset: r3.Dot(n, at)}.Frame(at)
}

// plane of the frame.
func (f *refined) plane() geom.Plane {
	n := f.frame.R.Axis(2)
	return geom.Plane{Normal: n, Offset: r3.Dot(n, f.frame.T)}
}

// residual of member i's mean about its sweep's plane, mm, and where it lies.
func (f *refined) residual(spots []spot, i int) (r float64, x vec3) {
	p := f.frame.R.T().Apply(r3.Sub(spots[f.members[i]].Mean, f.frame.T))
	x = vec3{1, p.Y, -p.X}
	return p.Z - x.dot(f.own[f.slot[i]]), x
}

// trim leaves out the members whose mean lies more than three times as far off
// as the points do, root mean square, each over its standard deviation. The
// points tell what is usual and not the means, which lie closer: where a voxel's
// wall cuts the noise's tail off into a voxel of its own, a tighter limit would
// take that side's tail alone and shift the plane.
func (f *refined) trim(spots []spot) {
	squares := make([]float64, len(f.members))
	var sum, points float64
	n := f.frame.R.Axis(2)
	for i, m := range f.members {
		r, _ := f.residual(spots, i)
		v := spots[m].across(n)
		squares[i] = r * r / v
		sum += spots[m].N*squares[i] + spots[m].Scatter.Form(n)/v
		points += spots[m].N
	}
	limit := within * within * sum / points
	kept := f.members[:0]
	for i, m := range f.members {
		if squares[i] <= limit {
			kept = append(kept, m)
		}
	}
	f.members = kept
}

// rms of all the points about the plane, mm.
func (f *refined) rms(spots []spot) float64 {
	pl := f.plane()
	var sum, points float64
	for _, m := range f.members {
		sum += spots[m].SquaresTo(pl)
		points += spots[m].N
	}
	return math.Sqrt(max(sum, 0) / points) // rounding may leave an exact plane below zero
}
