// Command trials draws random cells, maps them, and compares with the truth:
//
//	go run ./cmd/trials -n 20 -seed 1
//
// For every cell it prints what was located, the error of the jaw datum, the
// door, the planes, and the share of reached surface and free space that the
// padded scene takes; then the shares over all cells.
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"strings"

	"cellwall/cmd/trials/judge"
	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/mapping"
	"cellwall/mapping/align"
	"cellwall/mapping/cell"
	"cellwall/scene"
)

func main() {
	var (
		n       = flag.Int("n", 10, "how many cells")
		seed    = flag.Uint64("seed", 1, "of the first cell; the others follow")
		density = flag.Float64("density", 0.3, "of the scans; 1 is about 2.5 million points a cell")
		demo    = flag.Bool("demo", false, "the demo cell at these seeds instead of random cells")
		moved   = flag.Bool("moved", false, "tell moves: map every cell again after its machine was pushed about")
		still   = flag.Bool("still", false, "with -moved: the machine stays where it is")
		changed = flag.Bool("changes", false, "tell changes: map every cell again after things were put down, taken away and moved")
		kept    = flag.String("keep", "", "with -moved or -changes: keep the maps in this `folder`, and use those that are there")
		asPut   = flag.Bool("unaligned", false, "leave the scans where the arm put them")
		verbose = flag.Bool("v", false, "every plane of every cell")
		right   = flag.Bool("right-mount", false, "the scanner sits on the flange exactly as the cell's files say, not just as well as a solved mount")
		skip    = flag.String("skip", "", "sweeps that the arm does not make, with commas between")
		absent  = flag.String("absent", "", "what cell.yaml names and is not there: `vise`, or the mill and all in it")
		kind    = flag.String("build", "", "of the machine in every cell, as the table of builds calls it, or `all` of them in turn; random without")
		objects = flag.Bool("objects", false, "judge objects alone, not the space about them, which takes longer")
		stand   = flag.String("vise", "", "how the vise stands in every cell, as fixtures.Stands calls it, or `all` ways in turn; random without")
		mounts  = flag.String("mount", "", "solve the scanner's mount instead of mapping: from one that is `off`, or from the `true` one")
	)
	flag.Parse()
	if *mounts != "" {
		mountTrials(os.Stdout, *n, *seed, *density, *mounts == "off", strings.Split(*skip, ","))
		return
	}
	if *moved {
		movedTrials(maps{*kept, *asPut, *right}, *n, *seed, *density, *still, *verbose)
		return
	}
	if *changed {
		changesTrials(maps{*kept, *asPut, *right}, *n, *seed, *density, *verbose)
		return
	}
	var sum tally
	for i := range *n {
		s := standing(cellOf(*seed+uint64(i), *kind), *stand)
		if *demo {
			s = fixtures.Demo(*seed + uint64(i))
		}
		s.Absent = *absent
		s.Density, s.Skip = *density, strings.Split(*skip, ",")
		if !*right {
			s.Errors.MountShift, s.Errors.MountTurn = mountShift, mountTurn
		}
		v, refused, err := trial(s, *asPut, *objects)
		if err != nil {
			fmt.Fprintf(os.Stderr, "trials: seed %d: %v\n", s.Seed, err)
			sum.failed++
			continue
		}
		show(os.Stdout, s, v, refused, *verbose)
		sum.add(s, v, refused)
	}
	sum.show(os.Stdout)
}

// What a trial's mount is off by, one sigma along and about each axis: what a solved
// one is good to, half of the 0.3 mm and 0.03 degrees that `cellwall mount` aims at.
const (
	mountShift = 0.15
	mountTurn  = 0.015 * degree
)

// cellOf is the random cell of a seed, its machine of the build that was asked
// for.
func cellOf(seed uint64, build string) fixtures.Settings {
	switch build {
	case "":
		return fixtures.Random(seed)
	case "all":
		build = fixtures.Builds[seed%uint64(len(fixtures.Builds))]
	}
	return fixtures.RandomOf(seed, build)
}

// standing is the cell with its vise as it was asked for.
func standing(s fixtures.Settings, how string) fixtures.Settings {
	if how == "all" {
		how = fixtures.Stands[s.Seed%uint64(len(fixtures.Stands))]
	}
	return fixtures.Standing(s, how)
}

// written casts a cell into a folder of its own, which is gone afterwards, and
// opens it.
func written(s fixtures.Settings, use func(*fixtures.Shop, *cell.Cell) error) error {
	dir, err := os.MkdirTemp("", "cellwall-trial-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	shop, err := s.Write(dir)
	if err != nil {
		return err
	}
	c, err := cell.Open(dir)
	if err != nil {
		return err
	}
	return use(shop, c)
}

// build maps a cell; asPut leaves its scans where the arm put them.
func build(c *cell.Cell, asPut bool) (*scene.Scene, *fit.Findings, error) {
	cloud, err := mapping.Merge(context.Background(), c, nil)
	if err != nil {
		return nil, nil, err
	}
	if !asPut {
		if err := align.Cloud(cloud); err != nil {
			return nil, nil, err
		}
	}
	found := fit.Find(cloud, c.Wanted)
	built, err := scene.Build(c, cloud, found)
	return built, found, err
}

// trial casts, maps and judges one cell.
func trial(s fixtures.Settings, asPut, objects bool) (v judge.Verdict, refused []fit.Refusal, err error) {
	err = written(s, func(shop *fixtures.Shop, c *cell.Cell) error {
		built, found, err := build(c, asPut)
		if err != nil {
			return err
		}
		var wanted []string
		for _, w := range c.Wanted {
			wanted = append(wanted, w.Name)
		}
		points := 20000
		if objects {
			points = 0
		}
		v, refused = judge.Cell(built, shop, wanted, points), found.Refused
		return nil
	})
	return v, refused, err
}
