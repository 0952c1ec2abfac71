package surface

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// pooled is a surface's plane from all its sweeps: they differ by noise and by
// what moves a sweep as a whole, so each counts by the inverse of the sum of
// both, and a sweep of very many points does not outvote the others (mixed
// linear model; Searle, Casella and McCulloch, Variance Components, 7.3).
type pooled struct {
	at     vec3
	noise  mat3   // what the sensor's noise adds to the covariance
	part   []mat3 // of each sweep's plane in it
	own    []vec3
	misfit float64 // sum over sweeps of squared differences over their covariance
	free   float64 // its expectation, the degrees of freedom
	log    float64 // of the determinants: misfit + log is -2 log restricted likelihood
}

// pool joins the planes of the sweeps.
func pool(planes []plain, s sway) pooled {
	var info mat3
	var sum vec3
	var out pooled
	weight := make([]mat3, len(planes))
	for i := range planes {
		w, det := planes[i].noise.plus(s.of(&planes[i])).inverse()
		weight[i] = w
		info = info.plus(w)
		sum = sum.plus(w.apply(planes[i].at))
		out.log += math.Log(det)
	}
	cov, det := info.inverse()
	out.log += math.Log(det)
	out.at = cov.apply(sum)
	out.own = make([]vec3, len(planes))
	for i := range planes {
		part := cov.mul(weight[i])
		sways := s.of(&planes[i])
		out.noise = out.noise.plus(planes[i].noise.through(part))
		out.part = append(out.part, part)
		d := planes[i].at.minus(out.at)
		out.own[i] = out.at.plus(sways.mul(weight[i]).apply(d))
		out.misfit += d.dot(weight[i].apply(d))
		out.free += planes[i].known - weight[i].mul(cov).trace()
	}
	return out
}

// sweep is what it adds to the covariance that sweeps sway by s.
func (p *pooled) sweep(planes []plain, s sway) (c mat3) {
	for i := range planes {
		c = c.plus(s.of(&planes[i]).through(p.part[i]))
	}
	return c
}

// inflation is the factor on the covariance where sweeps differ more than their
// covariances allow: none within what chance gives in 99 of 100 surfaces, else
// the ratio of the two (Birge, Phys. Rev. 40 (1932) 207).
func (p *pooled) inflation() float64 {
	if p.free < 0.5 { // one sweep, or several of which each saw another part
		return 1
	}
	ratio := p.misfit / p.free
	if ratio < chiSquaredShare(0.99, p.free) {
		return 1
	}
	return ratio
}

// chiSquaredShare is the p-quantile of chi-squared over its degrees of freedom.
func chiSquaredShare(p, dof float64) float64 { return distuv.ChiSquared{K: dof}.Quantile(p) / dof }
