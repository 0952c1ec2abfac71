package whole

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// File calls write with a new file beside path, which takes path's place when
// write returns nil. On an error, an interrupt or a crash, path is what it was
// before.
func File(ctx context.Context, path string, write func(io.Writer) error) error {
	if err := Place(path); err != nil {
		return err
	}
	tmp := temporary(path, os.Getpid())
	f, err := os.Create(tmp)
	if err != nil {
		return err
	}
	defer os.Remove(tmp)
	if err := errors.Join(write(f), f.Sync(), f.Close()); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return os.Rename(tmp, path)
}

// Place is nil where File may put its result: the folder of path is there, and
// path is none.
func Place(path string) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return fmt.Errorf("%s is a folder; name a file", path)
	}
	if _, err := os.Stat(filepath.Dir(path)); errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("%s: the folder %s does not exist; make it first, or name another", path, filepath.Dir(path))
	}
	return nil
}
