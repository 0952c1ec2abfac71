package rigid

import (
	"fmt"
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Direction is a motion that the lengths leave open: a slide along Slide, or a
// turn about Turn through the point Through. The other vector is zero.
type Direction struct {
	Slide, Turn r3.Vec // unit
	Through     r3.Vec // mm, base
}

// String names the direction in words.
func (d Direction) String() string { return d.In(geom.IdentityRot()) }

// In names it by the axes of a datum where it follows one of them, and no axis of base.
func (d Direction) In(datum geom.Rot) string {
	if d.Turn == (r3.Vec{}) {
		return "a slide along " + words(d.Slide, datum)
	}
	at := d.Through
	return fmt.Sprintf("a turn about %s through (%.0f, %.0f, %.0f) mm", words(d.Turn, datum), plain(at.X, 1), plain(at.Y, 1), plain(at.Z, 1))
}

// nearAxis is how far off a base axis a direction may point to be called by its
// name alone: 5 degrees.
const nearAxis = 0.9962

// words is a direction by the base axis that it follows, or the datum's, or by its
// components.
func words(v r3.Vec, datum geom.Rot) string {
	for i, c := range [3]float64{v.X, v.Y, v.Z} {
		if math.Abs(c) > nearAxis {
			return "base " + string("XYZ"[i])
		}
	}
	for i := range 3 {
		if math.Abs(r3.Dot(datum.Axis(i), v)) > nearAxis {
			return "its datum's " + string("XYZ"[i])
		}
	}
	return fmt.Sprintf("(%.2f, %.2f, %.2f)", plain(v.X, 100), plain(v.Y, 100), plain(v.Z, 100))
}

// plain rounds to a part of the unit, and -0 to 0.
func plain(c, parts float64) float64 { return math.Round(parts*c)/parts + 0 }

// at is the displacement of p for 1 mm of slide or 1 rad of turn.
func (d Direction) at(p r3.Vec) r3.Vec {
	return r3.Add(d.Slide, r3.Cross(d.Turn, r3.Sub(p, d.Through)))
}

// through is the direction as seen after the motion.
func (d Direction) through(toFromOld geom.Pose) Direction {
	return Direction{Slide: toFromOld.R.Apply(d.Slide), Turn: toFromOld.R.Apply(d.Turn), Through: toFromOld.Apply(d.Through)}
}

// noTurn is the share of a direction that must be turn for it to be called one.
const noTurn = 1e-3

// directions makes slides and turns of the columns of open, six-vectors about
// centre whose last three are turns times lever: all slides that they span, and
// turns for the rest.
func directions(open *mat.Dense, centre r3.Vec, lever float64) []Direction {
	_, k := open.Dims()
	if k == 0 {
		return nil
	}
	var svd mat.SVD
	if !svd.Factorize(open.Slice(3, 6, 0, k), mat.SVDFull) {
		return nil
	}
	var mix, vectors mat.Dense
	svd.VTo(&mix)
	vectors.Mul(open, &mix)
	turns := svd.Values(nil)
	var out []Direction
	for c := k - 1; c >= 0; c-- { // what turns least comes first
		t := r3.Vec{X: vectors.At(0, c), Y: vectors.At(1, c), Z: vectors.At(2, c)}
		w := r3.Scale(1/lever, r3.Vec{X: vectors.At(3, c), Y: vectors.At(4, c), Z: vectors.At(5, c)})
		if c >= len(turns) || turns[c] < noTurn {
			out = append(out, Direction{Slide: r3.Unit(t)})
			continue
		}
		through := r3.Add(centre, r3.Scale(1/r3.Norm2(w), r3.Cross(w, t)))
		out = append(out, Direction{Turn: r3.Unit(w), Through: through})
	}
	return out
}
