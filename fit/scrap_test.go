package fit

import (
	"testing"

	"cellwall/fit/surface"
)

// A faint face goes to the loose ones; the first stays, and so do those of a vise.
func TestShed(t *testing.T) {
	faint := surface.Surface{Cov: surface.Cov3{{}, {0, 1e-4, 0}, {0, 0, 1e-4}}}
	faces := func() []Face {
		return []Face{{Name: "top", Surface: faint}, {Name: "leg-1"}, {Name: "leg-2", Surface: faint}}
	}
	table := Object{Kind: Table, Faces: faces()}
	if got := table.shed(); len(got) != 1 || len(table.Faces) != 2 || table.Faces[0].Name != "top" || table.Faces[1].Name != "leg-1" {
		t.Errorf("shed %d, kept %v", len(got), table.Faces)
	}
	vise := Object{Kind: Vise, Faces: faces()}
	if got := vise.shed(); len(got) != 0 || len(vise.Faces) != 3 {
		t.Errorf("a vise shed %d faces", len(got))
	}
}
