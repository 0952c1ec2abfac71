package surface

import "math"

// pooled is a surface's plane from all its sweeps: they differ by noise and by
// what moves a sweep as a whole, so each counts by the inverse of the sum of
// both, and a sweep of very many points does not outvote the others (mixed
// linear model; Searle, Casella and McCulloch, Variance Components, 7.3).
type pooled struct {
	at     vec3
	noise  mat3 // what the sensor's noise adds
	sweep  mat3 // what differs from sweep to sweep adds
	own    []vec3
	misfit float64 // sum over sweeps of squared differences over their covariance
	free   float64 // its expectation, the degrees of freedom
}

// pool joins planes whose sweeps are off by the covariances sway.
func pool(planes []plain, sway []mat3) pooled {
	var info, cov mat3
	var sum vec3
	weight := make([]mat3, len(planes))
	for i, p := range planes {
		weight[i] = p.noise.plus(sway[i]).inverse()
		info = info.plus(weight[i])
		sum = sum.plus(weight[i].apply(p.at))
	}
	cov = info.inverse()
	out := pooled{at: cov.apply(sum), own: make([]vec3, len(planes))}
	for i, p := range planes {
		share := cov.mul(weight[i])
		out.noise = out.noise.plus(p.noise.through(share))
		out.sweep = out.sweep.plus(sway[i].through(share))
		d := p.at.minus(out.at)
		out.own[i] = out.at.plus(sway[i].mul(weight[i]).apply(d))
		out.misfit += d.dot(weight[i].apply(d))
		out.free += p.known - weight[i].mul(cov).trace()
	}
	return out
}

// inflation is the factor on the covariance where sweeps differ more than their
// covariances allow: none within what chance gives in 99 of 100 surfaces, else
// the ratio of the two (Birge, Phys. Rev. 40 (1932) 207).
func (p *pooled) inflation() float64 {
	if p.free < 0.5 { // one sweep, or several of which each saw another part
		return 1
	}
	ratio := p.misfit / p.free
	// Wilson and Hilferty's approximation of the chi-squared quantile.
	c := 2 / (9 * p.free)
	if limit := math.Pow(1-c+2.326*math.Sqrt(c), 3); ratio < limit {
		return 1
	}
	return ratio
}
