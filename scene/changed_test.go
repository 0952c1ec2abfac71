package scene

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

func TestChangedNamesWhatIsNoLongerTheSame(t *testing.T) {
	dir := t.TempDir()
	folder := filepath.Join(dir, "map")
	if err := os.Mkdir(folder, 0o777); err != nil {
		t.Fatal(err)
	}
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if got := Changed(dir, folder); got != nil {
		t.Errorf("%v without a record", got)
	}
	var r Record
	for _, name := range []string{"same", "touched", "edited", "gone"} {
		write(name, name)
		sum := sha256.Sum256([]byte(name))
		r.Inputs = append(r.Inputs, Input{File: name, Bytes: int64(len(name)), SHA256: hex.EncodeToString(sum[:])})
	}
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	write("map/"+RecordFile, string(text))
	write("edited", "Edited")
	later := time.Now().Add(time.Hour)
	for _, name := range []string{"touched", "edited"} {
		if err := os.Chtimes(filepath.Join(dir, name), later, later); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Remove(filepath.Join(dir, "gone")); err != nil {
		t.Fatal(err)
	}
	if got := Changed(dir, folder); !slices.Equal(got, []string{"edited", "gone"}) {
		t.Errorf("%v, want what was edited and what is gone", got)
	}
}
