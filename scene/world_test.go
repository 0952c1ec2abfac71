package scene

import (
	"math"
	"testing"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"
	"cellwall/scene/solid"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r3"
)

// world is a small invented cloud: flat patches of voxels, each seen from one
// eye.
type world struct {
	cloud mapping.Cloud
	found fit.Findings

	states *space.States // nil: not known
}

// pitch of a patch's voxels, mm.
const pitch = 20.0

// patch adds the voxels of a rectangle and returns it as a surface: corner, two
// edges, the normal toward edges' cross product. Where leave says so a place has
// no voxel.
func (w *world) patch(corner, u, v, eye r3.Vec, leave func(a, b float64) bool) surface.Surface {
	n := r3.Unit(r3.Cross(u, v))
	s := surface.Surface{
		Plane:  geom.Plane{Normal: n, Offset: r3.Dot(n, corner)},
		Centre: r3.Add(corner, r3.Scale(.5, r3.Add(u, v))),
		Outline: []r3.Vec{
			corner, r3.Add(corner, u), r3.Add(corner, r3.Add(u, v)), r3.Add(corner, v),
		},
		Area: r3.Norm(u) * r3.Norm(v), RMS: 0.2, Scans: []int32{0}, Points: 100,
	}
	nu, nv := int(r3.Norm(u)/pitch), int(r3.Norm(v)/pitch)
	for i := range nu {
		for j := range nv {
			a, b := (float64(i)+.5)*pitch, (float64(j)+.5)*pitch
			if leave != nil && leave(a, b) {
				continue
			}
			p := r3.Add(corner, r3.Add(r3.Scale(a, r3.Unit(u)), r3.Scale(b, r3.Unit(v))))
			s.Voxels = append(s.Voxels, w.voxel(p, 9, eye))
		}
	}
	return s
}

// voxel adds one whose points lie within half of p, in a cube.
func (w *world) voxel(p r3.Vec, half float64, eye r3.Vec) int32 {
	h := r3.Vec{X: half, Y: half, Z: half}
	d := r3.Sub(eye, p)
	w.cloud.Voxels = append(w.cloud.Voxels, mapping.Voxel{
		Moments: geom.Moments{N: 10, Mean: p}, Edge: pitch, Toward: r3.Unit(d), Range: r3.Norm(d),
		Bounds: geom.Bounds{Min: r3.Sub(p, h), Max: r3.Add(p, h)},
	})
	return int32(len(w.cloud.Voxels) - 1)
}

// object adds one with the given faces.
func (w *world) object(kind fit.Kind, faces ...surface.Surface) *fit.Object {
	o := fit.Object{Name: string(kind), Kind: kind, Pose: geom.Identity()}
	for _, s := range faces {
		o.Faces = append(o.Faces, fit.Face{Name: "face", Surface: s})
	}
	w.found.Objects = append(w.found.Objects, o)
	return &w.found.Objects[len(w.found.Objects)-1]
}

func (w *world) build(t *testing.T) *Scene {
	t.Helper()
	w.cloud.Scans = []string{"scan"}
	c := &cell.Cell{Name: "invented", Scene: cell.Scene{Margin: 20, Behind: 50, UnseenVoxel: 40}}
	s, err := build(c, &w.cloud, &w.found, w.states)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// blocked tells whether a grown solid of the scene holds p.
func (s *Scene) blocked(p r3.Vec) bool {
	for _, o := range s.Objects {
		for _, x := range o.Solids {
			if x.Contains(p, o.Margin) {
				return true
			}
		}
	}
	return false
}

// checkHeld looks at every voxel's corners without any index.
func (w *world) checkHeld(t *testing.T, s *Scene) {
	t.Helper()
	for i := range w.cloud.Voxels {
		b := w.cloud.Voxels[i].Bounds
		for k := range 8 {
			c := b.Min
			if k&1 != 0 {
				c.X = b.Max.X
			}
			if k&2 != 0 {
				c.Y = b.Max.Y
			}
			if k&4 != 0 {
				c.Z = b.Max.Z
			}
			if !s.blocked(c) {
				t.Fatalf("a corner of voxel %d at %v lies outside the scene", i, c)
			}
		}
	}
}

func object(t *testing.T, s *Scene, kind fit.Kind) *Object {
	t.Helper()
	for i := range s.Objects {
		if s.Objects[i].Kind == kind {
			return &s.Objects[i]
		}
	}
	t.Fatalf("there is no %s", kind)
	return nil
}

func volume(solids []solid.Solid) float64 {
	var v float64
	for _, s := range solids {
		v += s.Volume()
	}
	return v
}

func closeTo(a, b, slack float64) bool { return math.Abs(a-b) <= slack }
