package main

import (
	"fmt"
	"io"

	"cellwall/cmd/trials/judge"
	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/scene"
	"cellwall/scene/moves"

	"gonum.org/v1/gonum/spatial/r3"
)

// slipTally counts what was told of vises in a machine that was pushed about.
type slipTally struct {
	slips, slipsTold int // that slipped by 1 mm or more, and those that were said to
	stays, staysTold int // that did not, and those that were said to
	silent           int // of both: it was not told, or in part and that part had not slipped
}

// viseMap is a shop and the map that was made of it.
type viseMap struct {
	*fixtures.Shop
	*scene.Scene
}

// viseScanned tells whether the scans of a shop are such that its vise should be located.
func viseScanned(shop *fixtures.Shop) bool {
	all := judge.Vises(shop)
	return len(all) > 0 && all[0].Scanned() && all[0].Told
}

// add holds what was told of the vise against whether it slipped.
func (t *slipTally) add(w io.Writer, c *moves.Comparison, of [2]viseMap) {
	seed := of[0].Settings.Seed
	slipped := of[0].Settings.Vise != of[1].Settings.Vise
	all, told := &t.stays, &t.staysTold
	if slipped {
		all, told = &t.slips, &t.slipsTold
	}
	*all++
	if len(c.Slips) == 0 || !c.Slips[0].Whole() && !c.Slips[0].Slipped {
		t.silent++
		fmt.Fprintf(w, "  seed %d: vise slipped %v, nothing told: %s\n", seed, slipped, silence(c, of))
		return
	}
	s := c.Slips[0]
	if s.Slipped {
		*told++
	}
	if s.Slipped != slipped {
		fmt.Fprintf(w, "  seed %d: vise slipped %v, told %v: %.2f mm, p %.2g\n", seed, slipped, s.Slipped, r3.Norm(s.Shift), s.Test.P())
	}
}

// silence is why nothing was told of a vise's slip.
func silence(c *moves.Comparison, of [2]viseMap) string {
	if len(c.Slips) > 0 {
		return fmt.Sprint("open is ", c.Slips[0].Open)
	}
	if _, ok := c.Move("mill"); !ok {
		return "the mill's move is not told"
	}
	for i, when := range [2]string{"old", "new"} {
		for _, r := range of[i].NotLocated {
			if r.Kind == fit.Vise {
				return fmt.Sprintf("not located in the %s map: %s", when, r.Reason)
			}
		}
	}
	return fmt.Sprint("untold ", c.Untold)
}

func (t *slipTally) show(w io.Writer, which string) {
	fmt.Fprintf(w, "%s: %d that slipped, %d said to; %d that stayed, %d said to have slipped; nothing said of %d\n",
		which, t.slips, t.slipsTold, t.stays, t.staysTold, t.silent)
}
