package mapping

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
)

// worker works on one piece of a scan, and holds what came of it until the scan
// takes it over.
type worker struct {
	scan    *scan
	piece   *piece
	placer  *placer
	profile profile
	fate    []Reason // of each point
	sigma   Noise    // as declared or as this piece shows it
	bends   Noise    // the deviation of bends between neighbours
	looked  looked
	columns columns // of the rays, where one without a return tells something

	table       *table
	chosen      []stamped // instead of the table, where the scan chooses among its points
	counts      Counts
	noise       residuals
	first, last float64 // least and greatest instant, s
}

// used is the fate of a point that nothing speaks against.
const used Reason = -1

// workers keep their memory from piece to piece.
var workers = sync.Pool{New: func() any { return &worker{table: newTable()} }}

// work places the points of a piece, filters them and merges them into voxels.
func (s *scan) work(p *piece) *worker {
	w := workers.Get().(*worker)
	w.start(s, p)
	w.listen()
	w.markMixed()
	switch {
	case s.track == nil:
		w.place(0, p.len())
	case p.stampsEach():
		p.profiles(w.follow)
		w.crossLaps()
	default:
		if s.cell.Scanner.NothingInRange && s.sight != nil {
			w.columns.learn(p)
		}
		p.profiles(func(from, to int) {
			w.follow(from, to)
			w.crossBetween(from-1, to)
		})
	}
	for _, why := range w.fate {
		if why != used {
			w.counts.Dropped[why]++
		}
	}
	return w
}

// take takes over what came of the next piece in order.
func (s *scan) take(w *worker) {
	s.table.merge(w.table)
	if s.choice != nil {
		s.choice.take(w.chosen)
	}
	s.counts.add(&w.counts)
	s.noise.add(&w.noise)
	s.first, s.last = min(s.first, w.first), max(s.last, w.last)
	w.piece.free()
	workers.Put(w)
}

// start forgets the piece before.
func (w *worker) start(s *scan, p *piece) {
	*w = worker{scan: s, piece: p, placer: newPlacer(s), profile: w.profile, fate: w.fate[:0], table: w.table,
		looked: w.looked, columns: w.columns, chosen: w.chosen[:0], first: math.Inf(1), last: math.Inf(-1)}
	w.table.reset()
	w.looked.reset()
	w.columns.forget()
	w.counts.Read = int64(p.len())
	for range p.p {
		w.fate = append(w.fate, used)
	}
}

// noiseStride is which lines the noise is read off: one in four holds thousands
// of points in every piece.
const noiseStride = 4

// listen reads the noise off some of the lines: first off neighbours, and
// then, along the runs that these bends tell from jumps, over longer lags.
func (w *worker) listen() {
	w.lines(noiseStride, w.noise.readNeighbours)
	w.bends = noiseThrough(w.noise[0].readings())
	w.lines(noiseStride, func(f *profile) {
		f.joints(w.bends)
		w.noise.read(f)
	})
	if declared := w.scan.cell.Scanner.Noise; declared > 0 {
		w.sigma = Noise{AtMetre: declared}
	} else {
		w.sigma = noiseThrough(w.noise.readings())
	}
}

// lines looks at every so many-th of the piece's lines, from the first.
func (w *worker) lines(every int, do func(*profile)) {
	k := 0
	w.piece.lines(func(from, to int) {
		if k%every == 0 {
			w.profile.view(w.piece, from, to)
			if w.profile.ordered() {
				do(&w.profile)
			}
		}
		k++
	})
}

// markMixed gives mixed points their fate.
func (w *worker) markMixed() {
	if w.bends != (Noise{}) { // else too few points to tell a jump from noise
		w.lines(1, func(f *profile) { f.markMixed(w.fate, w.bends) })
	}
}

// follow takes in a profile where the arm was at its instant.
func (w *worker) follow(from, to int) {
	t := w.piece.t[from] - w.scan.cell.Scanner.Latency
	if !math.IsNaN(t) {
		w.first, w.last = min(w.first, t), max(w.last, t)
	}
	if w.placer.moveTo(t) {
		w.place(from, to)
		w.looked.stand(w.scan.sight, w.placer)
		return
	}
	for i := from; i < to; i++ {
		w.fate[i] = NoMotion
		if !returned(w.piece.p[i]) {
			w.fate[i] = NoReturn
		}
		w.looked.miss()
	}
}

// place takes in points that share one pose.
func (w *worker) place(from, to int) {
	baseFromScan := w.placer.baseFromScan
	eye := baseFromScan.Apply(w.piece.eye)
	for i := from; i < to; i++ {
		if !returned(w.piece.p[i]) {
			w.fate[i] = NoReturn
			if along, ok := w.columns.at(i - from); ok {
				w.claim(eye, baseFromScan.R.Apply(along))
			} else {
				w.looked.miss()
			}
			continue
		}
		p := baseFromScan.Apply(w.piece.p[i])
		toward := r3.Sub(eye, p)
		r := norm(toward)
		sigma := w.sigma.Sigma(r)
		if why, drop := w.placer.drop(p, r, sigma); drop {
			w.fate[i] = why
		}
		if w.fate[i] == OutOfRange && r > w.placer.limits[1] && w.scan.cell.Scanner.NothingInRange {
			w.claim(eye, r3.Scale(-1/r, toward))
		} else {
			w.looked.see(w.fate[i], eye, toward, r, sigma)
		}
		switch ordinal := w.piece.at + int64(i); {
		case w.fate[i] != used:
		case w.scan.choice != nil:
			w.chosen = append(w.chosen, stamped{w.piece.t[i], w.piece.p[i], lot(ordinal)})
		default:
			w.table.add(p, r3.Scale(1/r, toward), r, ordinal)
		}
	}
}
