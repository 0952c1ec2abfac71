package mapping

import (
	"context"
	"io"
	"math"

	"cellwall/mapping/cell"
	"cellwall/mapping/geom"
	"cellwall/mapping/motion"
	"cellwall/mapping/points"
	"cellwall/mapping/sight"

	"gonum.org/v1/gonum/spatial/r3"
)

// scan is one scan while it is read, and what came of it.
type scan struct {
	spec   *cell.Scan
	cell   *cell.Cell
	path   string
	track  *motion.Track // nil for a still scan
	pose   geom.Pose     // of a still scan
	loose  bool          // pose is rough, and nothing is dropped by where it lies
	reader points.Reader
	batch  points.Batch
	tail   *piece      // begun by a profile that the end of a batch cut
	at     int64       // points read so far
	sight  *sight.Grid // of all scans; nil where no robot is named

	table  *table
	choice *choice // takes the points as measured, and the table none; nil where they are merged
	counts Counts
	noise  residuals
	first  float64 // least and greatest instant (stamp less latency), s
	last   float64
}

// manner is how a scan is to be read.
type manner struct {
	pose  geom.Pose   // of a still scan
	loose bool        // pose is rough: nothing is dropped by where it lies, and no ray is followed
	sight *sight.Grid // takes the rays; nil where no robot is named
}

// readScan reads a scan from its first point to its last, and coarsens what is
// too fine for it.
func readScan(ctx context.Context, c *cell.Cell, spec *cell.Scan, how manner, progress func(part float64)) (*scan, error) {
	if how.loose {
		how.sight = nil
	}
	s, err := openScan(c, spec, how.sight)
	if err != nil {
		return nil, err
	}
	defer s.close()
	s.pose, s.loose = how.pose, how.loose
	if err := s.read(ctx, progress); err != nil {
		return nil, err
	}
	s.table.coarsen()
	return s, s.judge()
}

// openScan opens a scan's points and its motion.
func openScan(c *cell.Cell, spec *cell.Scan, into *sight.Grid) (*scan, error) {
	s := &scan{spec: spec, cell: c, path: c.Path(spec.Points), sight: into, table: newTable(),
		first: math.Inf(1), last: math.Inf(-1)}
	open := points.Open
	if spec.Moving() {
		var err error
		if s.track, err = motion.Open(c.Path(spec.Motion), c.Robot); err != nil {
			return nil, err
		}
		open = points.OpenTimed
	}
	var err error
	s.reader, err = open(s.path)
	return s, err
}

func (s *scan) close() { s.reader.Close() }

// read takes the scan from its first point to its last, piece by piece.
func (s *scan) read(ctx context.Context, progress func(part float64)) error {
	return inOrder(ctx,
		func() (*piece, error) {
			progress(s.reader.Progress())
			return s.next()
		},
		s.work,
		s.take)
}

// next reads the next piece; io.EOF at the end. A moving scan's piece ends
// where a profile ends: the profile that the end of a batch cuts goes on in the
// next piece.
func (s *scan) next() (*piece, error) {
	p := s.tail
	s.tail = nil
	for {
		err := s.reader.Next(&s.batch)
		if err == io.EOF && p != nil {
			return p, nil
		} else if err != nil {
			return nil, err
		}
		if p == nil {
			p = newPiece(s.at, s.eye())
		}
		p.append(&s.batch, s.spec.Unit)
		s.at += int64(s.batch.Len())
		if s.track == nil {
			return p, nil
		}
		if cut := p.lastProfile(); cut > 0 {
			s.tail = p.split(cut)
			return p, nil
		} else if p.len() >= longestPiece {
			return p, nil
		}
	}
}

// eye is where the batch's rays start, scan frame, mm: what cell.yaml says, and
// for a still scan without a word there what its file says.
func (s *scan) eye() r3.Vec {
	switch {
	case s.track != nil:
		return s.cell.Scanner.Eye
	case s.batch.Eye != nil && s.spec.Origin == (r3.Vec{}):
		return r3.Scale(s.spec.Unit, *s.batch.Eye)
	}
	return s.spec.Origin
}
