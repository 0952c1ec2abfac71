package moves

import (
	"math/rand/v2"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

// world draws maps of a small invented shop, straight from its true faces and the
// errors that they are said to have.
type world struct {
	*rand.Rand
	sweeps       []geom.Pose // how far each sweep of the map at hand is off
	shift, turn  float64     // of a sweep, one sigma, mm and rad
	noise, turns float64     // of a face alone
	floor, mill  geom.Pose   // where the room and the machine stand
	vise, leaf   geom.Pose   // in the machine
	noLeaf       bool
}

func newWorld(seed uint64) *world {
	return &world{
		Rand: rand.New(rand.NewPCG(seed, 1)), shift: .12, turn: 4e-5, noise: .04, turns: 5e-5,
		floor: geom.Identity(), mill: geom.Pose{R: geom.Exp(r3.Vec{Z: .2}), T: r3.Vec{X: 900, Y: 100, Z: -500}},
		vise: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 400, Z: 900}}, leaf: geom.Pose{R: geom.IdentityRot()},
	}
}

func (w *world) normal(s float64) r3.Vec {
	return r3.Vec{X: s * w.NormFloat64(), Y: s * w.NormFloat64(), Z: s * w.NormFloat64()}
}

// scans starts a new map of n sweeps.
func (w *world) scans(n int) {
	w.sweeps = nil
	for range n {
		w.sweeps = append(w.sweeps, geom.Pose{R: geom.Exp(w.normal(w.turn)), T: w.normal(w.shift)})
	}
}

// face is a rectangle, middle and half edges u x v in frame, as the sweeps have
// seen it: off as the mean of theirs and by its own noise.
func (w *world) face(name string, frame geom.Pose, middle, u, v r3.Vec, scans ...int32) fit.Face {
	var off geom.Pose
	n := 1 / float64(len(scans))
	var t, r r3.Vec
	for _, k := range scans {
		t, r = r3.Add(t, r3.Scale(n, w.sweeps[k].T)), r3.Add(r, r3.Scale(n, w.sweeps[k].R.Log()))
	}
	mid := frame.Apply(middle)
	off = rigid.About(r3.Vec{X: 500}, t, r)
	alone := rigid.About(mid, w.normal(w.noise), w.normal(w.turns))
	at := alone.Mul(off).Mul(frame)
	normal := at.R.Apply(r3.Unit(r3.Cross(u, v)))
	s := surface.Surface{Centre: at.Apply(middle), Area: 4 * r3.Norm(u) * r3.Norm(v), Points: 1000, RMS: .2, Scans: scans}
	s.Plane = geom.Plane{Normal: normal, Offset: r3.Dot(normal, s.Centre)}
	for _, c := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		s.Outline = append(s.Outline, at.Apply(r3.Add(middle, r3.Add(r3.Scale(c[0], u), r3.Scale(c[1], v)))))
	}
	own, a, b := s.Plane.Frame(s.Centre).R, w.shift*w.shift*n, w.turn*w.turn*n
	arm := r3.Sub(s.Centre, r3.Vec{X: 500})
	lever := r3.Cross(arm, normal)
	s.Budget.Noise = surface.Cov3{{w.noise * w.noise}, {1: w.turns * w.turns}, {2: w.turns * w.turns}}
	s.Budget.Sweep = surface.Cov3{
		{a + b*r3.Norm2(lever), b * r3.Dot(lever, own.Axis(0)), b * r3.Dot(lever, own.Axis(1))},
		{b * r3.Dot(lever, own.Axis(0)), b, 0}, {b * r3.Dot(lever, own.Axis(1)), 0, b},
	}
	s.Cov = s.Budget.Total()
	return fit.Face{Name: name, Surface: s}
}

// object has a datum at frame, as well known as the sweeps let it.
func (w *world) object(name string, kind fit.Kind, inside string, frame geom.Pose, faces ...fit.Face) scene.Object {
	o := scene.Object{Object: fit.Object{Name: name, Kind: kind, Inside: inside, Pose: frame, Faces: faces}}
	for i := range 3 {
		o.Cov[i][i], o.Cov[i+3][i+3] = .02, 1e-8
	}
	d := [6]float64{}
	for i := range 3 {
		d[i], d[i+3] = .1414*w.NormFloat64(), 1e-4*w.NormFloat64()
	}
	o.Pose = frame.Perturb(d)
	return o
}

var x, y, z = r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}

func by(s float64, v r3.Vec) r3.Vec { return r3.Scale(s, v) }

// room is floor and two walls.
func (w *world) room(scans ...int32) []scene.Object {
	f := w.floor
	return []scene.Object{
		w.object("floor", fit.Floor, "", f, w.face("floor", f, r3.Vec{X: 300, Z: -500}, by(1500, x), by(1500, y), scans...)),
		w.object("wall-1", fit.Wall, "", f, w.face("face", f, r3.Vec{Y: 2000, Z: 300}, by(1800, x), by(700, z), scans...)),
		w.object("wall-2", fit.Wall, "", f, w.face("face", f, r3.Vec{X: -1800, Z: 300}, by(1500, y), by(700, z), scans...)),
	}
}

// machine is a front with its sides, back, table, a door leaf, and a vise.
func (w *world) machine(scans ...int32) []scene.Object {
	m := w.mill
	faces := []fit.Face{
		w.face("front", m, r3.Vec{Z: 1000}, by(-700, y), by(900, z), scans...),
		w.face("left-inside", m, r3.Vec{X: 600, Y: 690, Z: 1300}, by(500, x), by(500, z), scans...),
		w.face("right-inside", m, r3.Vec{X: 600, Y: -690, Z: 1300}, by(-500, x), by(500, z), scans...),
		w.face("back-inside", m, r3.Vec{X: 1200, Z: 1300}, by(-600, y), by(500, z), scans...),
		w.face("part-1", m, r3.Vec{X: 400, Z: 800}, by(200, x), by(450, y), scans...),
	}
	if !w.noLeaf {
		faces = append(faces, w.face("part-2", m.Mul(w.leaf), r3.Vec{X: -40, Y: -500, Z: 1200}, by(-180, y), by(400, z), scans...))
	}
	at := m.Mul(w.vise)
	return []scene.Object{
		w.object("mill", fit.Enclosure, "", m, faces...),
		w.object("vise", fit.Vise, "mill", at),
	}
}

// mapped is a map of the whole shop by n sweeps.
func (w *world) mapped(n int) *scene.Scene {
	w.scans(n)
	all := make([]int32, n)
	for i := range all {
		all[i] = int32(i)
	}
	return &scene.Scene{Objects: append(w.room(all...), w.machine(all...)...)}
}
