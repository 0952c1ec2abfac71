package e57

import (
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"slices"
)

// The kinds of packet in a section of points, and the sizes of their headers.
const (
	indexPacket = iota
	dataPacket
	emptyPacket

	sectionHeader  = 32
	pointSection   = 1
	leastPacket    = 4
	dataHeader     = 6
	longestPacket  = 1 << 16
	noMoreRecords  = math.MaxInt
	wordBits       = 64
	bitsInAByte    = 8
	packetMultiple = 4
)

// Points reads the points of one scan from first to last.
type Points struct {
	pages   *pages
	scan    *Scan
	streams []*stream // of the fields asked for, in their order
	byField []*stream // of every field, nil where it is not asked for
	end     int64     // logical offset behind the last packet
	left    int64     // points
	packet  [longestPacket]byte
}

// Points begins to read the named fields of a scan, which must have them. Only
// one scan of a file can be read at a time.
func (f *File) Points(s *Scan, names ...string) (*Points, error) {
	p := &Points{pages: f.pages, scan: s, left: s.Count, byField: make([]*stream, len(s.fields))}
	for _, name := range names {
		i := s.index(name)
		if i < 0 || s.fields[i].kind == text {
			return nil, f.pages.fault(0, fmt.Sprintf("%s: it has no numbers %s", s.name, name))
		}
		p.byField[i] = &stream{field: s.fields[i]}
		p.streams = append(p.streams, p.byField[i])
	}
	start, err := f.pages.logical(s.section)
	if err != nil {
		return nil, err
	}
	f.pages.at = start
	var h [sectionHeader]byte
	if err := f.pages.read(h[:]); err != nil {
		return nil, err
	}
	length, dataAt := binary.LittleEndian.Uint64(h[8:]), binary.LittleEndian.Uint64(h[16:])
	if h[0] != pointSection || length > uint64(f.pages.size) {
		return nil, f.pages.fault(int64(s.section), s.name+": its offset points to no section of points")
	}
	p.end = start + int64(length)
	f.pages.at, err = f.pages.logical(dataAt)
	return p, err
}

// Next fills the columns, one for each field asked for and all of one length,
// as far as points are left. It returns how many points there were, and io.EOF
// where there was none.
func (p *Points) Next(columns [][]float64) (int, error) {
	want := int(min(int64(len(columns[0])), p.left))
	for p.available() < want {
		if p.pages.at >= p.end {
			return 0, p.pages.fault(p.pages.here(), fmt.Sprintf("%s: the points end after %d of the %d that are promised",
				p.scan.name, p.scan.Count-p.left+int64(p.available()), p.scan.Count))
		}
		if err := p.readPacket(); err != nil {
			return 0, err
		}
	}
	if want == 0 {
		return 0, io.EOF
	}
	for i, s := range p.streams {
		s.take(columns[i][:want])
	}
	p.left -= int64(want)
	return want, nil
}

// available is how many points are unpacked in every stream.
func (p *Points) available() int {
	n := noMoreRecords
	for _, s := range p.streams {
		n = min(n, s.available())
	}
	return n
}

// readPacket passes the bytes of the next data packet on to the streams.
func (p *Points) readPacket() error {
	at := p.pages.here()
	if err := p.pages.read(p.packet[:leastPacket]); err != nil {
		return err
	}
	length := int(binary.LittleEndian.Uint16(p.packet[2:])) + 1
	if p.packet[0] > emptyPacket || length%packetMultiple != 0 || p.pages.at-leastPacket+int64(length) > p.end {
		return p.pages.fault(at, p.scan.name+": there is no packet of points where one must be")
	}
	packet := p.packet[:length]
	if err := p.pages.read(packet[leastPacket:]); err != nil {
		return err
	}
	if packet[0] != dataPacket {
		return nil
	}
	if length < dataHeader || int(binary.LittleEndian.Uint16(packet[4:])) != len(p.byField) {
		return p.pages.fault(at, fmt.Sprintf("%s: a packet does not hold the scan's %d fields", p.scan.name, len(p.byField)))
	}
	data := dataHeader + 2*len(p.byField)
	for i, s := range p.byField {
		if dataHeader+2*i+2 > length {
			return p.pages.fault(at, p.scan.name+": a packet is too short for its fields")
		}
		n := int(binary.LittleEndian.Uint16(packet[dataHeader+2*i:]))
		if data+n > length {
			return p.pages.fault(at, p.scan.name+": a packet is too short for its fields")
		}
		if s != nil {
			s.bytes = append(s.bytes, packet[data:data+n]...)
		}
		data += n
	}
	return nil
}

// stream is the packed numbers of one field; those of one packet go on in the
// next.
type stream struct {
	field
	bytes []byte
	at    int // the bit at which the next number begins
}

func (s *stream) available() int {
	if s.width == 0 {
		return noMoreRecords // every number is the minimum
	}
	return (len(s.bytes)*bitsInAByte - s.at) / s.width
}

// take unpacks as many numbers as dst holds; they must be available.
func (s *stream) take(dst []float64) {
	for i := range dst {
		v := s.bits()
		switch s.kind {
		case single:
			dst[i] = float64(math.Float32frombits(uint32(v)))
		case double:
			dst[i] = math.Float64frombits(v)
		default:
			dst[i] = s.offset + s.scale*float64(s.minimum+int64(v))
		}
	}
	s.bytes = slices.Delete(s.bytes, 0, s.at/bitsInAByte)
	s.at %= bitsInAByte
}

// bits is the next number, least significant bit first.
func (s *stream) bits() uint64 {
	first, shift := s.at/bitsInAByte, s.at%bitsInAByte
	var v uint64
	if first+8 <= len(s.bytes) {
		v = binary.LittleEndian.Uint64(s.bytes[first:])
	} else {
		for i, b := range s.bytes[min(first, len(s.bytes)):] {
			v |= uint64(b) << (bitsInAByte * i)
		}
	}
	v >>= shift
	if got := wordBits - shift; got < s.width {
		v |= uint64(s.bytes[first+8]) << got
	}
	s.at += s.width
	return v & (1<<s.width - 1)
}
