package points

import (
	"io"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/geom"
	"cellwall/mapping/points/e57"
)

// The names of an E57 file's fields. A point whose state is not 0 has no
// coordinates.
var e57Names = [numRoles]string{"cartesianX", "cartesianY", "cartesianZ", "timeStamp", "intensity"}

const e57StateName = "cartesianInvalidState"

// e57Reader reads the scans of an E57 file one after the other, each through
// its pose into the file's frame; the origin of a scan is where its rays start.
type e57Reader struct {
	*source
	columns
	file        *e57.File
	next        int // scan
	points      *e57.Points
	pose        geom.Pose
	eye         *r3.Vec
	state       []float64 // empty where the scan has none
	total, done int64
}

func openE57(s *source) (Reader, error) {
	f, err := e57.Open(s.name, s.file, s.size)
	if err != nil {
		return nil, err
	}
	r := &e57Reader{source: s, file: f, columns: columns{0, 1, 2, 3, 4}}
	for i := range f.Scans {
		scan := &f.Scans[i]
		if scan.Count == 0 {
			continue
		}
		r.total += scan.Count
		for role, name := range e57Names {
			if has := scan.Has(name); !has && role <= zRole {
				return nil, s.fault("a scan in it has no field "+name, "export the scan with cartesian coordinates")
			} else if !has {
				r.columns[role] = noRole
			}
		}
	}
	if r.total == 0 {
		return nil, s.fault("it holds no points", "export the scan again")
	}
	return r, nil
}

// Total is what the scans' descriptions promise.
func (r *e57Reader) Total() int64 { return r.total }

// Progress is the part of the points that has been read.
func (r *e57Reader) Progress() float64 { return float64(r.done) / float64(r.total) }

// Next reads the next piece, which never spans two scans.
func (r *e57Reader) Next(b *Batch) error {
	for {
		if r.points == nil {
			if r.next == len(r.file.Scans) {
				r.shape(b, 0)
				return io.EOF
			}
			if err := r.open(&r.file.Scans[r.next]); err != nil {
				r.shape(b, 0)
				return err
			}
			r.next++
		}
		n, err := r.read(b)
		if err == io.EOF {
			r.points = nil
			continue
		} else if err != nil {
			r.shape(b, 0)
			return err
		}
		r.done += int64(n)
		return nil
	}
}

// open begins a scan.
func (r *e57Reader) open(s *e57.Scan) (err error) {
	var names []string
	for role, name := range e57Names {
		if r.columns[role] != noRole {
			names = append(names, name)
		}
	}
	r.state = r.state[:0]
	if s.Has(e57StateName) {
		names = append(names, e57StateName)
		r.state = append(r.state, make([]float64, BatchSize)...)
	}
	eye := s.FileFromScan.T
	r.pose, r.eye = s.FileFromScan, &eye
	r.points, err = r.file.Points(s, names...)
	return err
}

// read fills the batch from the scan that is open.
func (r *e57Reader) read(b *Batch) (int, error) {
	var into [][]float64
	for role, col := range r.shape(b, BatchSize) {
		if r.columns[role] != noRole {
			into = append(into, col)
		}
	}
	if len(r.state) > 0 {
		into = append(into, r.state)
	}
	n, err := r.points.Next(into)
	if err != nil {
		return 0, err
	}
	r.shape(b, n)
	b.Eye = r.eye
	for i := range n {
		if len(r.state) > 0 && r.state[i] != 0 {
			b.X[i], b.Y[i], b.Z[i] = math.NaN(), math.NaN(), math.NaN()
			continue
		}
		p := r3.Vec{X: b.X[i], Y: b.Y[i], Z: b.Z[i]}
		if p == (r3.Vec{}) {
			continue // no return: the pose must not make a point of it
		}
		p = r.pose.Apply(p)
		b.X[i], b.Y[i], b.Z[i] = p.X, p.Y, p.Z
	}
	return n, nil
}
