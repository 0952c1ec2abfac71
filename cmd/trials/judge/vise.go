package judge

import (
	"math"
	"slices"
	"strings"

	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// Vise is what was told of one of the shop's vises, against what was scanned of it.
type Vise struct {
	Name    string
	Points  map[string]int // returns from its faces, by the face's name
	Told    bool           // the cell or what was scanned tells which jaw is the fixed one, and which machine is meant
	scanned map[string]bool
	Jaw     *Jaw // nil where it was not located
}

// A face counts as scanned from as many returns on, of that many cells: the least
// that the datum is stated from, so that a refusal below is right. It is enough
// for the error allowed: noise of 0.3 mm, of which ten points in line share one
// value, leaves the end of an evenly scanned face 2 * 0.3 / sqrt(30/10) = 0.35 mm.
const (
	scannedPoints = 30
	scannedCells  = 6
	scannedCell   = 5.0   // mm
	scannedRim    = 2.0   // mm: nearer to its rim a point is mixed with what lies behind
	scannedCos    = 0.174 // of 80 degrees: what grazes tells nothing
)

// Scanned tells whether the fixed jaw's face and one top were: where it is Told too,
// it should be located.
func (v *Vise) Scanned() bool {
	return v.scanned["fixed-jaw-face"] && (v.scanned["fixed-jaw-top"] || v.scanned["moving-jaw-top"])
}

// Names tells whether a refusal says of a face that was not scanned that it is
// missing.
func (v *Vise) Names(r fit.Refusal) bool {
	said := strings.ReplaceAll(r.Reason+" "+r.ScanNext, " ", "-")
	for _, face := range []string{"fixed-jaw-face", "fixed-jaw-top", "moving-jaw-top"} {
		if !v.scanned[face] && strings.Contains(said, face) {
			return true
		}
	}
	return false
}

// A jaw datum is wrong if it is off by more than so many mm, or anything of it by
// more than so many stated sigmas.
const (
	wrongBy     = 2.0
	wrongSigmas = 5.0
)

// Wrong tells whether the vise was located where it is not.
func (v *Vise) Wrong() bool {
	if v.Jaw == nil {
		return false
	}
	off := slices.ContainsFunc(append(v.Jaw.PerSigma[:], v.Jaw.OpeningPer), func(z float64) bool { return !(math.Abs(z) <= wrongSigmas) })
	return off || r3.Norm(v.Jaw.Shift) > wrongBy
}

// Vises are the shop's vises with what was scanned of them, none of them located.
func Vises(shop *fixtures.Shop) []Vise { return vises(shop, nil, shop.Reached(math.MaxInt)) }

// vises holds the shop's vises against those that were located; reached are all
// points that rays reached.
func vises(shop *fixtures.Shop, located []Jaw, reached []fixtures.Reached) (out []Vise) {
	for i := range shop.Truth.Objects {
		o := &shop.Truth.Objects[i]
		if o.Kind != string(fit.Vise) {
			continue
		}
		v := Vise{Name: o.Name, Points: map[string]int{}, scanned: map[string]bool{}}
		v.Told = shop.Settings.Build != fixtures.Twins && (shop.Settings.Declared.FixedJaw || screwSeen(shop, i, reached))
		for _, f := range o.Faces {
			v.count(f, i, reached)
		}
		if k := slices.IndexFunc(located, func(j Jaw) bool { return j.Name == o.Name }); k >= 0 {
			v.Jaw = &located[k]
		}
		out = append(out, v)
	}
	return out
}

// invented lists the vises of the scene that the shop has none of by that name.
func invented(s *scene.Scene, shop *fixtures.Shop) (out []string) {
	for i := range s.Objects {
		o := &s.Objects[i]
		if truth, ok := shop.Truth.Object(o.Name); o.Kind == fit.Vise && (!ok || truth.Kind != string(o.Kind)) {
			out = append(out, o.Name)
		}
	}
	return out
}

// screwSeen tells whether returns came from the end of object o's screw, which is
// all that shows which jaw moves.
func screwSeen(shop *fixtures.Shop, o int, reached []fixtures.Reached) bool {
	n := 0
	for i := range shop.Pieces {
		if p := &shop.Pieces[i]; p.Object == o {
			if _, round := p.Shape.(fixtures.Cylinder); round {
				for _, r := range reached {
					if r.Object == o && r.Returned && math.Abs(p.Distance(r.Point)) < onPlane {
						n++
					}
				}
			}
		}
	}
	return n >= scannedPoints
}

// onPlane is how far off a surface a point of it may seem by rounding, mm.
const onPlane = 1e-3

// count the returns of object o that lie on its face.
func (v *Vise) count(f fixtures.Face, o int, reached []fixtures.Reached) {
	n, cells := 0, map[[2]int]bool{}
	frame := geom.Pose{R: f.Plane.Frame(f.Corners[0]).R, T: f.Corners[0]}.Inverse()
	for _, r := range reached {
		if r.Object != o || !r.Returned || r.Cos < scannedCos || math.Abs(f.Plane.Distance(r.Point)) > onPlane || !onFace(f, r.Point, -scannedRim) {
			continue
		}
		n++
		q := frame.Apply(r.Point)
		cells[[2]int{int(math.Floor(q.X / scannedCell)), int(math.Floor(q.Y / scannedCell))}] = true
	}
	v.Points[f.Name] = n
	v.scanned[f.Name] = n >= scannedPoints && len(cells) >= scannedCells
}
