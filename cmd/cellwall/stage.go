package main

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"cellwall/mapping/cell"
	"cellwall/mapping/motion"
	"cellwall/scene"
	"cellwall/scene/reach"
	"cellwall/scene/reach/guard"
	"cellwall/scene/space"
)

// stage is the arm in its mapped cell, ready to be held against it.
type stage struct {
	check  *reach.Checker
	states *space.States // nil where the map does not tell which space was seen
	homes  [][]float64   // the posture in which each scan began
}

// newStage for the cell's robot, which has stood wherever it scanned from.
func newStage(in *cell.Cell, s *scene.Scene, o *reachOptions) (*stage, error) {
	if in.Robot == nil {
		return nil, fmt.Errorf("%s names no robot, so nothing is known of its joints or its volume; add robot: FILE to cell.yaml", in.Dir)
	}
	check, err := reach.NewChecker(in.Robot, s)
	if err != nil {
		return nil, err
	}
	if err := o.choose(check); err != nil {
		return nil, err
	}
	check.Carries(in.Parts)
	out := &stage{check: check}
	if err := out.stood(in); err != nil {
		return nil, err
	}
	out.states, err = space.Open(filepath.Join(o.folder, space.FileName))
	if errors.Is(err, fs.ErrNotExist) {
		return out, nil // nothing vouches for space, so no move will be clear
	} else if err != nil {
		return nil, err
	}
	check.Look(out.states)
	return out, nil
}

// choose sets what the options say in place of the scene.
func (o *reachOptions) choose(check *reach.Checker) error {
	if o.margin != nil {
		if check.Margin = *o.margin; !(*o.margin >= 0) {
			return fmt.Errorf("--margin is %g mm, and must not be negative", *o.margin)
		}
	}
	if o.gaps != "" {
		p, err := guard.FindProfile(o.gaps)
		if err != nil {
			return err
		}
		check.Profile = &p
	}
	return nil
}

// stood tells the checker where the arm stood while it scanned.
func (x *stage) stood(in *cell.Cell) error {
	for _, scan := range in.Scans {
		if !scan.Moving() {
			continue
		}
		track, err := motion.Open(in.Path(scan.Motion), in.Robot)
		if err != nil {
			return err
		}
		if !track.Joints() {
			continue
		}
		for i := range track.Len() {
			x.check.Been(track.Posture(i))
		}
		x.homes = append(x.homes, track.Posture(0))
	}
	return nil
}
