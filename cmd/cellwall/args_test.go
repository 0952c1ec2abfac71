package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestEndsInKeepsOtherFilesSafe(t *testing.T) {
	dir := t.TempDir()
	for path, want := range map[string]string{
		"a.json": "", "b/A.JSON": "", "cell.yaml": "ends in .json", "p.csv": "ends in .json", dir: "is a folder",
	} {
		err := endsIn("--out", path, ".json")
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", path, err)
		}
	}
}

func TestSparesWhatIsRead(t *testing.T) {
	dir := t.TempDir()
	read := filepath.Join(dir, "scene.json")
	if err := os.WriteFile(read, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	if err := spares("--out", filepath.Join(dir, ".", "scene.json"), read); err == nil {
		t.Error("what is read would be replaced")
	}
	if err := spares("--out", filepath.Join(dir, "other.json"), read, filepath.Join(dir, "none")); err != nil {
		t.Error(err)
	}
}
