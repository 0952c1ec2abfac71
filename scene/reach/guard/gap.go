// Package guard holds figures of standards that a reviewer asks for beside the
// reach: gaps that can crush, and the least distance of a light curtain. The
// edition is always named. It computes and states no safety: the standard in
// force and a qualified person decide.
package guard

import (
	"fmt"
	"slices"
	"strings"
)

// Part of the body, and the least gap, mm, that avoids crushing it.
type Part struct {
	Name string
	Gap  float64
}

// Profile is a set of least gaps by one edition of one standard.
type Profile struct {
	Name   string
	Source string
	Parts  []Part
}

// Profiles that can be chosen by name. The figures are as secondary sources give
// them; the standards themselves were not at hand.
var Profiles = []Profile{
	{"iso-13854-2017", "ISO 13854:2017, least gaps to avoid crushing", []Part{
		{"body", 500}, {"head", 300}, {"leg", 180}, {"foot", 120}, {"arm", 120}, {"hand/wrist/fist", 100}, {"toes", 50}, {"finger", 25}}},
	{"r15.06-1999", "ANSI/RIA R15.06-1999, clearance round the operating space, 18 in", []Part{{"body", 457}}},
}

// FindProfile by its name.
func FindProfile(name string) (Profile, error) {
	i := slices.IndexFunc(Profiles, func(p Profile) bool { return p.Name == name })
	if i < 0 {
		var names []string
		for _, p := range Profiles {
			names = append(names, p.Name)
		}
		return Profile{}, fmt.Errorf("the profile of gaps %q is not known; name one of %s", name, strings.Join(names, ", "))
	}
	return Profiles[i], nil
}

// Crushes are the parts of the body that a gap which closes to d mm can crush:
// those whose least gap is more than d.
func (p Profile) Crushes(d float64) []Part {
	var out []Part
	for _, part := range p.Parts {
		if d < part.Gap {
			out = append(out, part)
		}
	}
	return out
}
