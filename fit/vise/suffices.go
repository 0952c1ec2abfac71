package vise

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// What a datum must be known to, to be reported at all. A robot that grips into
// a vise needs tenths; beyond these it would be a guess.
const (
	worstOrigin  = 1.5                 // mm, one sigma, along any axis
	worstTurn    = 0.4 * math.Pi / 180 // rad, one sigma
	worstOpening = 2.0                 // mm, one sigma
	// closedGap, mm: into a gap this narrow a laser looks only a few mm deep.
	closedGap = 8.0
)

// suffices refuses a vise of which a face that carries the datum was not seen
// enough, and says from where to scan it.
func (f *fit) suffices() *refusal {
	w := f.witnesses()
	seen := func(k face) bool { return w[k].points >= leastFace && w[k].cells >= leastPatch }
	if !seen(fixedFace) {
		return f.missing(fixedFace, &w)
	}
	if !seen(fixedTop) && !seen(movingTop) {
		return f.missing(fixedTop, &w)
	}
	if !seen(movingTop) && !seen(movingFace) && !seen(movingBack) {
		return f.missing(movingTop, &w)
	}
	return f.known()
}

// missing refuses for the want of a face.
func (f *fit) missing(k face, w *[numFaces]witness) *refusal {
	n := f.pose.R.Apply(faces[k].normal)
	from := r3.Unit(r3.Add(n, f.pose.R.Axis(2)))
	stage, is, why := stageFace, "the vise at %s is there", "was not scanned"
	if blind(w) {
		stage, is = stageBlind, "what may be the vise is at %s"
	}
	switch {
	case f.grazed(k) >= leastFace:
		why = "was seen at a grazing angle only"
	case w[k].points > 0:
		why = fmt.Sprintf("was hardly scanned (%.0f points)", w[k].points)
	}
	if k == fixedFace && f.size[opening] < closedGap {
		return refuse(stage, "the vise with its jaws further open",
			is+", but its jaws are closed or nearly so (%.0f mm), and its %s %s", f.where(), max(0, f.size[opening]), words(k), why)
	}
	return refuse(stage,
		fmt.Sprintf("the %s from a direction near (%.2f, %.2f, %.2f) of it in base", words(k), from.X, from.Y, from.Z),
		is+", but its %s %s", f.where(), words(k), why)
}

// blind tells whether neither jaw's face is in sight.
func blind(w *[numFaces]witness) bool { return w[fixedFace].cells+w[movingFace].cells < leastPatch }

// words is the face's name as one says it.
func words(k face) string { return strings.ReplaceAll(faces[k].name, "-", " ") }

// grazed counts the points on the face that were seen at too flat an angle.
func (f *fit) grazed(k face) (n float64) {
	s := f.seat(k, closeGate)
	for i := range f.points {
		d := r3.Dot(s.normal, f.seen[i]) - s.offset
		if math.Abs(d) < closeGate && s.holds(f.seen[i], 0) && math.Abs(r3.Dot(s.normal, f.rays[i])) <= grazing {
			n += f.points[i].n
		}
	}
	return n
}

// known refuses a datum of which a part is known too badly, naming the faces
// that would carry it.
func (f *fit) known() *refusal {
	c := f.poseCov().Turned(f.pose.R.T())
	t, r := c.SigmaT(), c.SigmaR()
	stage, is := stageFace, "the vise at %s is there"
	poor := func(what string, ks ...face) *refusal {
		var names []string
		for _, k := range ks {
			names = append(names, words(k))
		}
		return refuse(stage, "the "+strings.Join(names, " and the "),
			is+", but %s is not known well enough: the %s were not seen enough", f.where(), what, strings.Join(names, " and the "))
	}
	switch {
	case t.X > unknownSize/2:
		stage, is = stageBlind, "what may be the vise is at %s" // nothing ends there: a table's bars between its slots look alike
		return poor("its place along the edge", fixedLeft, fixedRight)
	case t.X > worstOrigin:
		return poor(fmt.Sprintf("its place along the edge (sigma %.1f mm)", t.X), fixedLeft, fixedRight)
	case t.Y > worstOrigin || r.Z > worstTurn:
		return poor(fmt.Sprintf("where the fixed jaw's face is (sigma %.1f mm, %.2f deg)", t.Y, r.Z*180/math.Pi), fixedFace)
	case t.Z > worstOrigin || r.X > worstTurn || r.Y > worstTurn:
		return poor(fmt.Sprintf("the plane of the tops (sigma %.1f mm, %.2f deg)", t.Z, max(r.X, r.Y)*180/math.Pi), fixedTop, movingTop)
	case f.sigma(atSizes+opening) > worstOpening:
		return poor(fmt.Sprintf("the opening (sigma %.1f mm)", f.sigma(atSizes+opening)), movingFace, movingTop)
	}
	return nil
}
