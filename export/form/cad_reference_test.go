//go:build reference

package form

import (
	"encoding/json"
	"math"
	"os/exec"
	"testing"

	"cellwall/export/extent"
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

const debianPython = "/usr/bin/python3" // Debian's own, which sees Debian's modules

// python runs a script on a file and decodes the JSON that it prints; it skips
// the test where the module is not installed.
func python(t *testing.T, module, script, path string, into any) {
	t.Helper()
	if err := exec.Command(debianPython, "-c", "import "+module).Run(); err != nil {
		t.Skipf("%s is not installed (Debian: python3-%s)", module, module)
	}
	raw, err := exec.Command(debianPython, "-c", script, path).Output()
	if err != nil {
		t.Fatalf("%s does not take the file: %v\n%s", module, err, raw)
	}
	if err := json.Unmarshal(raw, into); err != nil {
		t.Fatalf("%v\n%s", err, raw)
	}
}

// body is a solid as a reader sees it, mm.
type body struct {
	Volume   float64
	Faces    int
	Min, Max [3]float64
	Centre   [3]float64
}

// readSTEP has Gmsh 4.8, whose STEP reader is that of Open CASCADE 7.6 (Debian
// package python3-gmsh), measure every solid. A kernel measures a volume only
// where the faces close, and gets its sign from their sense.
const readSTEP = `
import gmsh, json, sys
gmsh.initialize()
gmsh.option.setNumber("General.Terminal", 0)
gmsh.option.setString("Geometry.OCCTargetUnit", "MM")
shapes = gmsh.model.occ.importShapes(sys.argv[1])
gmsh.model.occ.synchronize()
out = []
for dim, tag in shapes:
    assert dim == 3
    box = gmsh.model.occ.getBoundingBox(dim, tag)
    out.append({"volume": gmsh.model.occ.getMass(dim, tag), "faces": len(gmsh.model.getBoundary([(dim, tag)])),
                "min": box[:3], "max": box[3:], "centre": gmsh.model.occ.getCenterOfMass(dim, tag)})
print(json.dumps(out))
`

func TestSTEPAgainstOpenCASCADE(t *testing.T) {
	s := sample(t)
	for _, e := range extent.All {
		var read []body
		python(t, "gmsh", readSTEP, write(t, "step", s, e), &read)
		var want []body
		var hulls []bool
		for i := range s.Objects {
			for _, x := range s.Objects[i].Solids {
				_, hull := x.(*solid.Hull)
				hulls = append(hulls, hull)
				want = append(want, exact(x, e.Margin(&s.Objects[i])))
			}
		}
		if len(read) != len(want) {
			t.Fatalf("%d solids were read, want %d", len(read), len(want))
		}
		for i, w := range want {
			got := read[i]
			// A hull's triangles may lie in one plane, and are one face then.
			if math.Abs(got.Volume-w.Volume) > 1e-6*w.Volume || got.Faces > w.Faces || got.Faces < w.Faces && !hulls[i] {
				t.Errorf("%v, solid %d: %g mm^3 in %d faces, want %g in %d", e, i, got.Volume, got.Faces, w.Volume, w.Faces)
			}
			for k := range 3 { // boxes of curved solids are wider there by the reader's own allowance
				off := max(math.Abs(got.Min[k]-w.Min[k]), math.Abs(got.Max[k]-w.Max[k]))
				if off > 1e-2 || math.Abs(got.Centre[k]-w.Centre[k]) > near {
					t.Errorf("%v, solid %d: box %v %v about %v, want %v %v about %v", e, i, got.Min, got.Max, got.Centre, w.Min, w.Max, w.Centre)
					break
				}
			}
		}
	}
}

// exact is what a solid measures. A cylinder's formula is its own, the others'
// meshes are exact.
func exact(x solid.Solid, margin float64) body {
	if c, ok := x.(solid.Cylinder); ok {
		r, h := c.Radius+margin, c.Height+2*margin
		return bodyOf(math.Pi*r*r*h, 3, c.Bounds(margin), c.Centre)
	}
	m := x.Mesh(margin)
	faces := len(m.Faces)
	switch x := x.(type) {
	case solid.Box:
		faces = 6
	case *solid.Prism:
		faces = len(x.Grown(margin).Outline()) + 2
	}
	return bodyOf(m.Volume(), faces, m.Bounds(), m.Centroid())
}

func bodyOf(volume float64, faces int, b geom.Bounds, centre r3.Vec) body {
	list := func(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }
	return body{volume, faces, list(b.Min), list(b.Max), list(centre)}
}

// readDXF has ezdxf 0.18 (Debian package python3-ezdxf) audit the plan and
// measure what is on each layer.
const readDXF = `
import ezdxf, json, sys
doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()
out = {"faults": [e.message for e in audit.errors + audit.fixes], "units": doc.header["$INSUNITS"],
       "version": doc.dxfversion, "layers": {}}
for e in doc.modelspace():
    l = out["layers"].setdefault(e.dxf.layer, {"rings": [], "circles": [], "lines": 0, "texts": []})
    if e.dxftype() == "LWPOLYLINE":
        assert e.closed
        l["rings"].append([list(p) for p in e.get_points("xy")])
    elif e.dxftype() == "CIRCLE":
        l["circles"].append([e.dxf.center.x, e.dxf.center.y, e.dxf.radius])
    elif e.dxftype() == "LINE":
        l["lines"] += 1
    else:
        l["texts"].append(e.plain_text())
print(json.dumps(out))
`

func TestDXFAgainstEzdxf(t *testing.T) {
	s := sample(t)
	for _, e := range extent.All {
		var read struct {
			Faults  []string
			Units   int
			Version string
			Layers  map[string]struct {
				Rings   [][][2]float64
				Circles [][3]float64
				Lines   int
				Texts   []string
			}
		}
		python(t, "ezdxf", readDXF, write(t, "dxf", s, e), &read)
		if len(read.Faults) > 0 || read.Units != 4 || read.Version != "AC1015" { // 4: mm
			t.Errorf("the audit says %v; units %d, version %s", read.Faults, read.Units, read.Version)
		}
		for i, name := range []string{"floor", "base", "Fr-se-1-a", "o-vise-----left", "seen-only", "remainder"} {
			o := &s.Objects[i]
			l, ok := read.Layers[name]
			if !ok && len(o.Solids) > 0 {
				t.Fatalf("no layer %q in %v", name, read.Layers)
			}
			if name == "Fr-se-1-a" && (len(l.Texts) != 1 || l.Texts[0] != o.Name || l.Lines != 3) {
				t.Errorf("layer %s has %d lines and the text %q, want three axes and %q", name, l.Lines, l.Texts, o.Name)
			}
			rings, circles := l.Rings, l.Circles
			for _, x := range o.Solids {
				b := x.Mesh(e.Margin(o)).Bounds()
				if c, ok := x.(solid.Cylinder); ok && c.Axis.Z == 1 {
					if got := circles[0]; got != [3]float64{c.Centre.X, c.Centre.Y, c.Radius + e.Margin(o)} {
						t.Errorf("%s: circle %v", name, got)
					}
					continue
				}
				got := geom.NoBounds()
				for _, p := range rings[0] {
					got.Extend(r3.Vec{X: p[0], Y: p[1]})
				}
				rings = rings[1:]
				if d := max(math.Abs(got.Min.X-b.Min.X), math.Abs(got.Min.Y-b.Min.Y), math.Abs(got.Max.X-b.Max.X), math.Abs(got.Max.Y-b.Max.Y)); d > near {
					t.Errorf("%s (%v): an outline is %g mm off", name, e, d)
				}
			}
		}
	}
}
