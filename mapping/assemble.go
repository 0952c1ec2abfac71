package mapping

import (
	"cmp"
	"slices"

	"cellwall/mapping/cell"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// assemble puts the scans' voxels into one cloud.
func assemble(c *cell.Cell, scans []*scan, noise Noise) *Cloud {
	cloud := &Cloud{Noise: noise}
	if c.Robot != nil {
		cloud.PoseSigma = c.Robot.PoseSigma
	}
	for i, s := range scans {
		s.counts.Used = s.counts.Read
		for _, n := range s.counts.Dropped {
			s.counts.Used -= n
		}
		cloud.Scans = append(cloud.Scans, s.spec.Name)
		cloud.PerScan = append(cloud.PerScan, s.counts)
		cloud.Counts.add(&s.counts)
		cloud.Warnings = append(cloud.Warnings, s.warnings()...)
		cloud.take(int32(i), s.table)
		s.table = nil // the voxels of all scans are in memory once only
	}
	return cloud
}

// take appends the voxels of a scan's table, by key.
func (c *Cloud) take(scan int32, t *table) {
	order := make([]*sum, 0, t.n)
	for i := range t.n {
		if s := t.at(i); s.n > 0 {
			order = append(order, s)
		}
	}
	slices.SortFunc(order, func(a, b *sum) int { return cmp.Compare(a.key, b.key) })
	c.Voxels = slices.Grow(c.Voxels, len(order))
	for _, s := range order {
		v := s.voxel()
		v.Scan = scan
		if s.kept != nil {
			v.First = int32(len(c.Samples))
			v.Kept = s.kept.n
			c.Samples = s.kept.samples(c.Samples)
		}
		c.Voxels = append(c.Voxels, v)
	}
}

// voxel turns the sums into moments.
func (s *sum) voxel() Voxel {
	centre := s.key.centre()
	return Voxel{
		Moments: geom.Moments{
			N:       s.n,
			Mean:    r3.Add(centre, r3.Scale(1/s.n, s.d)),
			Scatter: s.dd.Plus(geom.Outer(-1/s.n, s.d)),
		},
		Edge:   float32(edgeOf(s.key.level())),
		Toward: r3.Unit(s.toward),
		Range:  s.far / s.n,
		Bounds: geom.Bounds{
			Min: r3.Add(centre, r3.Vec{X: float64(s.lo[0]), Y: float64(s.lo[1]), Z: float64(s.lo[2])}),
			Max: r3.Add(centre, r3.Vec{X: float64(s.hi[0]), Y: float64(s.hi[1]), Z: float64(s.hi[2])}),
		},
	}
}
