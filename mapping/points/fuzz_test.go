package points

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/mapping/fault"
)

// fuzz reads whatever the file holds: there are points, never more than bytes,
// or a fault with a remedy.
func fuzz(f *testing.F, extension string) {
	files, _ := inEveryFormat()
	for name, content := range files {
		if strings.HasSuffix(name, extension) {
			f.Add(content)
		}
	}
	path := filepath.Join(f.TempDir(), "scan"+extension)
	f.Fuzz(func(t *testing.T, content []byte) {
		if err := os.WriteFile(path, content, 0o644); err != nil {
			t.Fatal(err)
		}
		all, err := readAll(path)
		var bad *fault.Error
		if err != nil && (!errors.As(err, &bad) || bad.Remedy == "") {
			t.Fatalf("%v is no fault with a remedy", err)
		}
		if err == nil && len(all.X) == 0 || len(all.X) > lzfLongest*len(content) {
			t.Fatalf("%d points in %d bytes", len(all.X), len(content))
		}
	})
}

func FuzzPLY(f *testing.F) { fuzz(f, ".ply") }
func FuzzPCD(f *testing.F) { fuzz(f, ".pcd") }
func FuzzCSV(f *testing.F) { fuzz(f, ".csv") }
