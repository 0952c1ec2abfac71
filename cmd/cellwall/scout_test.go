package main

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"cellwall/fixtures"
	"cellwall/scene"
	"cellwall/scene/reach"
	"cellwall/scene/scout"
)

// TestScoutedSweepsSeeWhatTheyPromise maps a cell that was scanned by passes and
// one low swing, has the simulated arm make the sweeps that are proposed for it
// in the simulated shop, and maps again. Sweeps over clear ways touch nothing
// that stands there; those through unseen space may, and then are not made. What
// is made shows at least half of the unseen space that was expected, and no more
// than all of it and a half.
func TestScoutedSweepsSeeWhatTheyPromise(t *testing.T) {
	if testing.Short() {
		t.Skip("maps two cells")
	}
	s := fixtures.Demo(4)
	s.Density, s.Skip = 0.2, []string{"swing-level", "swing-up", "swing-down"}
	before, plan := scouted(t, s)
	if len(plan.Sweeps) != 2 || plan.Sweeps[0].Sees < plan.Sweeps[1].Sees {
		t.Fatalf("%+v", plan.Sweeps)
	}
	expected := 0.0
	for i, x := range plan.Sweeps {
		turn := math.Abs(x.To[x.Joint] - x.From[x.Joint])
		more := s
		more.Turns = append(slices.Clone(s.Turns), fixtures.Turn{Name: fmt.Sprintf("more-%d", i), From: x.From, To: x.To, Seconds: 1 + turn/0.35})
		switch _, err := fixtures.Build(more); {
		case err == nil:
			s = more
			expected += x.Sees
		case !x.Blind:
			t.Error(err)
		}
	}
	after, _ := scouted(t, s)
	saw := before.Space.UnseenInReach - after.Space.UnseenInReach
	t.Logf("%.2f m3 unseen, expected to see %.2f, saw %.2f", before.Space.UnseenInReach, expected, saw)
	if expected == 0 || saw < expected/2 || saw > 1.5*expected {
		t.Errorf("the sweeps saw %.2f m3 of what was unseen, expected %.2f", saw, expected)
	}
}

// scouted is the map of a cell, and the sweeps proposed for it.
func scouted(t *testing.T, s fixtures.Settings) (*scene.Scene, *scout.Plan) {
	t.Helper()
	dir := t.TempDir()
	if _, err := s.Write(dir); err != nil {
		t.Fatal(err)
	}
	quiet := teller{progress: func(int64, int64) {}, warn: func([]string) {}}
	built, err := mapCell(t.Context(), dir, filepath.Join(dir, "map"), quiet)
	if err != nil {
		t.Fatal(err)
	}
	if s.Turns != nil {
		return built, nil
	}
	plan, err := scoutCell(t.Context(), dir, 2, true, quiet)
	if err != nil {
		t.Fatal(err)
	}
	meetsNothingMapped(t, dir, plan)
	return built, plan
}

// meetsNothingMapped holds the written moves against the map, as the user is
// told to: each sweep from its own home.
func meetsNothingMapped(t *testing.T, dir string, plan *scout.Plan) {
	t.Helper()
	for _, s := range plan.Sweeps {
		file := filepath.Join(t.TempDir(), "sweep.csv")
		f, err := os.Create(file)
		if err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(s.WriteProgram(f), f.Close()); err != nil {
			t.Fatal(err)
		}
		o := &reachOptions{program: file}
		o.settle(dir)
		r, err := reachOf(t.Context(), dir, o, teller{warn: func([]string) {}})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range r.Report.Moves {
			if m.Verdict != reach.Clear && !(s.Blind && m.Verdict == reach.IntoUnseen) {
				t.Errorf("%s: %s", m.Name, m.Verdict)
			}
		}
	}
}

func TestScoutSpeaks(t *testing.T) {
	p := &scout.Plan{Unseen: 2, Apart: math.Pi / 180, Sweeps: []scout.Sweep{{
		Way: [][]float64{{0, 1}}, From: []float64{-math.Pi, 1}, To: []float64{math.Pi / 2, 1}, Joint: 0, Sees: 0.5}}}
	var out bytes.Buffer
	if err := printScout(&out, &common{}, p, ""); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"2.00 m3 that", "j1", "-180°", "90°", "j2 57.3°", "0.50 m3", "1.50 m3", "1.0° apart"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is not in\n%s", want, out.String())
		}
	}
}
