package points

import (
	"fmt"
	"io"
)

// The reading buffer of records, and the longest record that makes sense: a
// header that asks for more is nonsense and must not cost memory.
const (
	recordsBuffer = 1 << 22
	longestRecord = 1 << 20
)

// field is where in a record a number stands.
type field struct {
	offset int
	kind   scalar
}

// records reads binary points that lie one after the other, each stride bytes.
type records struct {
	*source
	columns
	fields      [numRoles]field
	stride      int
	big         bool
	total, done int64
	buf         []byte
	// compact, where set, reads n records of changing length and leaves their
	// fixed parts in buf; it returns how many it read.
	compact func(buf []byte, n int) (int, error)
}

// newRecords lays out records whose fields have the given types, in order.
func newRecords(s *source, c columns, kinds []scalar, total int64) (*records, error) {
	r := &records{source: s, columns: c, total: total}
	for i, k := range kinds {
		for role, at := range c {
			if at == i {
				r.fields[role] = field{r.stride, k}
			}
		}
		r.stride += k.size()
		if r.stride > longestRecord {
			return nil, s.fault(fmt.Sprintf("a point has more than %d bytes", longestRecord), "export x, y, z and t only")
		}
	}
	return r, nil
}

// checkSize finds at once whether the file holds all the points promised and,
// where nothing else may follow them, no more. PCL fills its files with zeros to
// the end of a page of memory.
func (r *records) checkSize(last bool) error {
	there := r.rest() / int64(r.stride)
	if there < r.total {
		return r.truncated(there, r.total)
	}
	end := r.at + r.total*int64(r.stride)
	if extra := r.size - end; last && extra >= int64(r.stride) && !r.padding(end) {
		f := r.fault(fmt.Sprintf("%d bytes follow the %d points that the header promises", extra, r.total),
			"put the right count into the header, or export the scan again")
		f.Byte = end
		return f
	}
	return nil
}

// Total is what the header promises.
func (r *records) Total() int64 { return r.total }

// Next reads the next piece.
func (r *records) Next(b *Batch) error {
	n := int(min(BatchSize, r.total-r.done, int64(max(1, recordsBuffer/r.stride))))
	if n == 0 {
		r.shape(b, 0)
		return io.EOF
	}
	if need := n * r.stride; cap(r.buf) < need {
		r.buf = make([]byte, need)
	}
	if err := r.fill(r.buf[:n*r.stride], n); err != nil {
		r.shape(b, 0)
		return err
	}
	for role, col := range r.shape(b, n) {
		if r.columns[role] != noRole {
			f := r.fields[role]
			f.kind.decode(col, r.buf[f.offset:], r.stride, r.big)
		}
	}
	r.done += int64(n)
	return nil
}

// fill reads n records into buf.
func (r *records) fill(buf []byte, n int) (err error) {
	whole := 0
	if r.compact != nil {
		whole, err = r.compact(buf, n)
	} else {
		before := r.at
		err = r.readFull(buf)
		whole = int(r.at-before) / r.stride
	}
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		return r.truncated(r.done+int64(whole), r.total)
	}
	return err
}
