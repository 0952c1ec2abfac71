// Package judge holds a mapped scene against the truth of a simulated cell. It
// serves the trial tool and the tests of the main job.
package judge

import (
	"math"
	"slices"

	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// Verdict is how well one cell was mapped.
type Verdict struct {
	Missing  []string // objects of cell.yaml that are not in the scene
	Jaws     []Jaw
	Vises    []Vise
	Invented []string // vises and enclosures of the scene that are none
	Labels   []Label
	Doors    []Door
	Poses    []Pose
	Machines []Machine
	Planes   []Plane
	Space    Space
	States   States
}

// Cell compares a scene with its shop. wanted are the names in cell.yaml; points
// is how many places are tried of its space, 0 for none.
func Cell(s *scene.Scene, shop *fixtures.Shop, wanted []string, points int) Verdict {
	v := Fits(s, shop, wanted)
	if points > 0 {
		v.Space, v.States = covering(s, shop, points), ClearSpace(s, shop)
	}
	return v
}

// Fits compares what was fitted, and not the space that it takes.
func Fits(s *scene.Scene, shop *fixtures.Shop, wanted []string) Verdict {
	v := Verdict{Planes: planes(s, shop), Poses: poses(s, shop)}
	v.Machines, v.Invented = machines(s, shop)
	reached := shop.Reached(math.MaxInt)
	v.Labels, v.Invented = labels(s, shop, v.Machines, reached), append(v.Invented, invented(s, shop)...)
	for _, name := range wanted {
		truth, ok := shop.Truth.Object(name)
		found := object(s, name)
		switch {
		case !ok:
			continue
		case found == nil:
			v.Missing = append(v.Missing, name)
		case truth.Kind == "vise":
			v.Jaws = append(v.Jaws, jaw(found, truth))
		case truth.Opening != nil && found.Opening != nil:
			v.Doors = append(v.Doors, door(found, truth))
		}
	}
	v.Vises = vises(shop, v.Jaws, reached)
	return v
}

func object(s *scene.Scene, name string) *scene.Object {
	for i := range s.Objects {
		if s.Objects[i].Name == name {
			return &s.Objects[i]
		}
	}
	return nil
}

// Jaw is the error of a jaw datum, each entry in the jaw's own axes.
type Jaw struct {
	Name       string
	Shift      r3.Vec     // mm
	Turn       float64    // rad, the angle of the whole rotation error
	Opening    float64    // mm
	PerSigma   [6]float64 // error over stated sigma, base axes, translation first
	OpeningPer float64
}

func jaw(found *scene.Object, truth *fixtures.Object) Jaw {
	d := found.Pose.Minus(*truth.Pose)
	j := Jaw{
		Name:  truth.Name,
		Shift: truth.Pose.R.T().Apply(r3.Vec{X: d[0], Y: d[1], Z: d[2]}),
		Turn:  r3.Norm(r3.Vec{X: d[3], Y: d[4], Z: d[5]}),
	}
	m := found.Measures["opening_mm"]
	j.Opening = m.Value - truth.Measures["opening_mm"]
	j.OpeningPer = j.Opening / m.Sigma
	for i := range d {
		j.PerSigma[i] = d[i] / math.Sqrt(found.Cov[i][i])
	}
	return j
}

// Door is the error of an enclosure's opening, mm, edge by edge in the true
// datum: right and left (Y), bottom and top (Z); and over their stated sigmas.
// Edges that were only bounded have none.
type Door struct {
	Name     string
	Edges    [4]float64
	PerSigma [4]float64
	Measured bool // all four edges were
}

func door(found *scene.Object, truth *fixtures.Object) Door {
	trueFromFound := truth.Pose.Inverse().Mul(found.Pose)
	o, w := found.Opening, truth.Opening
	at := func(y, z float64) r3.Vec { return trueFromFound.Apply(r3.Vec{Y: y, Z: z}) }
	ym, zm := (o.YMin+o.YMax)/2, (o.ZMin+o.ZMax)/2
	d := Door{Name: truth.Name, Measured: o.Measured(), Edges: [4]float64{
		at(o.YMin, zm).Y - w.YMin, at(o.YMax, zm).Y - w.YMax,
		at(ym, o.ZMin).Z - w.ZMin, at(ym, o.ZMax).Z - w.ZMax,
	}}
	for i, e := range d.Edges {
		d.PerSigma[i] = e / o.Sigma[i]
	}
	return d
}

// Sigma is what edge k's error was held against, +Inf where it was only bounded.
func (d Door) Sigma(k int) float64 {
	if d.PerSigma[k] == 0 {
		return math.Inf(1)
	}
	return d.Edges[k] / d.PerSigma[k]
}

// Worst is the greatest of the four edges' errors, mm.
func (d Door) Worst() float64 {
	worst := 0.0
	for _, e := range d.Edges {
		worst = math.Max(worst, math.Abs(e))
	}
	return worst
}

// Plane is the error of one fitted plane, at the centre of its outline.
type Plane struct {
	Object, Face, Truth string
	Points              int
	Offset              float64 // mm
	Tilt                float64 // rad
	OffsetPer           float64 // over the stated sigma
	TiltPer             float64 // over the stated sigmas of both turns
}

// near is how far a fitted plane may lie from a true face and still be taken
// for it: nearer than any two parallel faces of the shop that look one way.
const (
	nearOffset = 15.0
	nearTilt   = 3 * math.Pi / 180
	nearRim    = 60.0
)

// planes compares every plane of every object with the true face that it lies
// on. Planes that lie on none are left out: space tells about them.
func planes(s *scene.Scene, shop *fixtures.Shop) []Plane {
	var out []Plane
	truth := trueFaces(shop)
	for _, o := range s.Objects {
		for i := range o.Faces {
			f := &o.Faces[i]
			if f.Cylinder != nil {
				continue
			}
			p := Plane{Object: o.Name, Face: f.Name, Points: f.Points, Offset: math.Inf(1)}
			for _, t := range truth {
				off, tilt, ok := against(f, t.Face)
				if ok && math.Abs(off) < math.Abs(p.Offset) {
					p.Truth, p.Offset, p.Tilt = t.name, off, tilt
					p.OffsetPer = off / math.Sqrt(f.Cov[0][0])
					p.TiltPer = tilt / math.Sqrt(f.Cov[1][1]+f.Cov[2][2])
				}
			}
			if !math.IsInf(p.Offset, 1) {
				out = append(out, p)
			}
		}
	}
	return out
}

// against is by how much a fitted plane is off a true face at its centre. It is of
// that face where its centre is on it, or a corner of its outline: the centre of a
// frame lies in the hole that it frames.
func against(f *fit.Face, face fixtures.Face) (offset, tilt float64, ok bool) {
	cos := r3.Dot(f.Plane.Normal, face.Plane.Normal)
	tilt = math.Acos(math.Min(1, cos))
	offset = face.Plane.Distance(f.Centre)
	if tilt >= nearTilt || math.Abs(offset) >= nearOffset {
		return offset, tilt, false
	}
	on := func(p r3.Vec) bool { return onFace(face, p, 0) }
	return offset, tilt, onFace(face, f.Centre, nearRim) || slices.ContainsFunc(f.Outline, on)
}

// onFace tells whether p's foot lies on the face or within rim of it.
func onFace(f fixtures.Face, p r3.Vec, rim float64) bool {
	for i, a := range f.Corners {
		along := r3.Unit(r3.Sub(f.Corners[(i+1)%4], a))
		inward := r3.Cross(f.Plane.Normal, along)
		if r3.Dot(inward, r3.Sub(p, a)) < -rim {
			return false
		}
	}
	return true
}
