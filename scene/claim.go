package scene

import (
	"fmt"

	"cellwall/mapping/cell"
)

// claims lists what cell.yaml says of the object called name and the map takes
// as given: no scan speaks for it, and a reader must know whose word it is.
func claims(wanted []cell.Wanted, name string) []string {
	var out []string
	for _, w := range wanted {
		if w.Name == name && w.FixedJaw != "" {
			out = append(out, fmt.Sprintf("the %s jaw is the fixed one", w.FixedJaw))
		}
	}
	return out
}
