package points

import (
	"bytes"
	"fmt"
	"io"
)

// rows reads points as text, one a line.
type rows struct {
	*source
	columns
	names []string // of the fields, for messages
	roles []int    // of the fields
	lists []bool   // fields that are a count and so many numbers; nil where none is
	// separator stands between two fields; a space means any white space.
	separator   byte
	comments    bool  // lines that begin with # are comments
	last        bool  // nothing may follow the points
	total, done int64 // total is -1 where it is not known
	white, stop [256]bool
}

// newRows prepares to read lines with fields of the given names.
func newRows(s *source, c columns, names []string, separator byte, total int64) *rows {
	r := &rows{source: s, columns: c, names: names, separator: separator, total: total}
	for _, n := range names {
		r.roles = append(r.roles, roleOf(n))
	}
	for i := range ' ' + 1 {
		r.white[i] = byte(i) != separator || separator == ' '
		r.stop[i] = true
	}
	r.stop[separator] = true
	return r
}

// Total is what the header promises, -1 where it does not.
func (r *rows) Total() int64 { return r.total }

// Next reads the next piece.
func (r *rows) Next(b *Batch) error {
	n, want := 0, BatchSize
	if r.total >= 0 {
		want = int(min(BatchSize, r.total-r.done))
	}
	out := r.shape(b, want)
	for n < want {
		line, err := r.dataLine()
		if err == io.EOF && r.total < 0 {
			break
		} else if err == io.EOF {
			err = r.truncated(r.done+int64(n), r.total)
		}
		if err == nil {
			err = r.parse(line, &out, n)
		}
		if err != nil {
			r.shape(b, 0)
			return err
		}
		n++
	}
	r.shape(b, n)
	if n == 0 {
		return r.end()
	}
	r.done += int64(n)
	return nil
}

// end is io.EOF where the file ends as it should.
func (r *rows) end() error {
	if r.done == 0 {
		return r.fault("it holds no points", "export the scan again")
	}
	if !r.last {
		return io.EOF
	}
	_, err := r.dataLine()
	if err == nil {
		return r.faultHere(fmt.Sprintf("more lines follow the %d points that the header promises", r.total),
			"put the right count into the header, or export the scan again")
	}
	return err
}

// dataLine is the next line that is not blank and no comment.
func (r *rows) dataLine() ([]byte, error) {
	for {
		line, err := r.readLine()
		if err != nil {
			return nil, err
		}
		first := bytes.TrimLeft(line, " \t")
		if len(first) > 0 && !(r.comments && first[0] == '#') {
			return line, nil
		}
	}
}

// parse puts the numbers of a line into place n of their columns.
func (r *rows) parse(line []byte, out *[numRoles][]float64, n int) error {
	i := 0
	for k, role := range r.roles {
		var token []byte
		token, i = r.token(line, i, role)
		if len(token) == 0 && (role != noRole || r.separator == ' ') {
			return r.faultHere(fmt.Sprintf("%s is missing", shorten(r.names[k])),
				fmt.Sprintf("every line needs %d columns; write nan for a point without return", len(r.roles)))
		}
		if role != noRole {
			v, ok := parseNumber(token)
			if !ok {
				return r.notANumber(k, token)
			}
			out[role][n] = v
		} else if r.lists != nil && r.lists[k] {
			var err error
			if i, err = r.skipList(line, i, token); err != nil {
				return err
			}
		}
		if r.separator != ' ' && k < len(r.roles)-1 {
			if i == len(line) || line[i] != r.separator {
				return r.faultHere(fmt.Sprintf("there is no %q after %s", r.separator, shorten(r.names[k])),
					fmt.Sprintf("every line needs the %d columns of the header", len(r.roles)))
			}
			i++
		}
	}
	if i < len(line) {
		return r.faultHere(fmt.Sprintf("the line has more than %d columns", len(r.roles)), "name every column in the header")
	}
	return nil
}

// token is the field that begins at i, and where the next one does: at the
// separator or the end of the line. A column that is passed over may hold
// several words between separators.
func (r *rows) token(line []byte, i, role int) ([]byte, int) {
	for i < len(line) && r.white[line[i]] {
		i++
	}
	start := i
	for i < len(line) && !r.stop[line[i]] {
		i++
	}
	end := i
	for i < len(line) && (r.white[line[i]] || role == noRole && r.separator != ' ' && line[i] != r.separator) {
		i++
	}
	return line[start:end], i
}

// skipList passes over the numbers of a list whose count was read.
func (r *rows) skipList(line []byte, i int, count []byte) (int, error) {
	n, ok := parseNumber(count)
	if !ok || n < 0 || n > float64(len(line)) {
		return i, r.faultHere(fmt.Sprintf("a list of %s numbers cannot stand in this line", shorten(count)), "export the scan again")
	}
	for range int(n) {
		_, i = r.token(line, i, noRole)
	}
	return i, nil
}

func (r *rows) notANumber(k int, token []byte) error {
	f := r.faultHere(fmt.Sprintf("%s is not a number", shorten(token)), "write decimal numbers such as -12.5, and nan for a point without return")
	if bytes.IndexByte(token, ',') >= 0 {
		f.Remedy = "write decimals with a point, not a comma"
	}
	f.Where = r.names[k]
	return f
}
