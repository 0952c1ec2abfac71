package reach

import (
	"fmt"
	"slices"

	"cellwall/mapping/arm"
	"cellwall/mapping/fault"
)

// nothing is what a row carries from where it puts the part down.
const nothing = "nothing"

// Carries says which parts a program may name.
func (c *Checker) Carries(parts []arm.Part) { c.parts = parts }

// loads are checkers for the moves to every row, with what the tool carries on
// the way: the part that a row before took up. A part that is not known is a
// *fault.Error.
func (c *Checker) loads(p *Program) ([]*Checker, error) {
	known := map[string]*Checker{nothing: c}
	names := []string{nothing}
	for i := range c.parts {
		names = append(names, c.parts[i].Name)
	}
	out := make([]*Checker, len(p.Rows))
	now := c
	for i, row := range p.Rows {
		out[i] = now
		if row.Carry == "" {
			continue
		}
		k := slices.Index(names, row.Carry)
		if k < 0 {
			return nil, &fault.Error{File: p.File, Line: row.Line, Where: "carry", Rule: fmt.Sprintf("the part %q is not known", row.Carry),
				Remedy: fmt.Sprintf("describe it under parts in cell.yaml, or write one of %q", names)}
		}
		if known[row.Carry] == nil {
			known[row.Carry] = c.carrying(&c.parts[k-1])
		}
		now = known[row.Carry]
	}
	return out, nil
}

// carrying is the checker with a part at the flange.
func (c *Checker) carrying(p *arm.Part) *Checker {
	out := *c
	out.part = p.Name
	out.pieces, out.moving, out.self = slices.Clip(c.pieces), slices.Clip(c.moving), slices.Clip(c.self)
	out.hold(&p.Volume, "part "+p.Name)
	out.selfPairs(len(c.pieces))
	return &out
}
