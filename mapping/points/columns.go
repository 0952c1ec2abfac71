package points

import (
	"fmt"
	"slices"
	"strings"
)

// The columns that a scan can have for us; any other is passed over.
const (
	xRole = iota
	yRole
	zRole
	timeRole
	intensityRole
	numRoles
	noRole = -1
)

var roleNames = [numRoles]string{"x", "y", "z", "t", "intensity"}

// roleOf is the role of a column by its name, noRole for any further column.
func roleOf(name string) int {
	return slices.Index(roleNames[:], strings.ToLower(name))
}

// columns says which of a file's fields plays each role, noRole where none does.
type columns [numRoles]int

// findColumns matches names to roles. x, y and z must be there, and nothing
// twice.
func findColumns(s *source, names []string) (columns, error) {
	c := columns{noRole, noRole, noRole, noRole, noRole}
	for i, name := range names {
		role := roleOf(name)
		if role == noRole {
			continue
		}
		if c[role] != noRole {
			return c, s.faultHere(fmt.Sprintf("there are two columns %q", roleNames[role]), "keep one of them")
		}
		c[role] = i
	}
	for role := range timeRole {
		if c[role] == noRole {
			return c, s.faultHere(fmt.Sprintf("there is no column %s among %s", roleNames[role], quoteAll(names)),
				"name the columns x, y, z, and t for the time in seconds")
		}
	}
	return c, nil
}

// HasTime tells whether there is a column t.
func (c columns) HasTime() bool { return c[timeRole] != noRole }

// HasIntensity tells whether there is a column intensity.
func (c columns) HasIntensity() bool { return c[intensityRole] != noRole }

// shape gives b's columns the length n, those that c lacks the length 0, and
// returns them by role.
func (c columns) shape(b *Batch, n int) [numRoles][]float64 {
	var out [numRoles][]float64
	for role, col := range [numRoles]*[]float64{&b.X, &b.Y, &b.Z, &b.T, &b.Intensity} {
		switch {
		case c[role] == noRole:
			*col = (*col)[:0]
		case cap(*col) < n:
			*col = make([]float64, n, max(n, min(2*cap(*col), BatchSize)))
		default:
			*col = (*col)[:n]
		}
		out[role] = *col
	}
	return out
}

// quoteAll lists names for a message, not more than fit on a line.
func quoteAll(names []string) string {
	const most = 12
	q := make([]string, 0, most+1)
	for _, n := range names {
		if len(q) == most {
			q = append(q, "...")
			break
		}
		q = append(q, shorten(n))
	}
	return strings.Join(q, ", ")
}

// shorten quotes a piece of the input for a message.
func shorten[T ~string | ~[]byte](text T) string {
	const most = 24
	if len(text) > most {
		return fmt.Sprintf("%q...", string(text[:most]))
	}
	return fmt.Sprintf("%q", string(text))
}
