package vise

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// witness is what was seen of a face.
type witness struct {
	points  float64
	covered float64 // part of the face's cells that hold points, 0 to 1
	cells   int     // that hold points, of coverCell
}

const (
	coverCell   = 5.0  // mm: cells in which what was seen is counted; coverage in patches where these are coarser
	insideSolid = 3.0  // mm: rounding, noise and disagreeing sweeps end before this depth
	mostWrong   = 0.12 // of the points: rays through the jaws, points in them
	leastTop    = 0.15 // of a top seen: below, it may be the rim of anything
	leastFace   = 30   // points on a face that carries the datum
	leastPatch  = 6    // cells, 150 mm^2 or more
	mostLift    = 1.5  // mm: jaws further out of line than this are no pair
	mostAside   = 3.0
	mostBeyond  = 0.5 // of a rim outside a top, with points in its plane
	inPlane     = 1.0 // mm
	mostStep    = 2.0 // mm: a chamfer and what an edge is uncertain by, together
)

// witnesses counts what was seen of every face.
func (f *fit) witnesses() (w [numFaces]witness) {
	wide := max(coverCell, f.view.pitch)
	fine, coarse := f.cells(coverCell), f.cells(wide)
	for i := range f.points {
		if p := &f.points[i]; p.face < numFaces && p.weight > 0 {
			w[p.face].points += p.n
		}
	}
	for k := range w {
		w[k].cells = fine[k]
		w[k].covered = min(1, float64(coarse[k])*wide*wide/f.area(face(k)))
	}
	return w
}

// cells is how many cells of the given edge hold points of each face.
func (f *fit) cells(edge float64) (n [numFaces]int) {
	held := map[[3]int32]bool{}
	for i := range f.points {
		p := &f.points[i]
		if p.face == numFaces || p.weight == 0 {
			continue
		}
		u, t := onFace(p.face, f.seen[i])
		if key := [3]int32{int32(p.face), int32(math.Floor(u / edge)), int32(math.Floor(t / edge))}; !held[key] {
			held[key] = true
			n[p.face]++
		}
	}
	return n
}

// drop takes from the faces of which too little was seen the points that lie on
// them: a few may be of anything that ends there, a chip, the body below, and would
// hold the jaws to it as closely as a face does.
func (f *fit) drop() {
	seen := f.cells(coverCell)
	for i := range f.points {
		if p := &f.points[i]; p.face < numFaces && seen[p.face] < leastPatch {
			p.face = numFaces
		}
	}
}

// wrong is the part of the points around the jaws that speak against them: those
// inside a jaw, and those whose rays came through one.
func (f *fit) wrong() float64 {
	var against, with float64
	for i := range f.points {
		p := &f.points[i]
		if p.face < numFaces && p.weight > 0 {
			with += p.n
			continue
		}
		for _, moving := range []bool{false, true} {
			lo, hi := f.block(moving)
			skin := insideSolid + p.blur
			lo = r3.Add(lo, r3.Vec{X: skin, Y: skin, Z: skin})
			hi = r3.Sub(hi, r3.Vec{X: skin, Y: skin, Z: skin})
			if pierces(f.seen[i], f.rays[i], lo, hi) {
				against += p.n
				break
			}
		}
	}
	return against / max(against+with, 1)
}

// pierces tells whether the ray from p along d meets the block (slabs: Kay and
// Kajiya, SIGGRAPH 1986).
func pierces(p, d, lo, hi r3.Vec) bool {
	near, far := 0.0, math.Inf(1)
	a, b, l, h := vec(p), vec(d), vec(lo), vec(hi)
	for k := range 3 {
		t0, t1 := (l[k]-a[k])/b[k], (h[k]-a[k])/b[k]
		if t0 > t1 {
			t0, t1 = t1, t0
		}
		near, far = max(near, t0), min(far, t1)
	}
	return near < far
}

// isVise tells whether the fitted jaws are a vise's and the wanted one's.
func (f *fit) isVise(want Want) *refusal {
	w := f.witnesses()
	if f.mixture.failed {
		return refuse(stageShape, lookCloser, "what looks like two jaws at %s has too few faces to fit a vise to", f.where())
	}
	if math.Abs(f.size[lift]) > mostLift || math.Abs(f.size[sideways]) > mostAside {
		return refuse(stageShape, lookCloser, "what looks like two jaws at %s is out of line: one top is %.1f mm higher and %.1f mm aside", f.where(), f.size[lift], f.size[sideways])
	}
	if bad := f.wrong(); bad > mostWrong {
		return refuse(stageShape, lookCloser, "what looks like two jaws at %s is not solid: %.0f %% of the rays there went through it", f.where(), 100*bad)
	}
	if w[fixedTop].covered < leastTop && w[movingTop].covered < leastTop {
		return refuse(stageShape, lookCloser, "of what looks like two jaws at %s too little of the tops was seen", f.where())
	}
	if k, side, ok := f.runsOn(); ok {
		return refuse(stageShape, lookCloser, "what looks like the %s at %s is no jaw's: it runs on past its %s", words(k), f.where(), side)
	}
	r := f.fits(want)
	if upright := w[fixedFace].cells + w[movingFace].cells + w[fixedBack].cells + w[movingBack].cells; upright < leastPatch {
		if r == nil && want.Width > 0 {
			return f.missing(fixedFace, &w) // of its size, and in one line: it is the vise
		}
		return refuse(stageShape, lookCloser, "what looks like two jaws at %s has no upright face in sight", f.where())
	}
	if r != nil && blind(&w) {
		r.stage = stageShape // without a face at the gap it may be anything: not worth telling
	}
	return r
}

// runsOn looks for a top that does not end where a jaw's must: at both ends,
// and at the back.
func (f *fit) runsOn() (k face, side string, found bool) {
	for _, c := range []struct {
		carrier, target face
		side            string
	}{
		{fixedTop, fixedLeft, "left end"}, {fixedTop, fixedRight, "right end"}, {fixedTop, fixedBack, "back"},
		{movingTop, movingLeft, "left end"}, {movingTop, movingRight, "right end"}, {movingTop, movingBack, "back"},
	} {
		if f.beyond(c.carrier, c.target) > mostBeyond {
			return c.carrier, c.side, true
		}
	}
	return 0, "", false
}

// beyond is the part of a rim outside the carrier's edge with the target in
// which points lie in the carrier's plane.
func (f *fit) beyond(carrier, target face) float64 {
	up, out := faces[carrier].normal, faces[target].normal
	along := r3.Cross(up, out)
	lo, hi := f.extent(carrier)
	t0, t1 := min(r3.Dot(along, lo), r3.Dot(along, hi)), max(r3.Dot(along, lo), r3.Dot(along, hi))
	cell := max(coverCell, f.view.pitch)
	hit := make([]bool, int((t1-t0)/cell)+1)
	n := 0
	for i, q := range f.seen {
		u, t := r3.Dot(out, q)-f.offset(target), r3.Dot(along, q)
		if u < ringGap || u > ringGap+ringWide || t < t0 || t > t1 || math.Abs(r3.Dot(up, q)-f.offset(carrier)) > inPlane || f.points[i].blur > 0 {
			continue
		}
		if k := int((t - t0) / cell); !hit[k] {
			hit[k] = true
			n++
		}
	}
	return float64(n) / float64(len(hit))
}

const lookCloser = "a close pass over the vise from above the gap, with both jaws in full view"

// agrees tells whether the given sizes and the edges hold together after the
// final fit. Where they do not, the jaws are stepped, or a size is wrong, and the
// fit lies somewhere between the two.
func (f *fit) agrees(want Want) *refusal {
	for _, s := range []struct {
		name  string
		size  int
		given float64
	}{{"width", width, want.Width}, {"depth", depthFixed, want.Depth}, {"depth", depthMoving, want.Depth}} {
		if s.given > 0 && math.Abs(f.size[s.size]-s.given) > significant*sizeTolerance {
			return refuse(stageSize, "nothing: check the given sizes, or leave out the one that does not fit",
				"two jaws at %s seem to have a %s of %.1f mm, not the given %.1f mm", f.where(), s.name, f.size[s.size], s.given)
		}
	}
	if k, step := f.stepped(); step > mostStep {
		return refuse(stageSize, "nothing: check the given sizes; the datum of stepped jaws has to be touched off",
			"two jaws at %s are stepped, or of another depth: the %s ends %.1f mm before the face below it", f.where(), words(k), step)
	}
	return nil
}

// stepped is how far before the jaw's inner face rays certainly went down through
// its top, mm, in the middling strip of any scan, and whose top that is. The first
// ray beyond an edge may be one that half met the top, whose point lies between
// what is near and far: it tells no more than the next.
func (f *fit) stepped() (top face, step float64) {
	for _, c := range []struct{ carrier, target face }{{fixedTop, fixedFace}, {movingTop, movingFace}} {
		for _, b := range f.brackets(c.carrier, c.target, false) {
			index, _, gaps := b.strips()
			var short []float64
			for k, i := range index {
				short = append(short, f.offset(c.target)-b.outer[i]-gaps[k])
			}
			if s := median(short); s > step {
				top, step = c.carrier, s
			}
		}
	}
	return top, step
}

// fits compares the sizes with those that were given, while nothing but what was
// seen has gone into the fit.
func (f *fit) fits(want Want) *refusal {
	for _, s := range []struct {
		name  string
		size  int
		given float64
		trade [2]float64
	}{
		{"width", width, want.Width, tradeWidth},
		{"depth", depthFixed, want.Depth, tradeDepth},
		{"depth", depthMoving, want.Depth, tradeDepth},
	} {
		slack := significant * f.sigma(atSizes+s.size)
		if r := around(s.given, s.trade); slack < sizeMismatch && (f.size[s.size] < r[0]-slack || f.size[s.size] > r[1]+slack) {
			if s.given == 0 {
				return refuse(stageShape, lookCloser, "two jaws at %s have a %s of %.1f mm, which no machine vise has", f.where(), s.name, f.size[s.size])
			}
			return refuse(stageSize, "nothing: check the given sizes", "two jaws at %s have a %s of %.1f mm, not the given %.1f mm", f.where(), s.name, f.size[s.size], s.given)
		}
	}
	return nil
}
