package vise

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// The scanner's mount is off by the same in all sweeps, but seen from the scanner: it
// moves what one sweep saw one way and what another saw, from elsewhere, another way.
// How the jaws follow the sweeps the fit knows, for each sweep has a shift of its own:
// with C the covariance of jaws and shifts and D what is expected of the shifts, jaws
// go by -C D^-1 x where the points of a sweep go by x.

// eyeAt is where the eye of a scan was, seen from the jaws.
type eyeAt struct {
	toward r3.Vec // unit, base axes
	far    float64
}

// eyes are the mean directions and distances of the scans' eyes.
func (f *fit) eyes() []eyeAt {
	out, n := make([]eyeAt, len(f.scans)), make([]float64, len(f.scans))
	for i := range f.points {
		p := &f.points[i]
		e := &out[p.scan]
		e.toward = r3.Add(e.toward, r3.Scale(p.n, p.toward))
		e.far += p.n * f.view.cloud.Voxels[p.voxel].Range
		n[p.scan] += p.n
	}
	for s := range out {
		out[s].toward, out[s].far = r3.Unit(out[s].toward), out[s].far/n[s]
	}
	return out
}

// mounted is what the mount adds to the covariance of the pose. How a scanner was
// turned about its line of sight is not known: as if it was held level.
func (f *fit) mounted(cov *mat.SymDense, by disagreement) *mat.SymDense {
	follows := mat.NewDense(6, 6, nil) // of the pose, the six of the mount
	var sigma [6]float64
	for s, e := range f.eyes() {
		scan := int(f.scans[s])
		if scan >= len(f.view.cloud.Mount) {
			continue
		}
		mount := f.view.cloud.Mount[scan]
		scanner := held(e.toward, f.view.up)
		for k := range 6 {
			sigma[k] = max(sigma[k], [2]float64{mount.Shift, mount.Turn}[k/3])
			x := moved(scanner.Axis(k%3), k >= 3, r3.Scale(-e.far, e.toward))
			for i := range 6 {
				sum := follows.At(i, k)
				for j, d := range x {
					prior := [2]float64{by.shift, by.turn}[j/3]
					sum -= cov.At(i, atSweeps+6*s+j) * d / (prior * prior)
				}
				follows.Set(i, k, sum)
			}
		}
	}
	out := mat.NewSymDense(f.unknowns(), nil)
	for i := range 6 {
		for j := i; j < 6; j++ {
			var c float64
			for k, s := range sigma {
				c += follows.At(i, k) * follows.At(j, k) * s * s
			}
			out.SetSym(i, j, c)
		}
	}
	return out
}

// moved is how points at the end of the arm, from the eye, go where the scanner
// shifts along the axis by one or turns about it by one: shift and turn.
func moved(axis r3.Vec, turns bool, arm r3.Vec) [6]float64 {
	if !turns {
		return [6]float64{axis.X, axis.Y, axis.Z}
	}
	d := r3.Cross(axis, arm)
	return [6]float64{d.X, d.Y, d.Z, axis.X, axis.Y, axis.Z}
}

// held is how a scanner is held that looks the other way along toward: level.
func held(toward, up r3.Vec) geom.Rot {
	x := r3.Cross(up, toward)
	if r3.Norm(x) < 1e-6 { // straight down: as it was held before it went there is not known
		x = r3.Cross(r3.Vec{X: 1}, toward)
	}
	x = r3.Unit(x)
	return geom.RotFromAxes(x, r3.Cross(toward, x), toward)
}
