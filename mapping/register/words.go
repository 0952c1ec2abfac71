package register

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// alongAxis is the cosine within which a direction goes by the name of an axis, of
// ten degrees.
const alongAxis = 0.985

// axis names a direction of the base frame.
func axis(v r3.Vec) string {
	v = r3.Unit(v)
	for i, c := range [3]float64{v.X, v.Y, v.Z} {
		if math.Abs(c) > alongAxis {
			return "base " + "XYZ"[i:i+1]
		}
	}
	return fmt.Sprintf("(%.2f, %.2f, %.2f) in base", v.X, v.Y, v.Z)
}

// notTold refuses for motions that the shared surfaces leave open. These span a
// space of which any basis would do; where shifts along the base's axes and turns
// about them are one, they are named, for the user knows these again.
func notTold(open []freedom) *Refusal {
	var words, plain []string
	for i := range 3 {
		e := [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}[i]
		var shift, turn float64
		for _, f := range open {
			shift += square(r3.Dot(f.shift, e))
			turn += square(r3.Dot(f.turn, e))
		}
		if shift > square(alongAxis) {
			plain = append(plain, "a shift along "+axis(e))
		}
		if turn > square(alongAxis) {
			plain = append(plain, "a turn about "+axis(e))
		}
	}
	for _, f := range open {
		if r3.Norm2(f.shift) >= r3.Norm2(f.turn) {
			words = append(words, "a shift along "+axis(f.shift))
		} else {
			words = append(words, "a turn about "+axis(f.turn))
		}
	}
	if len(plain) == len(open) {
		words = plain
	}
	list := words[0]
	if n := len(words); n > 1 {
		list = strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return &Refusal{
		"the surfaces that it shares with the arm's map leave open " + list,
		"scan, with the arm or from the tripod, surfaces that stand across these"}
}

// nothing refuses where no placement lies within what rough allows: for those
// beyond slid away along what the shared surfaces leave open, or share too little.
func (s *search) nothing(beyond []solution) *Refusal {
	for i := range beyond {
		s.m.surfaces(beyond[i].pairs)
		if open := s.open(&beyond[i]); len(open) > 0 {
			return notTold(open)
		}
	}
	return &Refusal{
		"nowhere within what rough allows does it share enough surfaces with the arm's map",
		"check placed and units, and that rough is as wide as placed may be off; or scan more of what the arm has mapped"}
}

// refusal says that two placements fit alike.
func (r *rival) refusal(s *search, best *solution) *Refusal {
	shift, turn := s.correction(best.motion)
	return &Refusal{
		fmt.Sprintf("two placements fit alike, %.0f mm apart: one moves the scanner by %s and turns it by %s, the other by %s and %s",
			r.off, millimetres(shift), degrees(turn), millimetres(r.Shift), degrees(r.Turn)),
		"measure the tripod's place more closely and narrow rough, or scan something that breaks the likeness"}
}

func millimetres(v r3.Vec) string { return fmt.Sprintf("(%.0f, %.0f, %.0f) mm", v.X, v.Y, v.Z) }

func degrees(v r3.Vec) string {
	const deg = 180 / math.Pi
	return fmt.Sprintf("(%.1f, %.1f, %.1f) deg", deg*v.X, deg*v.Y, deg*v.Z)
}
