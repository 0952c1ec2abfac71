package fit

import (
	"slices"

	"cellwall/fit/between"
	"cellwall/fit/surface"
	"cellwall/mapping/geom"
)

// Budget splits the covariance of an object's pose as the GUM asks (JCGM
// 100:2008, 5.1): what the sensor's noise adds, what differs from sweep to sweep,
// what the arm's declared accuracy holds beyond that, and the scanner's mount. What
// is left of the covariance comes of edges, of the form of things, and of the sizes
// that were given.
type Budget struct{ Noise, Sweep, Arm, Mount geom.Cov6 }

// Share is one source of a pose's uncertainty.
type Share struct {
	Source string
	Cov    geom.Cov6
}

// Shares are the rows of the object's budget; their sum is o.Cov.
func (o *Object) Shares() []Share {
	b := &o.Budget
	rest := o.Cov
	for _, c := range []geom.Cov6{b.Noise, b.Sweep, b.Arm, b.Mount} {
		rest = minus(rest, c)
	}
	return []Share{
		{"sensor noise", b.Noise}, {"between sweeps", b.Sweep}, {"arm, common to all sweeps", b.Arm},
		{"scanner's mount", b.Mount},
		{"edges, form, given sizes", rest},
	}
}

func minus(a, b geom.Cov6) geom.Cov6 {
	for i := range a {
		for j := range a[i] {
			a[i][j] -= b[i][j]
		}
	}
	return a
}

// Effective is how many independent points would know the face's place as well as
// its points do, by noise alone: fewer than these, as far as their residuals are
// correlated. It is 0 where the face has no budget of its own.
func (f *Face) Effective() float64 {
	if v := f.Budget.Noise[0][0]; v > 0 {
		return f.RMS * f.RMS / v
	}
	return 0
}

// fitted is the budget of a pose that was fitted to raw points: of its covariance
// the part that is noise is known; the arm's accuracy is what sweeps are expected
// to differ by, and what they may be off by together.
func (s *survey) fitted(pose geom.Pose, cov, noise geom.Cov6) Budget {
	common := between.Common(s.cloud.Aligned, pose.T)
	return Budget{Noise: noise, Sweep: minus(minus(cov, noise), common), Arm: common}
}

// budget is the budget of the pose that datum builds from the bounds.
func budget(from []bound, build func([]geom.Plane) (geom.Pose, bool)) Budget {
	share := func(of func(surface.Budget) surface.Cov3) geom.Cov6 {
		parts := slices.Clone(from)
		for i := range parts {
			parts[i].Cov = of(from[i].shares)
		}
		_, cov, _ := datum(parts, build)
		return cov
	}
	return Budget{
		Noise: share(func(b surface.Budget) surface.Cov3 { return b.Noise }),
		Sweep: share(func(b surface.Budget) surface.Cov3 { return b.Sweep }),
		Arm:   share(func(b surface.Budget) surface.Cov3 { return b.Arm }),
		Mount: share(func(b surface.Budget) surface.Cov3 { return b.Mount }),
	}
}
