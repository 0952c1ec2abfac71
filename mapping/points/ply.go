package points

import (
	"fmt"
	"io"
)

// openPLY reads the header and stops before the first point.
func openPLY(s *source) (Reader, error) {
	h, err := readPLYHeader(s)
	if err != nil {
		return nil, err
	}
	at := h.vertex()
	vertex := h.elements[at]
	c, err := vertex.columns(s)
	if err != nil {
		return nil, err
	}
	last := at == len(h.elements)-1
	if h.format == "ascii" {
		return openPLYRows(s, h.elements[:at], vertex, c, last)
	}
	big := h.format == "binary_big_endian"
	for _, e := range h.elements[:at] {
		if err := e.skip(s, big); err != nil {
			return nil, err
		}
	}
	return openPLYRecords(s, vertex, c, big, last)
}

// columns finds x, y, z and the others among the properties.
func (e *plyElement) columns(s *source) (columns, error) {
	names := make([]string, len(e.properties))
	for i, p := range e.properties {
		if p.count == noScalar { // a list called x is not a coordinate
			names[i] = p.name
		}
	}
	return findColumns(s, names)
}

// openPLYRows reads points as text.
func openPLYRows(s *source, before []plyElement, vertex plyElement, c columns, last bool) (Reader, error) {
	for _, e := range before {
		if len(e.properties) == 0 {
			continue
		}
		for range e.count {
			if _, err := s.readLine(); err == io.EOF {
				return nil, s.truncated(0, vertex.count)
			} else if err != nil {
				return nil, err
			}
		}
	}
	names, lists := []string{}, []bool{}
	for _, p := range vertex.properties {
		names, lists = append(names, p.name), append(lists, p.count != noScalar)
	}
	r := newRows(s, c, names, ' ', vertex.count)
	r.last, r.lists = last, lists
	for i := range lists { // a list called x is passed over
		if lists[i] {
			r.roles[i] = noRole
		}
	}
	return r, nil
}

// openPLYRecords reads points as binary records.
func openPLYRecords(s *source, vertex plyElement, c columns, big, last bool) (Reader, error) {
	kinds, listed := make([]scalar, len(vertex.properties)), false
	for i, p := range vertex.properties {
		if p.count == noScalar {
			kinds[i] = p.kind
		} else {
			listed = true // of no length in the compacted record
		}
	}
	r, err := newRecords(s, c, kinds, vertex.count)
	if err != nil {
		return nil, err
	}
	r.big = big
	if listed {
		r.compact = func(buf []byte, n int) (int, error) { return vertex.compact(s, buf, n, big) }
		return r, nil
	}
	return r, r.checkSize(last)
}

// compact reads n elements and leaves their numbers, without their lists, in
// buf. It returns how many elements were whole.
func (e *plyElement) compact(s *source, buf []byte, n int, big bool) (int, error) {
	p := 0
	for i := range n {
		for _, prop := range e.properties {
			if prop.count != noScalar {
				if err := prop.skipList(s, big); err != nil {
					return i, err
				}
				continue
			}
			size := prop.kind.size()
			if err := s.readFull(buf[p : p+size]); err != nil {
				return i, err
			}
			p += size
		}
	}
	return n, nil
}

// skipList passes over a list.
func (p *plyProperty) skipList(s *source, big bool) error {
	var word [8]byte
	at := s.at
	if err := s.readFull(word[:p.count.size()]); err != nil {
		return err
	}
	n := int64(p.count.integer(word[:], big))
	if n < 0 {
		f := s.fault(fmt.Sprintf("the list %s has the count %d", shorten(p.name), n), "copy or export it again")
		f.Byte = at
		return f
	}
	return s.skip(n * int64(p.kind.size()))
}

// skip passes over all of a binary element that stands before the points.
func (e *plyElement) skip(s *source, big bool) error {
	stride, listed := int64(0), false
	for _, p := range e.properties {
		stride += int64(p.kind.size())
		listed = listed || p.count != noScalar
	}
	err := error(nil)
	if !listed {
		err = s.skip(e.count * stride)
	} else {
		buf := make([]byte, stride)
		for i := int64(0); i < e.count && err == nil; i++ {
			_, err = e.compact(s, buf, 1, big)
		}
	}
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		f := s.fault(fmt.Sprintf("the file ends within the element %s", shorten(e.name)), "copy or export it again")
		f.Byte = s.size
		return f
	}
	return err
}
