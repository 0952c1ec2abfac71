package fault

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestErrorReadsAsOneSentence(t *testing.T) {
	for want, e := range map[string]Error{
		"a.ply: it is empty; export it again":     {File: "a.ply", Rule: "it is empty", Remedy: "export it again"},
		"c.yaml:12: name: it is missing; add it":  {File: "c.yaml", Line: 12, Where: "name", Rule: "it is missing", Remedy: "add it"},
		"a.ply: byte 90: the file ends; re-do it": {File: "a.ply", Byte: 90, Rule: "the file ends", Remedy: "re-do it"},
		"m.csv:3: j2: it is not a number":         {File: "m.csv", Line: 3, Where: "j2", Rule: "it is not a number"},
	} {
		if got := e.Error(); got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
}

func TestOfOpeningNamesTheRemedy(t *testing.T) {
	name := filepath.Join(t.TempDir(), "absent.ply")
	_, err := os.Open(name)
	f := OfOpening(name, err)
	if !errors.Is(f, fs.ErrNotExist) {
		t.Error("the cause is lost")
	}
	if got := f.Error(); strings.Count(got, name) != 1 || !strings.Contains(got, "does not exist; check") {
		t.Errorf("got %q", got)
	}
}

// TestOfOpeningTellsFoldersFromFiles asks the system itself for the errors.
func TestOfOpeningTellsFoldersFromFiles(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	_, folder := os.ReadFile(dir)
	_, through := os.ReadFile(filepath.Join(file, "cell.yaml"))
	for want, err := range map[string]error{"is a folder; name a file": folder, "goes through a file; name": through} {
		if got := OfOpening("x", err).Error(); !strings.Contains(got, want) {
			t.Errorf("got %q, want %q in it", got, want)
		}
	}
}
