package e57

import (
	"encoding/binary"
	"encoding/xml"
	"fmt"
	"io"

	"cellwall/mapping/geom"
)

const (
	signature   = "ASTM-E57"
	headerSize  = 48
	longestXML  = 1 << 26 // it describes scans; the points are elsewhere
	mostRecords = 1 << 40 // more than any disk holds
)

// Is tells whether a file that begins with head is an E57 file.
func Is(head []byte) bool {
	return len(head) >= len(signature) && string(head[:len(signature)]) == signature
}

// File is an E57 file.
type File struct {
	Scans []Scan
	pages *pages
}

// Scan is one scan of a file.
type Scan struct {
	Count        int64     // points
	FileFromScan geom.Pose // translation in m
	name         string
	fields       []field
	section      uint64 // physical offset
}

// Open reads the header and the description of the scans. name is for
// messages; every error is a *fault.Error.
func Open(name string, from io.ReaderAt, size int64) (*File, error) {
	f := &File{pages: &pages{name: name, from: from, size: size, loaded: -1}}
	root, err := f.description()
	if err != nil {
		return nil, err
	}
	data := root.child("data3D")
	if data == nil {
		return f, nil
	}
	for i := range data.Nodes {
		s, err := f.scan(&data.Nodes[i], fmt.Sprintf("data3D[%d]", i))
		if err != nil {
			return nil, err
		}
		f.Scans = append(f.Scans, s)
	}
	return f, nil
}

// description reads the header, then the XML to which it points.
func (f *File) description() (*node, error) {
	p := f.pages
	if p.size < pageSize {
		return nil, p.fault(p.size, "the file ends within its first page")
	}
	var h [headerSize]byte
	if err := p.read(h[:]); err != nil {
		return nil, err
	}
	if !Is(h[:]) {
		return nil, p.fault(0, "it does not begin with "+signature)
	}
	major, length := binary.LittleEndian.Uint32(h[8:]), binary.LittleEndian.Uint64(h[16:])
	xmlAt, xmlSize := binary.LittleEndian.Uint64(h[24:]), binary.LittleEndian.Uint64(h[32:])
	page := binary.LittleEndian.Uint64(h[40:])
	switch {
	case major != 1:
		return nil, p.fault(8, fmt.Sprintf("E57 version %d is not known, only 1", major))
	case page != pageSize:
		return nil, p.fault(40, fmt.Sprintf("pages of %d bytes are not known, only of %d", page, pageSize))
	case length != uint64(p.size) || p.size%pageSize != 0:
		return nil, p.fault(p.size, fmt.Sprintf("the file has %d bytes, its header promises %d", p.size, length))
	case xmlSize > longestXML || xmlSize > length:
		return nil, p.fault(32, fmt.Sprintf("a description of %d bytes is too long", xmlSize))
	}
	var err error
	if p.at, err = p.logical(xmlAt); err != nil {
		return nil, err
	}
	text := make([]byte, xmlSize)
	if err := p.read(text); err != nil {
		return nil, err
	}
	root := &node{}
	if err := xml.Unmarshal(text, root); err != nil {
		return nil, p.fault(int64(xmlAt), "its description cannot be read: "+err.Error())
	}
	return root, nil
}

// scan takes the description of one scan.
func (f *File) scan(n *node, where string) (s Scan, err error) {
	wrong := func(rule string) (Scan, error) { return s, f.pages.fault(0, where+": "+rule) }
	points := n.child("points")
	if points == nil || points.attr("type") != "CompressedVector" {
		return wrong("it has no points")
	}
	s.name = where
	if s.section, err = points.unsigned("fileOffset"); err != nil {
		return wrong(err.Error())
	}
	count, err := points.unsigned("recordCount")
	if err != nil || count > mostRecords {
		return wrong(fmt.Sprintf("its recordCount %q is not a count", points.attr("recordCount")))
	}
	s.Count = int64(count)
	if codec := points.child("codecs").foreignCodec(); codec != "" {
		return wrong(fmt.Sprintf("its points are packed by %.40q, which is not known", codec))
	}
	if s.FileFromScan, err = n.pose(); err != nil {
		return wrong(err.Error())
	}
	prototype := points.child("prototype")
	if prototype == nil {
		return wrong("its points have no prototype")
	}
	for _, leaf := range prototype.leaves(nil) {
		fd, err := fieldOf(leaf)
		if err != nil {
			return wrong(err.Error())
		}
		fd.standard = leaf.XMLName.Space == n.XMLName.Space
		s.fields = append(s.fields, fd)
	}
	return s, nil
}

// Has tells whether the points have a field of the standard's name.
func (s *Scan) Has(name string) bool { return s.index(name) >= 0 }

func (s *Scan) index(name string) int {
	for i, f := range s.fields {
		if f.standard && f.name == name {
			return i
		}
	}
	return -1
}
