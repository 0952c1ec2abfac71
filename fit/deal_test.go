package fit

import (
	"strings"
	"testing"

	"cellwall/fit/surface"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

var millAndBench = []cell.Wanted{{Name: "mill", Kind: "enclosure"}, {Name: "bench", Kind: "table"}}

// named is the object of a name, nil where there is none.
func (f *Findings) named(name string) *Object {
	for i := range f.Objects {
		if f.Objects[i].Name == name {
			return &f.Objects[i]
		}
	}
	return nil
}

func TestShopIsDealtOut(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	t.Parallel()
	s := shop().again()
	f := s.deal(millAndBench)
	for name, kind := range map[string]Kind{"floor": Floor, "mill": Enclosure, "bench": Table, "wall-1": Wall, "wall-2": Wall, "post-1": Post, "block-1": Block} {
		if o := f.named(name); o == nil || o.Kind != kind {
			t.Errorf("no %s named %s", kind, name)
		}
	}
	if len(f.Refused) != 0 {
		t.Errorf("refused: %+v", f.Refused)
	}
	// The machine's own table stands in the mill, and every surface has one place.
	inside, faces := 0, len(f.Loose)
	for _, o := range f.Objects {
		if o.Inside == "mill" {
			inside++
		}
		if o.Kind != Vise {
			faces += len(o.Faces)
		}
	}
	if inside == 0 {
		t.Error("nothing stands in the mill")
	}
	if faces != len(s.surfaces) {
		t.Errorf("%d surfaces were dealt out as %d", len(s.surfaces), faces)
	}
}

func TestTwoMachinesNeedAHint(t *testing.T) {
	slow(t)
	w := hall(31)
	plainMill.stand(w, standing(900, -100, 0.2))
	plainMill.stand(w, standing(-100, -1000, -1.57))
	seen := surveyed(w)
	f := seen.again().deal(millAndBench[:1])
	if len(f.Refused) != 1 || f.Refused[0].Candidates != 2 || f.named("mill") != nil {
		t.Fatalf("two machines, one name, no hint: %+v", f.Refused)
	}
	if f.named("enclosure-1") == nil || f.named("enclosure-2") == nil {
		t.Error("the machines without a name are not in the map")
	}
	near := r3.Vec{X: -100, Y: -1500}
	f = seen.again().deal([]cell.Wanted{{Name: "mill", Kind: "enclosure", Near: &near}, {Name: "other", Kind: "enclosure"}})
	if len(f.Refused) != 0 {
		t.Fatalf("refused with a hint: %+v", f.Refused)
	}
	if f.named("mill").Pose.T.Y > -500 || f.named("other").Pose.T.X < 500 {
		t.Errorf("the hint gave mill %v and other %v", f.named("mill").Pose.T, f.named("other").Pose.T)
	}
}

// Of a machine that nobody named all sides must have been seen, but not where it is
// one of two that a name without a hint may mean.
func TestPartlySeenMachineIsShownWhereItMayBeMeant(t *testing.T) {
	partly := machine{}
	partly.inner[left], partly.inner[back] = []int{1}, []int{2}
	headless := partly
	headless.missing = []string{"where the front ends on the left"}
	for among, want := range []int{0, 0, 1} {
		if got := shown([]machine{partly, headless}, among); len(got) != want {
			t.Errorf("one wanted among %d: %d are shown, want %d", among, len(got), want)
		}
	}
}

func TestNothingThereIsRefused(t *testing.T) {
	slow(t)
	w := hall(32)
	w.box(standing(900, 0, 0.1), 0, -300, 0, 400, 800, 1800) // a cabinet
	f := surveyed(w).again().deal([]cell.Wanted{
		{Name: "mill", Kind: "enclosure"}, {Name: "bench", Kind: "table"},
		{Name: "vise", Kind: "vise", Inside: "mill", FixedJaw: "far"}, {Name: "pillar", Kind: "post"},
	})
	if len(f.Refused) != 4 {
		t.Fatalf("%d refused, want all 4: %+v", len(f.Refused), f.Refused)
	}
	for _, r := range f.Refused {
		if r.Reason == "" || r.ScanNext == "" {
			t.Errorf("%s is refused without a word: %+v", r.Name, r)
		}
	}
	for _, o := range f.Objects {
		if o.Kind == Enclosure || o.Kind == Table || o.Kind == Vise || o.Kind == Post {
			t.Errorf("a %s where there is none: %s", o.Kind, o.Name)
		}
	}
}

func TestRefusalNamesTheMissingFace(t *testing.T) {
	f := &Findings{}
	f.refuse(cell.Wanted{Name: "mill", Kind: "enclosure"}, []string{"where the front ends on the left"})
	if len(f.Refused) != 1 || !strings.Contains(f.Refused[0].Reason, "front ends on the left") {
		t.Errorf("%+v", f.Refused)
	}
	f.refuse(cell.Wanted{Name: "bench"}, nil)
	if len(f.Refused) != 1 {
		t.Error("refused though nothing is missing")
	}
}

// A machine of which only the front and the back were seen looks like a door in
// a wall of the room. It is one where cell.yaml says that a machine stands there,
// and none otherwise.
func TestMachineByItsBackOnlyWhereWanted(t *testing.T) {
	slow(t)
	w := hall(4)
	at := standing(1000, 0, 0)
	w.box(at, 0, -900, 0, 3, 550, 2000)
	w.box(at, 0, 350, 0, 3, 550, 2000)
	w.box(at, 0, -350, 0, 3, 700, 850)
	w.box(at, 0, -350, 1550, 3, 700, 450)
	w.box(at, 1000, -900, 0, 3, 1800, 2000)
	enclosures := func(wanted ...cell.Wanted) (names []string) {
		for _, o := range surveyed(w).again().deal(wanted).Objects {
			if o.Kind == Enclosure {
				names = append(names, o.Name)
			}
		}
		return names
	}
	if got := enclosures(cell.Wanted{Name: "mill", Kind: "enclosure"}); len(got) != 1 || got[0] != "mill" {
		t.Errorf("wanted, but found %v", got)
	}
	if got := enclosures(); len(got) != 0 {
		t.Errorf("not wanted, but found %v", got)
	}
}

// What stands in a machine, and its own sheet metal, is no wall of the room; what
// it stands against is.
func TestOfRoom(t *testing.T) {
	body := geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 1500, Z: 1000}}, Size: r3.Vec{X: 1200, Y: 1600, Z: 2000}}
	stations := []station{{name: "mill", body: body}}
	away := r3.Vec{X: -1}
	for _, c := range []struct {
		name string
		face surface.Surface
		room bool
	}{
		{"its column", tile(r3.Vec{X: 1900, Z: 1200}, away, 400, 1400), false},
		{"its back, seen from inside", tile(r3.Vec{X: 2097, Z: 1000}, away, 1590, 1990), false},
		{"its side, 20 mm out", tile(r3.Vec{X: 1500, Y: 820, Z: 1000}, r3.Vec{Y: 1}, 1100, 1900), false},
		{"the wall 40 mm behind it", tile(r3.Vec{X: 2140, Z: 1300}, away, 5000, 2600), true},
		{"a wall far off", tile(r3.Vec{X: 3000, Z: 1300}, away, 1000, 1000), true},
	} {
		if got := ofRoom(&c.face, stations); got != c.room {
			t.Errorf("%s: of the room: %v", c.name, got)
		}
	}
}
