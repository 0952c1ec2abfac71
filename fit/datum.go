package fit

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// datum builds a pose from planes and propagates what is known of them to the
// pose (JCGM 100:2008, 5.2.2; derivatives by central differences). ok is false
// where the planes do not determine the pose.
func datum(from []bound, build func([]geom.Plane) (geom.Pose, bool)) (geom.Pose, geom.Cov6, bool) {
	pose, ok := build(planesOf(from))
	if !ok {
		return geom.Pose{}, geom.Cov6{}, false
	}
	var cov geom.Cov6
	for i, b := range from {
		var j [6][3]float64
		for k, h := range steps {
			up, ok1 := build(shifted(from, i, k, h))
			down, ok2 := build(shifted(from, i, k, -h))
			if !ok1 || !ok2 {
				return geom.Pose{}, geom.Cov6{}, false
			}
			a, c := up.Minus(pose), down.Minus(pose)
			for r := range 6 {
				j[r][k] = (a[r] - c[r]) / (2 * h)
			}
		}
		for r := range 6 {
			for s := range 6 {
				for k := range 3 {
					for l := range 3 {
						cov[r][s] += j[r][k] * b.Cov[k][l] * j[s][l]
					}
				}
			}
		}
	}
	return pose, cov, true
}

// measure is a length computed from planes, with its standard uncertainty.
func measure(from []bound, length func([]geom.Plane) (float64, bool)) (Measure, bool) {
	value, ok := length(planesOf(from))
	variance := 0.0
	for i, b := range from {
		var j [3]float64
		for k, h := range steps {
			up, ok1 := length(shifted(from, i, k, h))
			down, ok2 := length(shifted(from, i, k, -h))
			ok = ok && ok1 && ok2
			j[k] = (up - down) / (2 * h)
		}
		for k := range 3 {
			for l := range 3 {
				variance += j[k] * b.Cov[k][l] * j[l]
			}
		}
	}
	return Measure{Value: value, Sigma: math.Sqrt(max(variance, 0))}, ok
}

func planesOf(from []bound) []geom.Plane {
	p := make([]geom.Plane, len(from))
	for i := range from {
		p[i] = from[i].Plane
	}
	return p
}

// shifted is planesOf with parameter k of plane i moved by h.
func shifted(from []bound, i, k int, h float64) []geom.Plane {
	p := planesOf(from)
	var d [3]float64
	d[k] = h
	p[i] = from[i].moved(d)
	return p
}

// flatDatum is the datum of an endless plane: origin at the foot of the base's
// origin, Z along the normal, X horizontal. A plane says nothing of where along
// itself a thing is, so its datum leans on the base for that and the covariance
// has rank three.
func flatDatum(b bound) (geom.Pose, geom.Cov6, Budget) {
	ref := b.Frame(r3.Vec{})
	build := func(p []geom.Plane) (geom.Pose, bool) {
		z := p[0].Normal
		x := r3.Unit(r3.Sub(ref.R.Axis(0), r3.Scale(r3.Dot(ref.R.Axis(0), z), z)))
		return geom.Pose{R: geom.RotFromAxes(x, r3.Cross(z, x), z), T: p[0].Foot(r3.Vec{})}, true
	}
	pose, cov, _ := datum([]bound{b}, build)
	return pose, cov, budget([]bound{b}, build)
}
