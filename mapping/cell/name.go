package cell

import (
	"fmt"
	"strings"
	"unicode"

	"cellwall/mapping/cell/strict"
)

const longestName = 60

// checkName allows what can stand in a drawing and in the name of a file on any
// system: objects become files of their own.
func checkName(doc *strict.Doc, path, name string) error {
	bad := strings.ContainsFunc(name, func(c rune) bool {
		return !unicode.IsPrint(c) || strings.ContainsRune(`/\:*?"<>|`, c)
	})
	switch {
	case strings.TrimSpace(name) != name || name == "":
		return doc.Fault(path, fmt.Sprintf("the name %q is empty or begins or ends with a space", name), "write a name")
	case bad || name[0] == '.' || len(name) > longestName:
		return doc.Fault(path, fmt.Sprintf("%.80q cannot be the name of a file", name), fmt.Sprintf("write at most %d letters, digits, spaces and dashes", longestName))
	}
	return nil
}

// names finds a name that is used twice; files are told apart without regard to
// capitals on some systems.
type names map[string]string

// take notes the name at the path, such as scans[2].name.
func (n names) take(doc *strict.Doc, path, name string) error {
	if err := checkName(doc, path, name); err != nil {
		return err
	}
	key := strings.ToLower(name)
	if first, used := n[key]; used {
		return doc.Fault(path, fmt.Sprintf("the name %q is used before, by %s on line %d", name, first, doc.Line(first)), "give each a name of its own")
	}
	n[key] = path
	return nil
}
