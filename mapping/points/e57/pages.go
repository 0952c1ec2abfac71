// Package e57 reads the points of E57 files (ASTM E2807-11): cartesian
// coordinates as floats or scaled integers, several scans in one file with their
// poses. Every page that is read is held against its checksum.
package e57

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"

	"cellwall/mapping/fault"
)

// A page of the file ends with the checksum of what stands before: the CRC-32C
// of RFC 3720, stored with the most significant byte first.
const (
	pageSize    = 1024
	pagePayload = pageSize - 4
)

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// pages reads the file as if the checksums were not there.
type pages struct {
	name   string
	from   io.ReaderAt
	size   int64 // of the file, bytes
	at     int64 // logical offset of the next byte
	loaded int64 // number of the page in page; -1 for none
	page   [pageSize]byte
}

// Read is io.Reader. A page that does not match its checksum is a fault.
func (p *pages) Read(b []byte) (int, error) {
	if p.at/pagePayload >= p.size/pageSize {
		return 0, io.EOF
	}
	if err := p.load(p.at / pagePayload); err != nil {
		return 0, err
	}
	n := copy(b, p.page[p.at%pagePayload:pagePayload])
	p.at += int64(n)
	return n, nil
}

func (p *pages) load(number int64) error {
	if p.loaded == number {
		return nil
	}
	p.loaded = -1
	if _, err := p.from.ReadAt(p.page[:], number*pageSize); err != nil {
		return fault.OfOpening(p.name, err)
	}
	stored, sum := binary.BigEndian.Uint32(p.page[pagePayload:]), crc32.Checksum(p.page[:pagePayload], castagnoli)
	if stored != sum {
		return p.fault(number*pageSize, fmt.Sprintf("page %d does not match its checksum: the file is damaged", number))
	}
	p.loaded = number
	return nil
}

// logical turns an offset in the file into one without checksums.
func (p *pages) logical(physical uint64) (int64, error) {
	if physical >= uint64(p.size) || physical%pageSize >= pagePayload {
		return 0, p.fault(0, fmt.Sprintf("the offset %d points to no data in the file's %d bytes", physical, p.size))
	}
	return int64(physical/pageSize*pagePayload + physical%pageSize), nil
}

// read fills b; the end of the file is a fault.
func (p *pages) read(b []byte) error {
	_, err := io.ReadFull(p, b)
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		return p.fault(p.size, "the file ends too early")
	}
	return err
}

// fault speaks of the byte at a physical offset.
func (p *pages) fault(at int64, rule string) error {
	return &fault.Error{File: p.name, Byte: at, Rule: rule, Remedy: "copy or export it again"}
}

// here is the physical offset of the next byte.
func (p *pages) here() int64 { return p.at/pagePayload*pageSize + p.at%pagePayload }
