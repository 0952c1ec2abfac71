package main

import (
	"context"
	"errors"
	"fmt"
	"math"

	"cellwall/export/drawing"
	"cellwall/export/reachsheet"
	"cellwall/mapping/cell"
	"cellwall/scene/reach"
	"cellwall/scene/solid"
)

// wholeReach works out what the arm can reach.
func wholeReach(ctx context.Context, check *reach.Checker, r *reachsheet.Result, restricted []cell.Restricted, o *reachOptions) error {
	limits, err := limitsOf(check, restricted, o)
	if err != nil {
		return err
	}
	found, err := check.Whole(ctx, limits)
	if err != nil {
		return err
	}
	r.Report.TakeWhole(check, limits, found)
	if s := r.Scene.Space; s != nil {
		r.Report.Whole.Unseen = &s.UnseenInReach
	}
	if o.keepOff != "" {
		offs, err := check.KeepOffs(o.keepOff, limits)
		if err != nil {
			return fmt.Errorf("--keep-off: %w", err)
		}
		r.Report.TakeKeepOffs(o.keepOff, offs)
	}
	r.Figure.About = "What the arm can take up"
	r.Figure.Nearest = nearestObjects(r.Report.Whole)
	return spaces(ctx, check, r, limits)
}

// spaces puts the maximum space in, and the restricted one where a limit is
// narrower than the robot's own.
func spaces(ctx context.Context, check *reach.Checker, r *reachsheet.Result, limits reach.Limits) error {
	maximum, err := check.Extent(ctx, check.Limits())
	if errors.Is(err, reach.ErrCoupled) {
		r.Figure.About = err.Error()
		return nil
	} else if err != nil {
		return err
	}
	var narrower *reach.Extent
	if !limits.Same(check.Limits()) {
		if narrower, err = check.Extent(ctx, limits); err != nil {
			return err
		}
	}
	r.Report.TakeSpace(maximum, narrower)
	solidOf := func(e *reach.Extent) *solid.Mesh {
		m := e.Solid()
		return &m
	}
	r.Maximum, r.Figure.Limits = solidOf(maximum), maximum
	if narrower != nil {
		r.Restricted = solidOf(narrower)
	}
	for _, v := range drawing.ReachViews(r.Scene) {
		r.Figure.Maximum = append(r.Figure.Maximum, maximum.Outline(v))
		if narrower != nil {
			r.Figure.Restricted = append(r.Figure.Restricted, narrower.Outline(v))
		}
	}
	return nil
}

// limitsOf are the robot's own, narrowed by the cell's file and by the call.
func limitsOf(check *reach.Checker, restricted []cell.Restricted, o *reachOptions) (reach.Limits, error) {
	limits := check.Limits()
	for _, x := range restricted {
		if err := limits.Restrict(x.Joint+1, x.Min, x.Max); err != nil {
			return limits, fmt.Errorf("restricted: %w", err)
		}
	}
	for _, text := range o.restrict {
		var joint int
		var lo, hi float64
		if n, err := fmt.Sscanf(text+"\n", "j%d=%g:%g\n", &joint, &lo, &hi); n != 3 || err != nil {
			return limits, fmt.Errorf("--restrict %s is not understood; write a joint and its range in deg, such as j1=-60:60", text)
		}
		if err := limits.Restrict(joint, lo*math.Pi/180, hi*math.Pi/180); err != nil {
			return limits, fmt.Errorf("--restrict %s: %w", text, err)
		}
	}
	return limits, nil
}
