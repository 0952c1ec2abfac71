package reach

import (
	"context"

	"cellwall/mapping/cores"
	"cellwall/mapping/fault"
)

// Verdict on a move.
type Verdict string

// The verdicts, from the worst. None says that a move is without danger.
const (
	Hit        Verdict = "hit"                    // the arm and an object overlap, or the arm and itself
	Near       Verdict = "near"                   // the bound lies under the margin
	IntoUnseen Verdict = "unseen"                 // the arm enters space that nobody has seen
	Unchecked  Verdict = "not checked for unseen" // far enough from all, but nothing is known of unseen space
	Clear      Verdict = "clear"                  // nowhere nearer than the margin, and all that it sweeps was seen
)

// Move is what was found of one row: the move to it from the row before, or for
// the first row the posture itself.
type Move struct {
	Name    string
	Motion  Motion
	Line    int // in the program's file
	Verdict Verdict
	Scene   Clearance // to the scene
	Self    Clearance // of the arm to itself
	Unseen  *Unseen   // where it enters unseen space; nil where it does not
	Gaps    []Gap     // that can crush, by the checker's profile
	End     []float64 // joint angles where it ends, rad
	Carry   string    // the part carried on the way; empty for none
	way     way
	by      *Checker // with the part
}

// rounding, mm: links that are allowed to overlap as far as they once did are at
// zero distance there, and only less is a hit. The arm is held against itself to
// within closeness.
const rounding = 1e-6

// Moves checks every row of the program, on all cores. Rows that the arm cannot
// go are a *fault.Error that names file, line and row.
func (c *Checker) Moves(ctx context.Context, p *Program) ([]Move, error) {
	ways := make([]way, len(p.Rows))
	carries, err := c.loads(p)
	if err != nil {
		return nil, err
	}
	var at []float64
	for i := range p.Rows {
		row := &p.Rows[i]
		w, err := c.to(row, at)
		if err != nil {
			remedy := "change the row, or the way it is reached"
			if i == 0 {
				remedy = "choose a posture by the column config, such as j3<0 j5>0, or give joints"
			}
			return nil, &fault.Error{File: p.File, Line: row.Line, Where: row.Name, Rule: err.Error(), Remedy: remedy, Cause: err}
		}
		ways[i], at = w, w.knots[len(w.knots)-1]
	}
	out := make([]Move, len(ways))
	cores.Until(ctx, len(ways), func(i int) {
		row := p.Rows[i]
		out[i] = carries[i].move(ways[i])
		out[i].Name, out[i].Motion, out[i].Line, out[i].Carry = row.Name, row.Motion, row.Line, carries[i].part
	})
	return out, ctx.Err()
}

// Between is the move of all joints together from one posture to another.
func (c *Checker) Between(from, to []float64) Move { return c.move(way{knots: [][]float64{from, to}}) }

// move is the verdict on a way.
func (c *Checker) move(w way) Move {
	m := Move{End: w.knots[len(w.knots)-1], way: w, by: c}
	m.Scene = c.along(w, none, scenePairs)
	m.Self = c.along(w, none, ownPairs)
	if c.unseen != nil {
		m.Unseen = c.entersUnseen(w)
	}
	if c.Profile != nil {
		m.Gaps = c.gaps(w)
	}
	switch {
	case m.Scene.Least <= 0 || m.Self.Least < -rounding:
		m.Verdict = Hit
	case m.Scene.Bound < c.Margin:
		m.Verdict = Near
	case c.unseen == nil:
		m.Verdict = Unchecked
	case m.Unseen != nil:
		m.Verdict = IntoUnseen
		if c.seen != nil {
			c.amount(w, m.Unseen)
		}
	default:
		m.Verdict = Clear
	}
	return m
}

// Nearest is the move that comes nearest to the scene; nil where there is nothing.
func Nearest(moves []Move) *Move {
	var out *Move
	for i := range moves {
		if m := &moves[i]; m.Scene.Q != nil && (out == nil || m.Scene.Least < out.Scene.Least) {
			out = m
		}
	}
	return out
}

// along is the clearance along all of a way, where it is under limit.
func (c *Checker) along(w way, limit float64, pairs func(*search) []pair) Clearance {
	best := Clearance{Least: limit}
	parts := float64(len(w.knots) - 1)
	bound := limit
	for i := range len(w.knots) - 1 {
		got := c.straight(w.knots[i], w.knots[i+1], best.Least, pairs)
		bound = min(bound, got.Bound)
		if got.Least < best.Least {
			best = got
			best.At = (float64(i) + got.At) / parts
		}
	}
	best.Bound = bound - w.slack
	return best
}
