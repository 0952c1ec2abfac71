package points

import (
	"encoding/binary"
	"fmt"
	"io"

	"cellwall/mapping/fault"
)

// pcdCompressed reads binary_compressed points: all of the first field, then
// all of the second, compressed as one. Every column that is needed has its own
// decompressor, so that the memory does not grow with the scan.
type pcdCompressed struct {
	*source
	columns
	kinds       [numRoles]scalar
	streams     [numRoles]*lzfReader
	total, done int64
	buf         []byte
}

// openPCDCompressed finds where the columns begin.
func openPCDCompressed(s *source, c columns, kinds []scalar, total int64) (Reader, error) {
	var sizes [8]byte
	if err := s.readFull(sizes[:]); err != nil {
		return nil, s.truncated(0, total)
	}
	compressed := int64(binary.LittleEndian.Uint32(sizes[:]))
	plain := int64(binary.LittleEndian.Uint32(sizes[4:]))
	stride := int64(0)
	for _, k := range kinds {
		stride += int64(k.size())
	}
	switch {
	case compressed > s.rest():
		f := s.fault(fmt.Sprintf("the file ends after %d of %d bytes of compressed points", s.rest(), compressed), "copy or export it again")
		f.Byte = s.size
		return nil, f
	case plain != total*stride:
		return nil, s.fault(fmt.Sprintf("%d bytes are promised for %d points of %d bytes", plain, total, stride), pcdRemedy)
	case plain > compressed*lzfLongest/3:
		return nil, s.fault(fmt.Sprintf("%d bytes cannot hold %d points of %d bytes", compressed, total, stride), "copy or export it again")
	}
	p := &pcdCompressed{source: s, columns: c, total: total, buf: make([]byte, 8*min(BatchSize, total))}
	return p, p.split(newLZF(s.file, s.at, s.at+compressed), kinds)
}

// split walks through the columns and leaves a decompressor at the start of
// each that is needed.
func (p *pcdCompressed) split(z *lzfReader, kinds []scalar) error {
	for i, k := range kinds {
		for role, at := range p.columns {
			if at == i {
				p.kinds[role], p.streams[role] = k, z.clone()
			}
		}
		if p.complete() {
			return nil
		}
		if _, err := io.CopyN(io.Discard, z, p.total*int64(k.size())); err != nil {
			return p.damaged(z, err)
		}
	}
	return nil
}

// complete tells whether every column has its stream.
func (p *pcdCompressed) complete() bool {
	for role, at := range p.columns {
		if at != noRole && p.streams[role] == nil {
			return false
		}
	}
	return true
}

// damaged names the byte at which decompression failed.
func (p *pcdCompressed) damaged(z *lzfReader, err error) error {
	f := &fault.Error{File: p.name, Byte: z.at, Remedy: "copy or export it again", Cause: err}
	switch err {
	case io.EOF, io.ErrUnexpectedEOF:
		f.Rule = "the compressed points end too early"
	case errLZF:
		f.Rule = errLZF.Error()
	default:
		return fault.OfOpening(p.name, err)
	}
	return f
}

// Total is what the header promises.
func (p *pcdCompressed) Total() int64 { return p.total }

// Progress is the part of the points that has been read: the columns lie far
// apart in the file.
func (p *pcdCompressed) Progress() float64 { return float64(p.done) / float64(p.total) }

// Next reads the next piece.
func (p *pcdCompressed) Next(b *Batch) error {
	n := int(min(BatchSize, p.total-p.done))
	out := p.shape(b, n)
	if n == 0 {
		return io.EOF
	}
	for role, z := range p.streams {
		if z == nil {
			continue
		}
		size := p.kinds[role].size()
		if _, err := io.ReadFull(z, p.buf[:n*size]); err != nil {
			p.shape(b, 0)
			return p.damaged(z, err)
		}
		p.kinds[role].decode(out[role], p.buf, size, false)
	}
	p.done += int64(n)
	return nil
}
