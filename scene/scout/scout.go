// Package scout says which sweeps to add to a map: those with which the scanner
// on the arm's wrist would see most of the space in reach that nobody has
// looked into, over ways that are clear by the map as it stands, or at least of
// all that it holds.
package scout

import (
	"container/heap"
	"context"
	"errors"
	"math"
	"slices"

	"cellwall/mapping/arm"
	"cellwall/mapping/cell"
	"cellwall/scene/reach"
	"cellwall/scene/space"
)

// Sweep is one to add: one joint turns while the scanner runs. Joint angles are
// rad.
type Sweep struct {
	Way   [][]float64 // from a posture that the arm scanned from to one between From and To; clear
	From  []float64   // where the sweep begins
	To    []float64   // where it ends; the way there is clear
	Joint int         // that turns, from 0
	Sees  float64     // unseen space in reach that it is expected to see and those before it are not, m^3
	Blind bool        // the arm itself goes through unseen space, on the way or in the sweep
}

// Plan is what is worth adding.
type Plan struct {
	Unseen float64 // space in reach that was not looked into, m^3
	Sweeps []Sweep // best first
	Apart  float64 // rays and profiles further apart than this angle leave gaps at the reach's rim, rad
}

// Cell is what the sweeps are for.
type Cell struct {
	Arm     *arm.Arm
	Scanner cell.Scanner
	States  *space.States
	Check   *reach.Checker // that was told of the states
	Homes   [][]float64    // postures that the arm scanned from
	// Blind allows ways that are clear of all that the map holds, but lead
	// through space that nobody has looked into.
	Blind bool
}

// What a search goes through: so many postures that were reached or so many
// that were tried.
const (
	tried = 300
	begun = 60
)

// worth is the least part of the unseen space for which a sweep is proposed.
const worth = 0.005

// Propose finds up to n sweeps, one after the other, each that which is
// expected to see most beside those before it. Such a greedy choice sees at
// least 63 % of what the best n together would (Nemhauser, Wolsey and Fisher,
// Math. Programming 14 (1978) 265).
func Propose(ctx context.Context, c *Cell, n int) (*Plan, error) {
	v, err := newViewer(c)
	if err != nil {
		return nil, err
	}
	p := &Plan{Unseen: c.States.Volumes().UnseenInReach, Apart: v.apart()}
	queue := v.promise(ctx, c.reached(ctx))
	for len(p.Sweeps) < n && len(queue) > 0 && ctx.Err() == nil {
		best := &queue[0]
		switch {
		case best.gain < worth*p.Unseen:
			queue = nil
		case !best.trimmed:
			c.trim(best)
			best.gain = v.gain(best)
			heap.Fix(&queue, 0)
		case best.after < len(p.Sweeps):
			best.gain, best.after = v.gain(best), len(p.Sweeps)
			heap.Fix(&queue, 0)
		default:
			v.take(best)
			best.Sees, best.Blind = best.gain, c.blind(&best.Sweep)
			p.Sweeps = append(p.Sweeps, best.Sweep)
			heap.Pop(&queue)
		}
	}
	return p, ctx.Err()
}

// candidate is a sweep that may be proposed. What it is expected to see only
// falls when it is trimmed to what is clear, or another is chosen: so the first
// of the queue whose gain is up to date is the best of all.
type candidate struct {
	Sweep
	gain    float64
	trimmed bool
	after   int // how many had been chosen when gain was worked out
}

type candidates []candidate

func (c candidates) Len() int           { return len(c) }
func (c candidates) Less(i, j int) bool { return c[i].gain > c[j].gain }
func (c candidates) Swap(i, j int)      { c[i], c[j] = c[j], c[i] }
func (c *candidates) Push(x any)        { *c = append(*c, x.(candidate)) }
func (c *candidates) Pop() any {
	last := len(*c) - 1
	x := (*c)[last]
	*c = (*c)[:last]
	return x
}

// promise lists the sweeps that begin from the postures by what they promise:
// every joint turned as far as its limits allow.
func (v *viewer) promise(ctx context.Context, starts []*start) candidates {
	limits := v.Check.Limits()
	var all candidates
	for _, s := range starts {
		for j := range s.q {
			x := candidate{Sweep: Sweep{Way: s.way(), From: slices.Clone(s.q), To: slices.Clone(s.q), Joint: j}}
			x.From[j], x.To[j] = limits.Lo[j], limits.Hi[j]
			if !slices.ContainsFunc(all, func(y candidate) bool { return slices.Equal(x.From, y.From) && slices.Equal(x.To, y.To) }) {
				all = append(all, x)
			}
		}
	}
	v.gains(ctx, all)
	heap.Init(&all)
	return all
}

var errNothingKnown = errors.New("the map does not tell which space was looked into, so nothing can be proposed; map the cell with a robot that has joints")

// full is a whole turn: no sweep is longer.
const full = 2 * math.Pi
