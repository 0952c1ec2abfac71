package glb

import (
	"bytes"
	"math"
	"testing"

	"cellwall/export/extent"
	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"github.com/qmuntal/gltf"
	"github.com/qmuntal/gltf/modeler"
	"gonum.org/v1/gonum/spatial/r3"
)

// A box about its datum has its corners at plus and minus half its size in
// metres, and its node stands at the datum.
func TestNodeIsTheDatum(t *testing.T) {
	at := geom.Pose{R: geom.RotFromRPY(0, 0, math.Pi/2), T: r3.Vec{X: 1200, Y: -300, Z: 400}}
	s := &scene.Scene{Cell: "cell", Objects: []scene.Object{{
		Object: fit.Object{Name: "bench", Kind: fit.Table, Pose: at}, Margin: 10,
		Solids: []solid.Solid{solid.Box{Box: geom.Box{Pose: at, Size: r3.Vec{X: 300, Y: 200, Z: 100}}}},
	}}}
	var b bytes.Buffer
	if err := Write(&b, s, extent.Grown); err != nil {
		t.Fatal(err)
	}
	// GLB starts with its magic and version 2 (glTF 2.0, 4.4.2).
	if !bytes.HasPrefix(b.Bytes(), []byte("glTF\x02\x00\x00\x00")) {
		t.Errorf("the file starts with %q", b.Bytes()[:8])
	}
	var d gltf.Document
	if err := gltf.NewDecoder(&b).Decode(&d); err != nil {
		t.Fatal(err)
	}
	n := d.Nodes[1]
	if n.Name != "bench" || n.Translation != [3]float64{1.2, -0.3, 0.4} {
		t.Errorf("node %q at %v", n.Name, n.Translation)
	}
	if q := n.Rotation; math.Abs(q[2]-math.Sqrt2/2) > 1e-9 || math.Abs(q[3]-math.Sqrt2/2) > 1e-9 { // x, y, z, w
		t.Errorf("turned by %v, want 90 degrees about Z", q)
	}
	p := d.Meshes[*n.Mesh].Primitives[0]
	corners, err := modeler.ReadPosition(&d, d.Accessors[p.Attributes[gltf.POSITION]], nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range corners {
		for i, half := range [3]float64{0.16, 0.11, 0.06} {
			if math.Abs(math.Abs(float64(c[i]))-half) > 1e-6 {
				t.Errorf("corner %v, want %g along axis %d", c, half, i)
			}
		}
	}
}

// IEC 61966-2-1: black and white stay, middle grey 0x80 is 0.2159 (from memory).
func TestLinear(t *testing.T) {
	if got := linear(0, 255, 0x80); got[0] != 0 || got[1] != 1 || math.Abs(got[2]-0.2159) > 1e-4 || got[3] != 1 {
		t.Errorf("%v", got)
	}
}
