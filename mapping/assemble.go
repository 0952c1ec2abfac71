package mapping

import (
	"cmp"
	"slices"

	"cellwall/mapping/cell"
	"cellwall/mapping/cores"
	"cellwall/mapping/geom"
	"cellwall/mapping/sight"

	"gonum.org/v1/gonum/spatial/r3"
)

// undeclared is what a user must know of every uncertainty where no accuracy is
// declared.
const undeclared = "no pose accuracy is declared (robot.yaml, accuracy: {pose_mm: ...}): " +
	"uncertainties rest on how the scans differ, and hold no error that all of them share"

// assemble puts the scans' voxels into one cloud.
func assemble(c *cell.Cell, scans []*scan, noise Noise, looked *sight.Grid) *Cloud {
	cloud := &Cloud{Noise: noise, Sight: looked, Warnings: append(slices.Clone(c.Remarks), noise.doubt(scans)...)}
	if c.Robot != nil {
		cloud.PoseSigma = c.Robot.PoseSigma
	}
	if cloud.PoseSigma == 0 {
		cloud.Warnings = append(cloud.Warnings, undeclared)
	}
	voxels, samples := 0, 0
	shelves := make([]shelf, len(scans))
	for i, s := range scans {
		cloud.Scans = append(cloud.Scans, s.spec.Name)
		var mount Rigid
		if s.track != nil {
			cloud.Moving++
			mount = Rigid{Shift: c.Scanner.MountShift, Turn: c.Scanner.MountTurn}
		}
		cloud.Mount = append(cloud.Mount, mount)
		cloud.PerScan = append(cloud.PerScan, s.counts)
		cloud.Counts.add(&s.counts)
		cloud.Warnings = append(cloud.Warnings, s.warnings()...)
		shelves[i] = shelf{scan: int32(i), voxels: voxels, samples: samples}
		v, k := s.table.size()
		voxels, samples = voxels+v, samples+k
	}
	cloud.Voxels, cloud.Samples = make([]Voxel, voxels), make([]Sample, samples)
	cores.Each(len(scans), func(i int) {
		cloud.fill(shelves[i], scans[i].table)
		if scans[i].track == nil && looked != nil {
			crossStill(looked, cloud.voxelsOf(shelves, i), noise)
		}
		scans[i].table = nil // no need to hold the voxels of all scans twice
	})
	return cloud
}

// shelf is where a scan's voxels and samples start in the cloud.
type shelf struct {
	scan            int32
	voxels, samples int
}

// voxelsOf are those of scan i, once its shelf is filled.
func (c *Cloud) voxelsOf(shelves []shelf, i int) []Voxel {
	last := len(c.Voxels)
	if i+1 < len(shelves) {
		last = shelves[i+1].voxels
	}
	return c.Voxels[shelves[i].voxels:last]
}

// size is how many voxels hold points, and how many samples they keep.
func (t *table) size() (voxels, samples int) {
	for i := range t.n {
		if s := t.at(i); s.n > 0 {
			voxels++
			if s.kept != nil {
				samples += len(s.kept.draws)
			}
		}
	}
	return voxels, samples
}

// fill puts the voxels of a scan's table on its shelf, by key.
func (c *Cloud) fill(to shelf, t *table) {
	order := make([]slot, 0, t.n)
	for i := range t.n {
		if s := t.at(i); s.n > 0 {
			order = append(order, slot{s.key, int32(i)})
		}
	}
	slices.SortFunc(order, func(a, b slot) int { return cmp.Compare(a.key, b.key) })
	samples := to.samples
	for i, o := range order {
		s := t.at(int(o.at))
		v := &c.Voxels[to.voxels+i]
		*v = s.voxel()
		v.Scan = to.scan
		if s.kept != nil {
			v.First, v.Kept = int32(samples), int32(len(s.kept.draws))
			s.kept.samples(c.Samples[samples:samples])
			samples += len(s.kept.draws)
		}
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
