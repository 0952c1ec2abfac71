package fit

import (
	"math"
	"sync"
	"testing"

	"cellwall/fit/surface"
	"cellwall/fixtures"
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// flatFloor is baseFromFloor: 600 mm below the base, tilted by half a degree.
var flatFloor = geom.Pose{R: geom.RotFromRPY(0.006, -0.007, 0), T: r3.Vec{Z: -600}}

// standing is baseFromThing of a thing that stands on the floor at x, y.
func standing(x, y, yaw float64) geom.Pose {
	return flatFloor.Mul(geom.Pose{R: geom.Exp(r3.Vec{Z: yaw}), T: r3.Vec{X: x, Y: y}})
}

// hall is a room with floor and two walls.
func hall(seed uint64) *room {
	w := newRoom(seed)
	w.box(flatFloor, -4000, -4000, -100, 8000, 8000, 100)
	w.box(flatFloor, -2200, -4000, 0, 100, 8000, 3000)
	w.box(flatFloor, -4000, 2400, 0, 8000, 100, 3000)
	return w
}

// mill is a machine of sheet metal with an opening in its front, in the datum of
// DESIGN.md section 3.
type mill struct {
	width, depth, height float64
	door                 Opening
	openFront            bool    // no front but a frame of tubes
	sidesOnly            bool    // not even that: the sides end in front
	slope                float64 // of the front alone about its lower edge: the top away from the viewer
	windows              bool    // in the left side and in the back, 500 mm square
}

var plainMill = mill{width: 1500, depth: 1200, height: 2000, door: Opening{YMin: -350, YMax: 390, ZMin: 780, ZMax: 1600}}

const sheetThick = 3.0

// stand puts the machine at baseFromDatum.
func (m mill) stand(w *room, at geom.Pose) {
	w.keeps = true
	h, t := m.width/2, sheetThick
	d := m.door
	if m.openFront {
		const tube = 60
		d = Opening{YMin: -h + tube, YMax: h - tube, ZMin: 700, ZMax: m.height - tube}
	}
	front := m.datum(at)
	if !m.sidesOnly {
		w.box(front, 0, -h, 0, t, d.YMin+h, m.height)
		w.box(front, 0, d.YMax, 0, t, h-d.YMax, m.height)
		w.box(front, 0, d.YMin, 0, t, d.YMax-d.YMin, d.ZMin)
		w.box(front, 0, d.YMin, d.ZMax, t, d.YMax-d.YMin, m.height-d.ZMax)
	}
	x := t + m.height*math.Sin(m.slope) // a sloping front leaves a wedge open on either side
	w.box(at, x, -h, 0, m.depth-x, t, m.height)
	if m.windows {
		w.pierced(at, r3.Vec{X: x, Y: h - t}, r3.Vec{X: m.depth - x, Y: t, Z: m.height}, r3.Vec{X: 400, Z: 900})
		w.pierced(at, r3.Vec{X: m.depth - t, Y: -h}, r3.Vec{X: t, Y: m.width, Z: m.height}, r3.Vec{Y: 200, Z: 900})
	} else {
		w.box(at, x, h-t, 0, m.depth-x, t, m.height)
		w.box(at, m.depth-t, -h, 0, t, m.width, m.height)
	}
	w.box(at, x, -h+t, m.height-t, m.depth-x-t, m.width-2*t, t)
	w.box(at, 300, -400, 0, 400, 800, 820) // the machine's table
}

// pierced is an upright sheet from corner, of some size, with a window of 500 mm
// square that begins at from, counted from the corner.
func (w *room) pierced(at geom.Pose, corner, size, from r3.Vec) {
	const wide = 500
	along, start := r3.Vec{X: 1}, from.X
	if size.Y > size.X {
		along, start = r3.Vec{Y: 1}, from.Y
	}
	length := r3.Dot(along, size)
	piece := func(lo, hi, bottom, top float64) {
		p := r3.Add(corner, r3.Add(r3.Scale(lo, along), r3.Vec{Z: bottom}))
		q := r3.Add(r3.Sub(size, r3.Scale(length-hi+lo, along)), r3.Vec{Z: top - bottom - size.Z})
		w.box(at, p.X, p.Y, p.Z, q.X, q.Y, q.Z)
	}
	piece(0, length, 0, from.Z)
	piece(0, length, from.Z+wide, size.Z)
	piece(0, start, from.Z, from.Z+wide)
	piece(start+wide, length, from.Z, from.Z+wide)
}

// datum is the machine's datum, which leans with its front.
func (m mill) datum(at geom.Pose) geom.Pose {
	return at.Mul(geom.Pose{R: geom.Exp(r3.Vec{Y: m.slope})})
}

// bench is a table with four legs, in its datum on the floor: the middle of its
// footprint.
func bench(w *room, at geom.Pose, length, width, height float64) {
	const leg, board = 60, 40
	w.box(at, -length/2, -width/2, height-board, length, width, board)
	for _, sx := range [2]float64{-1, 1} {
		for _, sy := range [2]float64{-1, 1} {
			x, y := sx*(length/2-80)-leg/2, sy*(width/2-60)-leg/2
			w.box(at, x, y, 0, leg, leg, height-board)
		}
	}
}

// pillar is a round post.
func pillar(w *room, at geom.Pose, radius, height float64) {
	w.shapes = append(w.shapes, fixtures.Cylinder{From: at.T, To: at.Apply(r3.Vec{Z: height}), Radius: radius})
}

// deg is an angle in degrees.
func deg(rad float64) float64 { return rad * 180 / math.Pi }

// surveyed looks at a room and finds its surfaces, the floor taken.
func surveyed(w *room) *survey { return surveyedBy(w.look(swings, 400, 260)) }

// surveyedAt is the same from closer lines, for one side of the room.
func surveyedAt(w *room, azimuth float64) *survey { return surveyedBy(w.look(toward(azimuth))) }

func surveyedBy(c *mapping.Cloud) *survey {
	s := newSurvey(c, surface.Find(c))
	s.findFloor()
	return s
}

// The shop that several tests look at: a mill, a bench, a pillar and a cabinet.
// Each test deals with a survey of its own, for objects take surfaces.
var (
	millAt    = standing(900, -100, 0.2)
	benchAt   = standing(-200, 1400, 0.1)
	cabinetAt = standing(-1300, -900, 0.15)
	pillarAt  = standing(-1000, 1100, 0)

	shopOnce sync.Once
	shopSeen *survey
)

func shop() *survey {
	shopOnce.Do(func() {
		w := hall(1)
		plainMill.stand(w, millAt)
		bench(w, benchAt, 1200, 600, 800)
		pillar(w, pillarAt, 150, 2800)
		w.box(cabinetAt, -400, -250, 0, 800, 500, 1500)
		shopSeen = surveyed(w)
	})
	s := shopSeen.again()
	s.findFloor()
	return s
}

// again is a survey of the same surfaces with none dealt out.
func (s *survey) again() *survey { return newSurvey(s.cloud, s.surfaces) }

// slow skips a test that looks at a room of its own in the short run, which looks
// for races: all these tests run the same code.
func slow(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("looks at a room of its own")
	}
	t.Parallel()
}

// within fails the test where got is further than tol from want.
func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.3f, want %.3f within %.3f", what, got, want, tol)
	}
}

// sameWithin holds a value to the truth by its own sigma, and the sigma to a
// bound, so that neither a wrong value nor a boastful or empty sigma passes.
func sameWithin(t *testing.T, what string, m Measure, want, most float64) {
	t.Helper()
	if !(math.Abs(m.Value-want) <= 3*m.Sigma) || !(m.Sigma <= most) {
		t.Errorf("%s: %.2f with sigma %.2f, true %.2f, sigma at most %.2f", what, m.Value, m.Sigma, want, most)
	}
}
