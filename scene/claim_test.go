package scene

import (
	"bytes"
	"slices"
	"testing"

	"cellwall/fit"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"
	"cellwall/scene/schema"
)

// The word of cell.yaml goes with its own object, through the file and back; a
// vise whose jaw was told by the scans carries none.
func TestClaims(t *testing.T) {
	wanted := []cell.Wanted{{Name: "left", Kind: "vise", FixedJaw: "far"}, {Name: "right", Kind: "vise"}}
	s := &Scene{}
	for _, w := range wanted {
		s.Objects = append(s.Objects, Object{
			Object: fit.Object{Name: w.Name, Kind: fit.Vise, Pose: geom.Identity()}, Claims: claims(wanted, w.Name),
		})
	}
	var b bytes.Buffer
	if err := s.WriteJSON(&b); err != nil {
		t.Fatal(err)
	}
	if err := validate(t, schema.Scene, b.Bytes()); err != nil {
		t.Error(err)
	}
	back, err := Read(&b)
	if err != nil {
		t.Fatal(err)
	}
	if got := back.Objects[0].Claims; !slices.Equal(got, []string{"the far jaw is the fixed one"}) {
		t.Errorf("left claims %q", got)
	}
	if got := back.Objects[1].Claims; len(got) > 0 {
		t.Errorf("right claims %q", got)
	}
}
