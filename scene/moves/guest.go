package moves

import (
	"cmp"
	"math"
	"slices"

	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

// snoop leaves out, one by one, the face that follows the motion of the others
// least, as long as chance and form do not explain it. Two faces cannot outvote
// each other, so the last three stay. The faces of the body itself, own by their
// object's name, are heard first: what stands in a machine may have slipped, or be a
// table that its axes have moved, and however many such faces agree they do not say
// where the machine is. They come in as guests if they follow: first what is level of
// each, the largest first, for slips and axes go level (common practice; a knee
// mill's table does not), then the rest of each, and of that only where the body's own
// faces leave nothing open that a slip or an axis would change.
func (f *fitted) snoop(own []string, up r3.Vec) error {
	mine, guests := f.parted(own, up)
	f.pairs = mine
	if err := f.vote(); err != nil {
		return err
	}
	for _, g := range guests {
		if !isLevel(g[0].old, up) && slices.ContainsFunc(f.Open, func(d rigid.Direction) bool { return goesLevel(d, up) }) {
			continue
		}
		if err := f.admit(g); err != nil {
			return err
		}
	}
	return nil
}

// goesLevel tells whether the direction is of those in which things slip and axes run.
func goesLevel(d rigid.Direction, up r3.Vec) bool {
	if d.Turn == (r3.Vec{}) {
		return math.Abs(r3.Dot(d.Slide, up)) < math.Cos(10*degree)
	}
	return math.Abs(r3.Dot(d.Turn, up)) > math.Sin(10*degree)
}

// isLevel tells whether a face is so level that a slip leaves it in its plane.
func isLevel(p *patch, up r3.Vec) bool {
	return math.Abs(r3.Dot(p.plane.Normal, up)) > math.Cos(2*degree)
}

// parted parts the pairs of a body's own faces from those of each other object, its
// level faces before its others, those first that share the most area.
func (f *fitted) parted(own []string, up r3.Vec) (mine []pair, guests [][]pair) {
	for _, p := range f.pairs {
		if slices.Contains(own, p.old.object) {
			mine = append(mine, p)
			continue
		}
		i := slices.IndexFunc(guests, func(g []pair) bool {
			return g[0].old.object == p.old.object && isLevel(g[0].old, up) == isLevel(p.old, up)
		})
		if i < 0 {
			guests, i = append(guests, nil), len(guests)
		}
		guests[i] = append(guests[i], p)
	}
	slices.SortStableFunc(guests, func(a, b []pair) int {
		if x, y := isLevel(a[0].old, up), isLevel(b[0].old, up); x != y {
			if x {
				return -1
			}
			return 1
		}
		return cmp.Compare(area(b), area(a))
	})
	return mine, guests
}

// admit takes the pairs of a further object into the fit if they follow it.
func (f *fitted) admit(more []pair) error {
	with, err := f.with(more)
	if err != nil {
		return err
	}
	if with != nil {
		*f = *with
		return nil
	}
	f.unlike = append(f.unlike, more...)
	return nil
}

// with is the fit with further pairs, nil where they do not follow it.
func (f *fitted) with(more []pair) (*fitted, error) {
	with := *f
	with.pairs = slices.Concat(f.pairs, more)
	if err := with.iterate(); err != nil {
		return nil, err
	}
	if with.worst(0) < 0 { // they need not be believed, so form is no excuse
		return &with, nil
	}
	return nil, nil
}
