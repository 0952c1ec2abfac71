package judge

import (
	"math"
	"slices"

	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// Machine is how one of the shop's enclosures was mapped.
type Machine struct {
	Name  string // in the shop
	As    string // in the scene, "" where it was not found
	Worst Miss   // of what is stated of it
	Door  *Door  // nil where no opening is stated
}

// Miss is an error over its stated sigma.
type Miss struct {
	What string
	Off  float64 // in the unit of what it is of
	Per  float64
}

// wrong is from how many stated sigmas on an error makes a result wrong.
const wrong = 5

// Wrong tells whether something stated of the machine is off by more than five
// sigma.
func (m Machine) Wrong() bool { return m.As != "" && math.Abs(m.Worst.Per) > wrong }

// nearMachine is how far a datum may be off, mm, and still mean this machine.
const nearMachine = 500

// machines looks for each of the shop's enclosures in the scene, wherever it was
// named, and lists the scene's enclosures that are none of them.
func machines(s *scene.Scene, shop *fixtures.Shop) (out []Machine, others []string) {
	meant := map[string]bool{}
	for i := range shop.Truth.Objects {
		truth := &shop.Truth.Objects[i]
		if truth.Kind != string(fit.Enclosure) {
			continue
		}
		m := Machine{Name: truth.Name}
		for k := range s.Objects {
			o := &s.Objects[k]
			if o.Kind == fit.Enclosure && r3.Norm(r3.Sub(o.Pose.T, truth.Pose.T)) < nearMachine && !meant[o.Name] {
				m.As, meant[o.Name] = o.Name, true
				m.hold(o, truth)
				break
			}
		}
		out = append(out, m)
	}
	for k := range s.Objects {
		if o := &s.Objects[k]; o.Kind == fit.Enclosure && !meant[o.Name] {
			others = append(others, o.Name)
		}
	}
	return out, others
}

// hold compares all that is stated of a machine.
func (m *Machine) hold(found *scene.Object, truth *fixtures.Object) {
	d := found.Pose.Minus(*truth.Pose)
	for i, name := range [6]string{"datum x", "datum y", "datum z", "turn x", "turn y", "turn z"} {
		m.miss(name, d[i], math.Sqrt(found.Cov[i][i]))
	}
	for _, name := range []string{"width_mm", "depth_mm", "height_mm"} {
		if got, ok := found.Measures[name]; ok {
			m.miss(name, got.Value-truth.Measures[name], got.Sigma)
		}
	}
	if found.Opening == nil || truth.Opening == nil {
		return
	}
	door := door(found, truth)
	m.Door = &door
	for i, name := range [4]string{"opening's right", "opening's left", "opening's bottom", "opening's top"} {
		off, sigma := door.Edges[i], found.Opening.Sigma[i]
		if math.IsInf(sigma, 1) { // as far as that at least: beyond the true edge it is wrong
			out := [4]float64{-1, 1, -1, 1}[i] * off
			off, sigma = math.Max(out, 0), lastRay
		}
		m.miss(name, off, sigma)
	}
}

// lastRay is how far beyond an edge its last rays may seem to have passed, mm.
const lastRay = 6

func (m *Machine) miss(what string, off, sigma float64) {
	if per := off / sigma; !(math.Abs(per) <= math.Abs(m.Worst.Per)) {
		m.Worst = Miss{what, off, per}
	}
}

// Refused tells whether the machine was refused by its name.
func (m Machine) Refused(refused []fit.Refusal) bool {
	return m.As == "" && slices.ContainsFunc(refused, func(r fit.Refusal) bool { return r.Name == m.Name && r.Kind == fit.Enclosure })
}
