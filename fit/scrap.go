package fit

import "cellwall/fit/surface"

// shed takes the faint faces off an object and returns them as loose: what
// stands there stays in the scene, but nobody is told that it is a face. An
// object keeps its first face, on which its datum may rest, and a vise all: its
// faces are those of one model, known by all the evidence at once.
func (o *Object) shed() (scraps []surface.Surface) {
	if o.Kind == Vise || len(o.Faces) == 0 {
		return nil
	}
	kept := o.Faces[:1]
	for _, f := range o.Faces[1:] {
		if f.Faint() {
			scraps = append(scraps, f.Surface)
		} else {
			kept = append(kept, f)
		}
	}
	o.Faces = kept
	return scraps
}
