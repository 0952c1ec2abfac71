package whole

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

func fill(name, text string) func(string) error {
	return func(tmp string) error { return os.WriteFile(filepath.Join(tmp, name), []byte(text), 0o644) }
}

func content(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestFolderReplacesWhole(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "deep", "map")
	for _, text := range []string{"first", "second"} {
		if err := Folder(context.Background(), dir, "mark", fill("mark", text)); err != nil {
			t.Fatal(err)
		}
		if got := content(t, filepath.Join(dir, "mark")); got != text {
			t.Errorf("got %q, want %q", got, text)
		}
	}
	if left, _ := os.ReadDir(filepath.Dir(dir)); len(left) != 1 {
		t.Errorf("litter beside the folder: %v", left)
	}
}

func TestFolderKeepsTheOldOnFailure(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "map")
	if err := Folder(context.Background(), dir, "mark", fill("mark", "good")); err != nil {
		t.Fatal(err)
	}
	broken := errors.New("disk full")
	cancelled, cancel := context.WithCancel(context.Background())
	cancel()
	for _, c := range []struct {
		ctx   context.Context
		write func(string) error
		want  error
	}{
		{context.Background(), func(tmp string) error { return errors.Join(fill("mark", "half")(tmp), broken) }, broken},
		{cancelled, fill("mark", "late"), context.Canceled},
	} {
		if err := Folder(c.ctx, dir, "mark", c.write); !errors.Is(err, c.want) {
			t.Errorf("got %v, want %v", err, c.want)
		}
		if got := content(t, filepath.Join(dir, "mark")); got != "good" {
			t.Errorf("the last good folder was changed to %q", got)
		}
	}
	if left, _ := os.ReadDir(filepath.Dir(dir)); len(left) != 1 {
		t.Errorf("litter beside the folder: %v", left)
	}
}

func TestFolderLeavesForeignFoldersAlone(t *testing.T) {
	dir := t.TempDir()
	if err := fill("thesis.tex", "years of work")(dir); err != nil {
		t.Fatal(err)
	}
	if err := Folder(context.Background(), dir, "mark", fill("mark", "map")); !errors.Is(err, ErrForeign) {
		t.Errorf("got %v, want ErrForeign", err)
	}
	if got := content(t, filepath.Join(dir, "thesis.tex")); got != "years of work" {
		t.Errorf("the foreign file is now %q", got)
	}
}

func TestFolderClearsLitterOfTheDeadOnly(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "map")
	gone := exec.Command(os.Args[0], "-test.run=^$")
	if err := gone.Run(); err != nil {
		t.Fatal(err)
	}
	dead, living := temporary(dir, gone.Process.Pid), temporary(dir, os.Getppid())
	for _, d := range []string{dead, living} {
		if err := os.Mkdir(d, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if err := Folder(context.Background(), dir, "mark", fill("mark", "map")); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(dead); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the folder of a dead run still stands")
	}
	if _, err := os.Stat(living); err != nil {
		t.Errorf("the folder of a living run was cleared: %v", err)
	}
}

func TestFolderRefusesWhereAFileStands(t *testing.T) {
	file := filepath.Join(t.TempDir(), "notes")
	if err := fill("notes", "mine")(filepath.Dir(file)); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{file, filepath.Join(file, "map")} {
		err := Folder(context.Background(), dir, "mark", fill("mark", "good"))
		if err == nil || !strings.Contains(err.Error(), "notes is a file; name a folder") {
			t.Errorf("%s: got %v", dir, err)
		}
	}
	if got := content(t, file); got != "mine" {
		t.Errorf("the file now reads %q", got)
	}
}
