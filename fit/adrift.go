package fit

import (
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// adrift widens all that is stated by what a scan far off the others may mean:
// that it is wrong, or that they are.
func (f *Findings) adrift(by *mapping.Aligned) {
	if by == nil || by.Off == (mapping.Rigid{}) {
		return
	}
	var off geom.Cov6
	for k := range 3 {
		off[k][k], off[3+k][3+k] = by.Off.Shift*by.Off.Shift, by.Off.Turn*by.Off.Turn
	}
	for i := range f.Objects {
		o := &f.Objects[i]
		o.Cov = o.Cov.Plus(off.At(r3.Sub(o.Pose.T, by.Middle())))
		for k := range o.Faces {
			s := &o.Faces[k].Surface
			at := off.At(r3.Sub(s.Centre, by.Middle()))
			s.Cov[0][0] += at[0][0] + at[1][1] + at[2][2]
			s.Cov[1][1] += at[3][3]
			s.Cov[2][2] += at[4][4]
		}
	}
}
