package points

// openPCD reads the header and stops before the first point. The VIEWPOINT is
// passed over: the cell folder says where a scan was taken from.
func openPCD(s *source) (Reader, error) {
	h, err := readPCDHeader(s)
	if err != nil {
		return nil, err
	}
	if h.points == 0 {
		return nil, s.fault("it holds no points", "export the scan again")
	}
	var names []string
	var kinds []scalar
	for _, f := range h.fields {
		for range f.count {
			names, kinds = append(names, f.name), append(kinds, f.kind)
		}
		if len(names) > longestRecord {
			return nil, s.fault("a point has too many fields", "export x, y, z and t only")
		}
	}
	c, err := findColumns(s, names)
	if err != nil {
		return nil, err
	}
	switch h.data {
	case "ascii":
		r := newRows(s, c, names, ' ', h.points)
		r.last = true
		return r, nil
	case "binary":
		r, err := newRecords(s, c, kinds, h.points)
		if err != nil {
			return nil, err
		}
		return r, r.checkSize(true)
	}
	return openPCDCompressed(s, c, kinds, h.points)
}
