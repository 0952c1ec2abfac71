// Package whole writes a folder whole or not at all: into a temporary one
// beside it, which takes its place only when everything is written.
package whole

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// ErrForeign says that a folder stands where the result belongs and was not
// written by this tool. It is left as it is.
var ErrForeign = errors.New("holds files that cellwall did not write; name another folder, or empty it first")

// Folder calls write with a new empty folder and puts that in dir's place when
// write returns nil. On an error, an interrupt or a crash the folder dir is
// what it was before. A dir that stands already is replaced only where it is
// empty or holds the file mark, by which a folder of ours is known. Litter
// of runs that were killed is cleared.
func Folder(ctx context.Context, dir, mark string, write func(tmp string) error) error {
	dir = filepath.Clean(dir)
	if err := Replaceable(dir, mark); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(dir), 0o755); err != nil {
		return err
	}
	if err := tidy(dir); err != nil {
		return err
	}
	tmp := temporary(dir, os.Getpid())
	if err := os.Mkdir(tmp, 0o755); err != nil {
		return err
	}
	defer os.RemoveAll(tmp)
	if err := write(tmp); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return put(tmp, dir)
}

// put moves tmp to dir; what stood at dir ends up at tmp, to be removed.
func put(tmp, dir string) error {
	if _, err := os.Lstat(dir); errors.Is(err, os.ErrNotExist) {
		return os.Rename(tmp, dir)
	}
	return exchange(tmp, dir)
}

// Replaceable is nil where Folder may put its result: dir is absent, empty, or
// holds the file mark. Ask it before long work.
func Replaceable(dir, mark string) error {
	if err := Passable(dir); err != nil {
		return err
	}
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil
	case err != nil:
		return err
	case len(entries) == 0:
		return nil
	}
	if _, err := os.Stat(filepath.Join(dir, mark)); err != nil {
		return fmt.Errorf("%s: %w", dir, ErrForeign)
	}
	return nil
}

// Passable is nil where no file stands in the way of a folder dir.
func Passable(dir string) error {
	for at := dir; ; at = filepath.Dir(at) {
		info, err := os.Stat(at)
		switch {
		case err == nil && !info.IsDir():
			return fmt.Errorf("%s: %s is a file; name a folder", dir, at)
		case err == nil, filepath.Dir(at) == at:
			return nil
		}
	}
}

const infix = ".partial-"

// temporary is the name, beside dir, that process pid writes to. The process
// is in the name so that a later run knows whether its writer still lives.
func temporary(dir string, pid int) string {
	return filepath.Join(filepath.Dir(dir), "."+filepath.Base(dir)+infix+strconv.Itoa(pid))
}

// tidy removes the temporary folders of processes that are gone.
func tidy(dir string) error {
	entries, err := os.ReadDir(filepath.Dir(dir))
	if err != nil {
		return err
	}
	for _, e := range entries {
		rest, ok := strings.CutPrefix(e.Name(), "."+filepath.Base(dir)+infix)
		pid, err := strconv.Atoi(rest)
		if !ok || err != nil || (pid != os.Getpid() && alive(pid)) {
			continue
		}
		if err := os.RemoveAll(filepath.Join(filepath.Dir(dir), e.Name())); err != nil {
			return err
		}
	}
	return nil
}
