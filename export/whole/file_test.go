package whole

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func spell(text string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, text)
		return err
	}
}

func TestFileReplacesWhole(t *testing.T) {
	path := filepath.Join(t.TempDir(), "scene.obj")
	for _, text := range []string{"a longer first", "second"} {
		if err := File(context.Background(), path, spell(text)); err != nil {
			t.Fatal(err)
		}
		if got := content(t, path); got != text {
			t.Errorf("got %q, want %q", got, text)
		}
	}
	if left, _ := os.ReadDir(filepath.Dir(path)); len(left) != 1 {
		t.Errorf("litter beside the file: %v", left)
	}
}

func TestFileKeepsTheOldOnFailure(t *testing.T) {
	path := filepath.Join(t.TempDir(), "scene.obj")
	if err := File(context.Background(), path, spell("good")); err != nil {
		t.Fatal(err)
	}
	broken := errors.New("disk full")
	cancelled, cancel := context.WithCancel(context.Background())
	cancel()
	half := func(w io.Writer) error { return errors.Join(spell("half")(w), broken) }
	if err := File(context.Background(), path, half); !errors.Is(err, broken) {
		t.Errorf("got %v, want the writer's own error", err)
	}
	if err := File(cancelled, path, spell("late")); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want Canceled", err)
	}
	if got := content(t, path); got != "good" {
		t.Errorf("the last good file was changed to %q", got)
	}
	if left, _ := os.ReadDir(filepath.Dir(path)); len(left) != 1 {
		t.Errorf("litter beside the file: %v", left)
	}
}

func TestFileSaysWhereItCannotGo(t *testing.T) {
	dir := t.TempDir()
	for path, word := range map[string]string{dir: "is a folder", filepath.Join(dir, "none", "a.obj"): "does not exist"} {
		if err := File(context.Background(), path, spell("x")); err == nil || !strings.Contains(err.Error(), word) {
			t.Errorf("%s: got %v, want %q", path, err, word)
		}
	}
}
