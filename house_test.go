// Package cellwall_test holds the house in order: which room may import which,
// and how crowded a file may get.
package cellwall_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// rooms, from the top of the house to its foundation. A room imports only from
// rooms below it, or from within itself.
var rooms = []string{
	"cmd", "export", "scene", "fit", "mapping",
	"mapping/cell", "mapping/motion", "mapping/points",
	"mapping/sight", "mapping/arm", "mapping/fault", "mapping/cores", "mapping/geom",
}

// level is the room of a package, the deepest one that holds it; -1 for none.
func level(pkg string) int {
	best := -1
	for i, room := range rooms {
		if pkg == room || strings.HasPrefix(pkg, room+"/") {
			if best < 0 || len(room) > len(rooms[best]) {
				best = i
			}
		}
	}
	return best
}

// mayImport is the arrow of DEVELOPERS.md. A package whose name ends in test
// serves tests, so it is one, and nothing else imports it.
func mayImport(from, to string, test bool) bool {
	top := func(p string) string { return strings.SplitN(p, "/", 2)[0] }
	test = test || strings.HasSuffix(from, "test")
	switch {
	case strings.HasSuffix(to, "test"):
		return test
	case top(to) == "fixtures":
		return test || top(from) == "cmd" || top(from) == "fixtures"
	case top(from) == "fixtures":
		return level(to) >= level("mapping/arm")
	case test: // a test may feed its room with what the rooms above or beside it make
		return true
	}
	return level(from) >= 0 && level(from) <= level(to)
}

// goFiles calls visit with the slash path of every Go file of the module.
func goFiles(t *testing.T, visit func(path string)) {
	t.Helper()
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && strings.HasPrefix(d.Name(), ".") && path != "." {
			return fs.SkipDir
		}
		if strings.HasSuffix(path, ".go") {
			visit(filepath.ToSlash(path))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestImportsNeverRunUp(t *testing.T) {
	seen := 0
	goFiles(t, func(path string) {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			t.Error(err)
			return
		}
		from := filepath.ToSlash(filepath.Dir(path))
		for _, spec := range file.Imports {
			name, _ := strconv.Unquote(spec.Path.Value)
			to, inside := strings.CutPrefix(name, "cellwall/")
			if !inside {
				continue
			}
			seen++
			if !mayImport(from, to, strings.HasSuffix(path, "_test.go")) {
				t.Errorf("%s imports %s: the arrow of imports runs down the house only", path, to)
			}
		}
	})
	if seen == 0 {
		t.Error("no import within the module was seen: the test looks in the wrong place")
	}
}

func TestTheArrowItself(t *testing.T) {
	for _, c := range []struct {
		from, to string
		want     bool
	}{
		{"export/drawing", "scene/solid", true},
		{"scene", "export", false},
		{"mapping/arm", "mapping/geom", true},
		{"mapping/geom", "mapping/arm", false},
		{"mapping/arm", "mapping", false},
		{"fit", "fixtures", false},
		{"fixtures", "mapping/arm", true},
		{"fixtures", "mapping/cell", false},
		{"cmd/cellwall", "fixtures", true},
		{"mapping/mappingtest", "fixtures", true},
		{"cmd/cellwall", "mapping/mappingtest", false},
	} {
		if got := mayImport(c.from, c.to, false); got != c.want {
			t.Errorf("mayImport(%s, %s) = %v", c.from, c.to, got)
		}
	}
}

func TestNoOtherRooms(t *testing.T) {
	known := map[string]bool{"cmd": true, "export": true, "scene": true, "fit": true, "mapping": true, "fixtures": true}
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !e.IsDir() || strings.HasPrefix(e.Name(), ".") || known[e.Name()] {
			continue
		}
		if inside, _ := filepath.Glob(filepath.Join(e.Name(), "*.go")); len(inside) > 0 {
			t.Errorf("%s is a room that the design does not have", e.Name())
		}
	}
}

func TestFilesStayShort(t *testing.T) {
	const most = 400
	goFiles(t, func(path string) {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Error(err)
			return
		}
		if n := strings.Count(string(text), "\n"); n > most {
			t.Errorf("%s has %d lines, over %d: this room wants a wall", path, n, most)
		}
	})
}
