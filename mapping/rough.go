package mapping

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"cellwall/mapping/cell"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
	"cellwall/mapping/register"
	"cellwall/mapping/sight"

	"gonum.org/v1/gonum/spatial/r3"
)

// Placed says how a scan whose pose was rough was placed.
type Placed struct {
	Scan         string
	BaseFromScan geom.Pose
	register.Placement
}

// placeRough lays every rough scan on those that are not, each by itself, and
// reads it again from where it was found to stand: in a voxel of its own frame no
// point could be told to lie in an ignored box.
func placeRough(ctx context.Context, c *cell.Cell, scans []*scan, noise Noise, looked *sight.Grid, watch *watch) ([]Placed, error) {
	if !slices.ContainsFunc(scans, func(s *scan) bool { return s.loose }) {
		return nil, nil
	}
	var sure []register.Scan
	for _, s := range scans {
		if !s.loose {
			sure = append(sure, s.shown(noise))
		}
	}
	accuracy := 0.0
	if c.Robot != nil {
		accuracy = c.Robot.PoseSigma
	}
	var out []Placed
	for i, s := range scans {
		if !s.loose {
			continue
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		p, err := s.register(sure, noise, accuracy)
		if err != nil {
			return nil, err
		}
		s.table = nil // before the same is read again
		how := manner{pose: p.BaseFromScan, sight: looked}
		if scans[i], err = readScan(ctx, c, s.spec, how, watch.from(i, watch.size[i])); err != nil {
			return nil, err
		}
		out = append(out, *p)
	}
	return out, nil
}

// register finds where the rough scan stood.
func (s *scan) register(sure []register.Scan, noise Noise, accuracy float64) (*Placed, error) {
	shown := s.shown(noise)
	rough := register.Rough{Shift: s.spec.Rough.Shift, Turn: s.spec.Rough.Turn}
	p, err := register.Place(sure, shown, middleEye(shown.Voxels), rough, accuracy)
	var why *register.Refusal
	if errors.As(err, &why) {
		return nil, &fault.Error{File: s.cell.Path("cell.yaml"), Line: s.spec.Line, Where: "scan " + s.spec.Name,
			Rule: "it cannot be placed: " + why.Reason, Remedy: why.Remedy}
	} else if err != nil {
		return nil, fmt.Errorf("scan %s: %w", s.spec.Name, err)
	}
	return &Placed{Scan: s.spec.Name, BaseFromScan: p.Motion.Mul(s.pose), Placement: *p}, nil
}

// shown is the scan as a registration takes it. A still scan comes from another
// scanner than the arm's: its noise is what it shows itself, where it does.
func (s *scan) shown(noise Noise) register.Scan {
	if s.track == nil {
		if own := noiseThrough(s.table.thickness()); own != (Noise{}) {
			noise = own
		}
	}
	out := register.Scan{Sigma: noise.Sigma, Voxels: make([]register.Voxel, 0, s.table.n)}
	for i := range s.table.n {
		if sum := s.table.at(i); sum.n > 0 {
			v := sum.voxel()
			out.Voxels = append(out.Voxels, register.Voxel{Moments: v.Moments, Edge: float64(v.Edge), Toward: v.Toward, Range: v.Range})
		}
	}
	return out
}

// middleEye is the mean of the eyes from which the points were seen.
func middleEye(voxels []register.Voxel) r3.Vec {
	var sum r3.Vec
	var n float64
	for i := range voxels {
		v := &voxels[i]
		sum = r3.Add(sum, r3.Scale(v.N, r3.Add(v.Mean, r3.Scale(v.Range, v.Toward))))
		n += v.N
	}
	return r3.Scale(1/n, sum)
}
