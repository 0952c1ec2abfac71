package mesh

import (
	"fmt"
	"strings"
)

// longestName keeps file names, with a suffix, well within the 255 bytes that
// file systems allow.
const longestName = 100

// FileNames turns the names of objects into names of files, in the same order,
// without extension: letters, digits, hyphen, underscore and inner dots only,
// and no two alike on a file system that does not tell upper from lower case.
func FileNames(objects []string) []string {
	taken := make(map[string]bool, len(objects))
	out := make([]string, len(objects))
	for i, o := range objects {
		name := fileName(o)
		for n := 2; taken[strings.ToLower(name)]; n++ {
			name = fmt.Sprintf("%s-%d", fileName(o), n)
		}
		taken[strings.ToLower(name)] = true
		out[i] = name
	}
	return out
}

func fileName(object string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '_', r == '.':
			return r
		}
		return '-'
	}, object)
	name = strings.Trim(name, ".-")
	if len(name) > longestName {
		name = name[:longestName]
	}
	if name == "" || reserved(name) {
		return "object-" + name
	}
	return name
}

// reserved tells whether the part before the first dot is the name of a device
// on some systems, which no file can have.
func reserved(name string) bool {
	stem, _, _ := strings.Cut(strings.ToLower(name), ".")
	switch stem {
	case "con", "prn", "aux", "nul":
		return true
	}
	return len(stem) == 4 && (strings.HasPrefix(stem, "com") || strings.HasPrefix(stem, "lpt")) && stem[3] >= '0' && stem[3] <= '9'
}
