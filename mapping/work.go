package mapping

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// merged is what came of a piece.
type merged struct {
	table       *table
	counts      Counts
	noise       residuals
	first, last float64 // least and greatest instant, s
}

// merge places the points of a piece, filters them and merges them into voxels.
func (s *scan) merge(p *piece) *merged { return s.work(p).merged }

func (s *scan) work(p *piece) *worker {
	w := &worker{scan: s, piece: p, placer: newPlacer(s), fate: make([]Reason, p.len()),
		merged: &merged{table: newTable(), first: math.Inf(1), last: math.Inf(-1)}}
	w.merged.counts.Read = int64(p.len())
	w.listen()
	w.markMixed()
	if s.track == nil {
		w.place(0, p.len())
	} else {
		p.profiles(w.follow)
	}
	for _, why := range w.fate {
		if why != used {
			w.merged.counts.Dropped[why]++
		}
	}
	return w
}

// used is the fate of a point that nothing speaks against.
const used Reason = -1

// worker is the state of the work on one piece.
type worker struct {
	scan      *scan
	piece     *piece
	merged    *merged
	placer    *placer
	profile   profile
	bendSigma float64  // of bends between neighbours at 1 m, mm
	noise     Noise    // as this piece shows it
	fate      []Reason // of each point
}

// noiseProfiles is which profiles the noise is read off: one in four holds
// thousands of points in every piece.
const noiseProfiles = 4

// listen reads the noise off some of the profiles: first off neighbours, and
// then, along the runs that these bends tell from jumps, over longer lags.
func (w *worker) listen() {
	noise := &w.merged.noise
	w.some(func(f *profile) { noise.readNeighbours(f) })
	w.bendSigma = noise[0].sigma()
	w.some(func(f *profile) {
		f.joints(w.bendSigma)
		noise.read(f)
	})
	w.noise = noise.estimate()
}

// some looks at the profiles that the noise is read off.
func (w *worker) some(do func(*profile)) {
	k := 0
	w.piece.profiles(func(from, to int) {
		if k++; k%noiseProfiles == 0 {
			w.profile.view(w.piece, from, to)
			do(&w.profile)
		}
	})
}

// markMixed gives the mixed points their fate and every other point that it is
// used, which later tests may overrule.
func (w *worker) markMixed() {
	for i := range w.fate {
		w.fate[i] = used
	}
	if w.bendSigma == 0 {
		return
	}
	w.piece.profiles(func(from, to int) {
		w.profile.view(w.piece, from, to)
		w.profile.markMixed(w.fate, w.bendSigma)
	})
}

// follow takes in a profile where the arm was at its instant.
func (w *worker) follow(from, to int) {
	t := w.piece.t[from] - w.scan.cell.Scanner.Latency
	w.merged.first, w.merged.last = min(w.merged.first, t), max(w.merged.last, t)
	if w.placer.moveTo(t) {
		w.place(from, to)
		return
	}
	for i := from; i < to; i++ {
		w.fate[i] = NoMotion
		if !returned(w.piece.p[i]) {
			w.fate[i] = NoReturn
		}
	}
}

// place takes in points that share one pose.
func (w *worker) place(from, to int) {
	baseFromScan := w.placer.baseFromScan
	eye := baseFromScan.Apply(w.piece.eye)
	for i := from; i < to; i++ {
		if !returned(w.piece.p[i]) {
			w.fate[i] = NoReturn
			continue
		}
		p := baseFromScan.Apply(w.piece.p[i])
		toward := r3.Sub(eye, p)
		r := r3.Norm(toward)
		if why, drop := w.placer.drop(p, r, w.noise.Sigma(r)); drop {
			w.fate[i] = why
		}
		if w.fate[i] == used {
			w.merged.table.add(p, r3.Scale(1/r, toward), r, w.piece.at+int64(i))
		}
	}
}
