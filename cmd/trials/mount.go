package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"slices"
	"sort"

	"cellwall/fixtures"
	"cellwall/mapping/cell"
	"cellwall/mapping/mount"
)

// What a trial's mount is off by, one sigma: most lie within 5 mm, 1 degree and
// 20 ms.
const (
	offShift   = 2.0
	offTurn    = 0.4 * degree
	offLatency = 0.008
)

// mountTrial solves one cell's mount and returns it with the truth.
func mountTrial(s fixtures.Settings) (solution *mount.Solution, truth mount.Mount, err error) {
	err = written(s, func(shop *fixtures.Shop, c *cell.Cell) error {
		truth = mount.Mount{FlangeFromScanner: shop.Truth.FlangeFromScanner, Latency: shop.Truth.Latency}
		solution, err = mount.Solve(context.Background(), c, nil)
		return err
	})
	return solution, truth, err
}

// mounts gathers over all cells.
type mounts struct {
	cells, significant int
	told               int
	sharp, wide        int // told as well as a mount is worth solving to; of these, beyond that
	inside, stated     int
	shift, turn, late  []float64
	chi                []float64
}

func (m *mounts) add(w io.Writer, seed uint64, s *mount.Solution, truth mount.Mount) {
	d0, d := s.Given.Minus(truth), s.Found.Minus(truth)
	fmt.Fprintf(w, "seed %d: given off %s; found off %s; rms %.2f to %.2f mm\n", seed, words(d0), words(d), s.Before, s.After)
	for _, text := range slices.Concat(s.Untold, s.Roughly, s.Outliers) {
		fmt.Fprintf(w, "  ! %s\n", text)
	}
	m.cells++
	if s.Significant() {
		m.significant++
	}
	var chi float64
	for _, dir := range s.Directions {
		e := dir.Along(d)
		fmt.Fprintf(w, "  told %v, sigma %.4f mm, off %.4f mm: %s\n", dir.Told, dir.Sigma, e, words(dir.Unit))
		if !dir.Told {
			continue
		}
		m.told++
		if v := dir; !v.Rough() {
			m.sharp++
			if !v.Within(e) {
				m.wide++
			}
		}
		chi += e * e / (dir.Sigma * dir.Sigma)
		m.stated++
		if math.Abs(e) < 1.96*dir.Sigma {
			m.inside++
		}
	}
	m.chi = append(m.chi, chi)
	m.shift = append(m.shift, math.Sqrt(d[0]*d[0]+d[1]*d[1]+d[2]*d[2]))
	m.turn = append(m.turn, math.Sqrt(d[3]*d[3]+d[4]*d[4]+d[5]*d[5])/degree)
	m.late = append(m.late, 1000*math.Abs(d[6]))
}

func words(d mount.Change) string {
	return fmt.Sprintf("%.2f %.2f %.2f mm, %.3f %.3f %.3f deg, %.2f ms",
		d[0], d[1], d[2], d[3]/degree, d[4]/degree, d[5]/degree, 1000*d[6])
}

// show prints the shares over all cells.
func (m *mounts) show(w io.Writer) {
	fmt.Fprintf(w, "\n%d cells; %d directions told of %d; given mount called wrong in %d\n", m.cells, m.told, 7*m.cells, m.significant)
	fmt.Fprintf(w, "told to 0.3 mm, 0.03 deg and 0.5 ms (two sigma): %d directions, of which %d err by more\n", m.sharp, m.wide)
	fmt.Fprintf(w, "95 %% intervals of told directions that hold the truth: %d of %d (%.1f %%)\n", m.inside, m.stated, 100*float64(m.inside)/float64(max(m.stated, 1)))
	fmt.Fprintf(w, "%-28s %8s %8s %8s\n", "", "median", "90 %", "worst")
	for _, row := range []struct {
		name   string
		values []float64
	}{{"scanner's origin, mm", m.shift}, {"its turn, deg", m.turn}, {"latency, ms", m.late}, {"chi-square over told", m.chi}} {
		sort.Float64s(row.values)
		fmt.Fprintf(w, "%-28s %8.3f %8.3f %8.3f\n", row.name, at(row.values, 0.5), at(row.values, 0.9), at(row.values, 1))
	}
}

// mountTrials solves the mounts of n cells, from ones that are off where off is
// set.
func mountTrials(w io.Writer, n int, seed uint64, density float64, off bool, skip []string) {
	var sum mounts
	for i := range n {
		s := fixtures.RandomOf(seed+uint64(i), fixtures.Plain)
		s.Density, s.Skip = density, skip
		if off {
			s.Errors.MountShift, s.Errors.MountTurn, s.Errors.Latency = offShift, offTurn, offLatency
		}
		solution, truth, err := mountTrial(s)
		if err != nil {
			fmt.Fprintf(w, "seed %d: %v\n", s.Seed, err)
			continue
		}
		sum.add(w, s.Seed, solution, truth)
	}
	sum.show(w)
}
