// Package shape locates an object whose shape is known, from a closed model of
// facets.
//
// Pairs of oriented patches of the cloud are matched with pairs on the model
// (guess.go); the best of the poses that this gives are refined by least squares
// from points to the surface (fit.go), held against what was seen and what rays
// went through (evidence.go), and one stands only where no other pose fits about
// as well and every motion is determined (refusal.go).
package shape

import (
	"slices"

	"cellwall/fit/between"
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Located is an object that was found. Pose is baseFromModel.
type Located struct {
	Pose       geom.Pose
	Cov        geom.Cov6 // the whole budget
	Noise      geom.Cov6 // the part of Cov that is the sensor's noise; the rest is what differs from sweep to sweep
	SweepSigma float64   // how far a sweep is off as a whole, mm
	Seen       float64   // share of the model's surface that was seen
	RMS        float64   // of the points to the surface, mm
	Points     int
	Box        geom.Box // round the model, in base, along the model's axes
}

// Refused says why the object is not reported and what to scan so that it can be.
type Refused struct {
	Reason, ScanNext string
	Candidates       int // places that fit about equally well
}

// Want is where to look.
type Want struct {
	Voxels []int32 // indices into Cloud.Voxels that may be of the object, ascending
	Near   *r3.Vec // a hint, base frame, mm; the object's middle lies within its size of it
}

const (
	mostFits   = 60   // poses that are refined: the right one is among the best few dozen, with its rivals
	guessApart = 0.06 // of the model's size, as wideGate: guesses nearer to each other end in one place
	tellApart  = 0.1  // of the model's size: poses nearer to each other than this are one
)

// Locate finds the one object of the model's shape among the voxels.
func Locate(c *mapping.Cloud, m *Model, want Want) (*Located, *Refused) {
	if motion := m.undetermined(); motion != "" {
		return nil, &Refused{
			Reason:   "the model looks the same whatever " + motion + " is, so that no scan tells it",
			ScanNext: "nothing: name the parts of it that are not round, or let it be found as a block or a post",
		}
	}
	v := look(c, m, want)
	if len(v.patches) < leastPatches {
		return nil, &Refused{Reason: "hardly anything was scanned where it is to be looked for", ScanNext: lookCloser, Candidates: 0}
	}
	var fits []*fit
	for _, pose := range v.guesses() {
		f := v.begin(pose)
		f.roughly()
		f.judge()
		fits = append(fits, f)
	}
	fits = v.distinct(fits)
	if len(fits) == 0 || fits[0].score <= 0 {
		return nil, &Refused{Reason: "nothing of its shape was found", ScanNext: lookCloser}
	}
	best := nearest(fits, want.Near)
	if r := best.stands(); r != nil {
		return nil, r
	}
	best.finely()
	if r := best.alone(fits, want.Near); r != nil {
		return nil, r
	}
	if r := best.suffices(); r != nil {
		return nil, r
	}
	return best.report(), nil
}

// nearest is the best fit, or another one that stands elsewhere and is clearly the
// one that the hint means.
func nearest(fits []*fit, hint *r3.Vec) *fit {
	best := fits[0]
	for _, f := range fits[1:] {
		if f.elsewhere(best) && f.meant(best, hint) {
			best = f
		}
	}
	return best
}

// distinct sorts the fits, the best first, and keeps of those at one place the
// best.
func (v *view) distinct(fits []*fit) []*fit {
	slices.SortStableFunc(fits, func(a, b *fit) int {
		switch {
		case a.score > b.score:
			return -1
		case a.score < b.score:
			return 1
		}
		return 0
	})
	var kept []*fit
	for _, f := range fits {
		if f.failed || slices.ContainsFunc(kept, func(k *fit) bool { return v.model.apart(f.pose, k.pose) < tellApart*v.model.size }) {
			continue
		}
		kept = append(kept, f)
	}
	return kept
}

// report writes down a fit that stands.
func (f *fit) report() *Located {
	m := f.view.model
	return &Located{
		Pose: f.pose, Cov: f.cov.At(r3.Sub(f.pose.T, f.centre())).Plus(between.Common(f.view.cloud.Aligned, f.pose.T)), Noise: f.noise.At(r3.Sub(f.pose.T, f.centre())),
		SweepSigma: f.sweepSigma, Seen: f.seen(), RMS: f.rms(), Points: f.count(), Box: m.boxAt(f.pose),
	}
}
