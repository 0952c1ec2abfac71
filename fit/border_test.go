package fit

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// comb makes the patches of a sheet that is closed beyond x = 0, seen by upright
// profiles pitch mm apart, their points 2.5 times as close, that cross the border
// at a slant (in mm per mm); blind is how far before the border the rays fail to
// come back.
func comb(rng *rand.Rand, pitch, slant, blind float64) *sheet {
	s := &sheet{}
	phase := pitch * rng.Float64()
	along := pitch / 2.5 // points of a profile
	for y := along / 2; y < 800; y += along {
		for x := -100 + phase + math.Mod(slant*y, pitch); x < 100; x += pitch {
			p := patch{at: [2]float64{x, y}, deep: 500, spacing: math.Sqrt(along * pitch), facing: 1}
			switch {
			case x >= 0:
				s.closed = append(s.closed, p)
			case x < -blind:
				s.open = append(s.open, p)
				s.rays = append(s.rays, rayAt(x, y))
			}
		}
	}
	return s
}

var sideways = search{axis: 0, solid: 1, guess: 6, reach: 60, from: 0, to: 800}

// The border of a sheet is found within a part of the profiles' pitch, however
// they cross it, and its sigma says how well.
func TestBorderOverPhases(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	rng := rand.New(rand.NewPCG(6, 6))
	for _, c := range []struct {
		name                string
		pitch, slant, blind float64
		lip                 bool
	}{
		{"profiles along the border", 6, 0, 0, false},
		{"profiles at a slant", 6, 0.05, 0, false},
		{"a lip hides the first rays", 6, 0.05, 9, true},
		{"a lip that no profile sweeps over", 6, 0, 9, true},
		{"coarse", 12, 0.02, 0, false},
	} {
		var sum, stated float64
		const runs = 60
		for range runs {
			q := sideways
			q.lip = c.lip
			b, ok := comb(rng, c.pitch, c.slant, c.blind).find(q)
			if !ok || !b.open || !b.closed {
				t.Fatalf("%s: no border", c.name)
			}
			sum += b.at * b.at / runs
			stated += b.sigma / runs
		}
		rms := math.Sqrt(sum)
		if rms > c.pitch/2 {
			t.Errorf("%s: rms error %.2f mm at a pitch of %.0f", c.name, rms, c.pitch)
		}
		if rms > 1.5*stated || stated > c.pitch {
			t.Errorf("%s: rms error %.2f mm, stated %.2f", c.name, rms, stated)
		}
	}
}

// The end of a front that is seen at a slant: its last points did not come back,
// the first rays past it did. It lies somewhere between, not where the points end.
func TestEndOfAFrontThatIsGrazed(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 8))
	const runs = 100
	inside := 0
	for range runs {
		s := comb(rng, 8, 0.05, 0)
		lost := 16 * rng.Float64()
		s.closed = slices.DeleteFunc(s.closed, func(p patch) bool { return p.at[0] < lost })
		b, ok := s.find(sideways)
		if !ok || !b.open || !b.closed {
			t.Fatal("no border")
		}
		if math.Abs(b.at) < 1.96*b.sigma {
			inside++
		}
	}
	if inside < 90 {
		t.Errorf("%d of %d stated 95 %% intervals hold the end", inside, runs)
	}
}

// The lower edge of a door in a thin sheet: the sill's thickness takes the rays
// that pass up to 4 mm above it, and sends some of them back from the edge. Half
// the way to the last rays through it would make every door 4 mm too low.
func TestRimOfAThinSheetIsNoPartOfTheOpening(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 9))
	var sum float64
	const runs = 40
	for range runs {
		s := &sheet{}
		for y := 4.0; y < 800; y += 8 { // profiles
			for x := -90 + 3*rng.Float64(); x < 90; x += 3 {
				p := patch{at: [2]float64{x, y}, deep: 500, spacing: 5, facing: 0.8}
				switch {
				case x < -4:
					s.open = append(s.open, p)
					s.rays = append(s.rays, rayAt(x, y))
				case x < 0:
					p.at[0] = 0.2 * rng.NormFloat64()
					s.closed = append(s.closed, p)
				default:
					s.closed = append(s.closed, p)
				}
			}
		}
		q := sideways
		q.lip, q.level, q.proud = true, true, true
		b, ok := s.find(q)
		if !ok || math.Abs(b.at) > 1.96*b.sigma {
			t.Errorf("the edge is off by %.2f mm, stated %.2f", b.at, b.sigma)
		}
		sum += b.at / runs
	}
	if math.Abs(sum) > 0.4 {
		t.Errorf("the edge is off by %.2f mm on average", sum)
	}
}

func TestBorderIsReadFromEitherSide(t *testing.T) {
	s := comb(rand.New(rand.NewPCG(1, 2)), 6, 0.05, 0)
	right, ok := s.find(sideways)
	mirror := &sheet{}
	flip := func(p patch) patch { p.at[0] = -p.at[0]; return p }
	for i := range s.closed {
		mirror.closed = append(mirror.closed, flip(s.closed[i]))
	}
	for i := range s.open {
		mirror.open = append(mirror.open, flip(s.open[i]))
		mirror.rays = append(mirror.rays, rayAt(-s.open[i].at[0], s.open[i].at[1]))
	}
	q := sideways
	q.solid, q.guess = -1, -q.guess
	left, ok2 := mirror.find(q)
	if !ok || !ok2 || math.Abs(left.at+right.at) > 1e-9 || math.Abs(left.sigma-right.sigma) > 1e-9 {
		t.Errorf("mirrored %+v against %+v", left, right)
	}
}

func TestBorderOfOneSideSaysSo(t *testing.T) {
	s := comb(rand.New(rand.NewPCG(1, 3)), 6, 0.05, 0)
	s.open, s.rays = nil, nil
	b, ok := s.find(sideways)
	if !ok || b.open || !b.closed || b.sigma < oneSided || !b.straight {
		t.Errorf("closed side alone: %+v, %v", b, ok)
	}
	s.closed = nil
	if b, ok := s.find(sideways); ok {
		t.Errorf("found %+v where nothing was seen", b)
	}
}

// Three rows in which something seems to have gone past are what strays make of
// forty; of ten they are not.
func TestStraysOpenNoBorder(t *testing.T) {
	s := comb(rand.New(rand.NewPCG(1, 4)), 6, 0.05, 0)
	s.open, s.rays = nil, nil
	for _, y := range []float64{110, 130, 150} {
		s.open = append(s.open, patch{at: [2]float64{-30, y}, deep: 500})
		s.rays = append(s.rays, rayAt(-30, y))
	}
	if b, ok := s.find(sideways); !ok || b.open {
		t.Errorf("of 40 rows: %+v, %v", b, ok)
	}
	q := sideways
	q.from, q.to = 100, 300
	if b, ok := s.find(q); !ok || !b.open {
		t.Errorf("of 10 rows: %+v, %v", b, ok)
	}
}

// At a grazing angle the last 25 mm of a table's top send nothing back, while
// the rays past its end arrive: the end is where those begin.
func TestGrazedFaceEndsWhereTheRaysPassIt(t *testing.T) {
	s := comb(rand.New(rand.NewPCG(4, 7)), 6, 0.05, 0)
	var seen []patch
	for _, p := range s.closed {
		if p.facing = 0.25; p.at[0] > 25 {
			seen = append(seen, p)
		}
	}
	s.closed = seen
	if b, ok := s.find(sideways); !ok || math.Abs(b.at) > 3*b.sigma || b.sigma > 8 {
		t.Errorf("the end lies at %.1f with sigma %.1f, want 0", b.at, b.sigma)
	}
}

// At a grazing angle the rays past an end are placed on the sheet 9 mm too far in,
// over points of the face itself: those are believed.
func TestGrazingRaysPassOverNoPoints(t *testing.T) {
	s := comb(rand.New(rand.NewPCG(4, 8)), 6, 0.05, 0)
	for i := range s.closed {
		s.closed[i].facing = 0.25
	}
	for i := range s.open {
		s.open[i].at[0] += 9
		s.rays[i] = rayAt(s.open[i].at[0], s.open[i].at[1])
	}
	if b, ok := s.find(sideways); !ok || math.Abs(b.at) > 2*b.sigma || b.sigma > 5 {
		t.Errorf("the end lies at %.1f with sigma %.1f, want 0", b.at, b.sigma)
	}
}

// A bar hangs 30 mm inside the opening, before the sheet, and rays pass on both
// of its sides: it is not the border.
func TestBarBeforeTheOpeningIsNoBorder(t *testing.T) {
	s := comb(rand.New(rand.NewPCG(4, 4)), 6, 0.05, 0)
	for y := 2.5; y < 800; y += 5 {
		s.proud = append(s.proud, patch{at: [2]float64{-30, y}, spacing: 5})
	}
	q := sideways
	q.proud = true
	if b, ok := s.find(q); !ok || math.Abs(b.at) > 4 {
		t.Errorf("the border lies at %.1f, want 0", b.at)
	}
}

func TestSlantedEndIsNotStraight(t *testing.T) {
	s := &sheet{}
	for y := 2.5; y < 800; y += 5 {
		for x := 0.2 * (y - 400); x < 150; x += 5 { // a shadow's edge
			s.closed = append(s.closed, patch{at: [2]float64{x, y}, spacing: 5})
		}
	}
	if b, ok := s.find(sideways); !ok || b.straight {
		t.Errorf("%+v, %v: a slope of 0.2 passes for straight", b, ok)
	}
}

// A board's edge takes the rays that pass close before its top: they end just behind
// its plane, before the first point on it. What ends there behind the face itself is
// noise and spikes.
func TestEdgeOfABoardIsPast(t *testing.T) {
	s := comb(rand.New(rand.NewPCG(6, 7)), 6, 0.05, 40)
	shallow := func(x, y float64) {
		r := rayAt(x, y)
		r.point.Z = -15
		s.open, s.rays = append(s.open, patch{at: [2]float64{x, y}, deep: 15}), append(s.rays, r)
	}
	for y := 10.0; y < 800; y += rowPitch {
		shallow(-8, y)
		shallow(40, y)
	}
	for board, past := range map[bool]float64{false: -40, true: -8} {
		q := sideways
		q.board = board
		for _, r := range s.rows(q).all {
			if r.open > past-q.guess+3 || r.open < past-q.guess-12 {
				t.Fatalf("a board %v: rays past a row end at %.1f, want about %.0f", board, r.open, past-q.guess)
			}
		}
	}
}
