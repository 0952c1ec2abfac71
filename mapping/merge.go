package mapping

import (
	"context"

	"cellwall/mapping/cell"
)

// Merge reads every scan of the cell, places its points in the base frame,
// filters them in the order of Reason, and merges what is left into voxels:
// each scan by itself, so that the spread between scans stays visible. A still
// scan whose pose is rough is first laid on the others, and then read again where
// it belongs.
//
// progress, where it is not nil, is told now and then how many bytes of how
// many have been read. The cloud is the same, bit by bit, whatever the number
// of cores. A scan without any usable point is an error that names its file;
// what is merely suspicious stands in Cloud.Warnings. When ctx is cancelled,
// Merge stops within a piece's work and returns its error.
func Merge(ctx context.Context, c *cell.Cell, progress func(done, total int64)) (*Cloud, error) {
	looked, err := newSight(c)
	if err != nil {
		return nil, err
	}
	watch := newWatch(c, progress)
	scans, err := eachScan(ctx, len(c.Scans), func(ctx context.Context, i int) (*scan, error) {
		spec := &c.Scans[i]
		return readScan(ctx, c, spec, manner{spec.Pose(), spec.Rough != nil, looked}, watch.of(i))
	})
	if err != nil {
		return nil, err
	}
	noise, err := estimateNoise(c, scans)
	if err != nil {
		return nil, err
	}
	placed, err := placeRough(ctx, c, scans, noise, looked, watch)
	if err != nil {
		return nil, err
	}
	if err := dropSparse(scans); err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	cloud := assemble(c, scans, noise, looked)
	cloud.Placed = placed
	return cloud, nil
}
