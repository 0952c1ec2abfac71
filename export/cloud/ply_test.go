package cloud

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// voxel holds five points round a centre: four in a level square of 4 mm and
// the centre itself.
func voxel(centre r3.Vec, scan int32) mapping.Voxel {
	v := mapping.Voxel{Scan: scan, Toward: r3.Vec{Z: 1}, Range: 1000}
	for _, d := range []r3.Vec{{}, {X: 2, Y: 2}, {X: -2, Y: 2}, {X: -2, Y: -2}, {X: 2, Y: -2}} {
		v.Add(r3.Add(centre, d), 1)
	}
	return v
}

// sample has a floor at z = 100 that claims voxel 0, a post about the Z axis
// that claims voxel 1, a block round voxel 2, a voxel in the open, and one of a
// single point.
func sample() (*mapping.Cloud, *scene.Scene) {
	lone := mapping.Voxel{Scan: 1, Toward: r3.Vec{Z: 1}, Range: 1000}
	lone.Add(r3.Vec{X: 9000}, 1)
	c := &mapping.Cloud{Scans: []string{"swing", "pass\n2"}, Voxels: []mapping.Voxel{
		voxel(r3.Vec{X: 10, Y: 20, Z: 100.5}, 0), voxel(r3.Vec{X: 53, Z: 700}, 1), voxel(r3.Vec{X: 2000, Z: 25}, 0), voxel(r3.Vec{X: 5000, Y: 5000}, 1), lone,
	}}
	floor := surface.Surface{Plane: geom.Plane{Normal: r3.Vec{Z: 1}, Offset: 100}, Voxels: []int32{0}}
	side := surface.Surface{
		Plane: geom.Plane{Normal: r3.Vec{X: 1}, Offset: 50}, Centre: r3.Vec{X: 50},
		Cylinder: &surface.Cylinder{Axis: r3.Vec{Z: 1}, Radius: 50}, Voxels: []int32{1},
	}
	box := solid.Box{Box: geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 2000}}, Size: r3.Vec{X: 20, Y: 20, Z: 20}}}
	return c, &scene.Scene{Cell: "Zelle Ä", Objects: []scene.Object{
		{Object: fit.Object{Name: "floor", Faces: []fit.Face{{Surface: floor}}}},
		{Object: fit.Object{Name: "post-1", Faces: []fit.Face{{Surface: side}}}},
		{Object: fit.Object{Name: "block-1"}, Solids: []solid.Solid{box}, Margin: 20},
	}}
}

func TestAssign(t *testing.T) {
	c, s := sample()
	nan := math.NaN()
	want := []point{
		{at: r3.Vec{X: 10, Y: 20, Z: 100.5}, normal: r3.Vec{Z: 1}, residual: 0.5, object: 0, scan: 0, merged: 5},
		{at: r3.Vec{X: 53, Z: 700}, normal: r3.Vec{X: 1}, residual: 3, object: 1, scan: 1, merged: 5},
		{at: r3.Vec{X: 2000, Z: 25}, normal: r3.Vec{Z: 1}, residual: nan, object: 2, scan: 0, merged: 5}, // in the margin only
		{at: r3.Vec{X: 5000, Y: 5000}, normal: r3.Vec{Z: 1}, residual: nan, object: none, scan: 1, merged: 5},
		{at: r3.Vec{X: 9000}, residual: nan, object: none, scan: 1, merged: 1},
	}
	for i, got := range assign(c, s) {
		w := want[i]
		sameResidual := math.Abs(got.residual-w.residual) < 1e-9 || math.IsNaN(got.residual) && math.IsNaN(w.residual)
		if r3.Norm(r3.Sub(got.at, w.at)) > 1e-9 || r3.Norm(r3.Sub(got.normal, w.normal)) > 1e-9 || !sameResidual ||
			got.object != w.object || got.scan != w.scan || got.merged != w.merged {
			t.Errorf("voxel %d: %+v, want %+v", i, got, w)
		}
	}
}

// The same post seen from within, as a pipe.
func TestCylinderSeenFromWithin(t *testing.T) {
	f := surface.Surface{
		Plane: geom.Plane{Normal: r3.Vec{X: -1}, Offset: -50}, Centre: r3.Vec{X: 50},
		Cylinder: &surface.Cylinder{Axis: r3.Vec{Z: 1}, Radius: 50},
	}
	n, d := round(&f, r3.Vec{Y: 53, Z: 7})
	if r3.Norm(r3.Sub(n, r3.Vec{Y: -1})) > 1e-12 || math.Abs(d+3) > 1e-12 {
		t.Errorf("normal %v, residual %g", n, d)
	}
}

// The layout is that of PLY 1.0 (Turk, 1994): a header of ASCII lines, then
// rows of fixed size.
func TestWrite(t *testing.T) {
	c, s := sample()
	dir := t.TempDir()
	if err := Write(dir, c, s); err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(filepath.Join(dir, File))
	if err != nil {
		t.Fatal(err)
	}
	head, body, ok := bytes.Cut(b, []byte("end_header\n"))
	if !ok || !bytes.HasPrefix(b, []byte("ply\nformat binary_little_endian 1.0\n")) {
		t.Fatalf("header:\n%s", head)
	}
	if bytes.ContainsFunc(head, func(r rune) bool { return r > '~' || r < ' ' && r != '\n' }) {
		t.Error("the header is not ASCII")
	}
	for _, want := range []string{"element vertex 5\n", `comment object 0: "floor"` + "\n", `comment scan 1: "pass\n2"` + "\n", "comment object -1: none\n", "mm"} {
		if !strings.Contains(string(head), want) {
			t.Errorf("the header lacks %q", want)
		}
	}
	if len(body) != 5*rowSize {
		t.Fatalf("%d bytes of points, want %d", len(body), 5*rowSize)
	}
	if z := math.Float32frombits(binary.LittleEndian.Uint32(body[8:])); z != 100.5 {
		t.Errorf("z of the first point is %g, want 100.5", z)
	}
	if o := int32(binary.LittleEndian.Uint32(body[3*rowSize+28:])); o != none {
		t.Errorf("object of the fourth point is %d, want %d", o, none)
	}
}
