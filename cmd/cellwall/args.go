package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
)

// one demands a single argument, which what describes.
func one(what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch len(args) {
		case 0:
			return fmt.Errorf("%s needs %s; call: %s", cmd.Name(), what, cmd.UseLine())
		case 1:
			return nil
		}
		return tooMany(cmd, args[1:])
	}
}

// atMostOne allows a single argument.
func atMostOne(cmd *cobra.Command, args []string) error {
	if len(args) > 1 {
		return tooMany(cmd, args[1:])
	}
	return nil
}

func tooMany(cmd *cobra.Command, rest []string) error {
	return fmt.Errorf("%s does not know what to do with %s; call: %s", cmd.Name(), strings.Join(rest, " "), cmd.UseLine())
}

// two demands two arguments, which what describes.
func two(what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) < 2 {
			return fmt.Errorf("%s needs %s; call: %s", cmd.Name(), what, cmd.UseLine())
		}
		if len(args) > 2 {
			return tooMany(cmd, args[2:])
		}
		return nil
	}
}

// endsIn demands that a file to write ends in the suffix of what it will hold:
// a slip then does not replace a cell's own files.
func endsIn(flag, path, suffix string) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return fmt.Errorf("%s %s is a folder; name a file", flag, path)
	}
	if strings.EqualFold(filepath.Ext(path), suffix) {
		return nil
	}
	return fmt.Errorf("%s %s: a file of this kind ends in %s; name it so", flag, path, suffix)
}

// spareFolder refuses to put a folder in the place of one in which inputs lie: it
// is replaced as a whole.
func spareFolder(flag, folder string, inputs ...string) error {
	out, err := filepath.Abs(folder)
	if err != nil {
		return err
	}
	for _, in := range inputs {
		at, err := filepath.Abs(in)
		if err != nil {
			return err
		}
		if rest, err := filepath.Rel(out, at); err == nil && rest != ".." && !strings.HasPrefix(rest, ".."+string(filepath.Separator)) {
			return fmt.Errorf("%s %s would replace %s, which is read; name another folder", flag, folder, in)
		}
	}
	return nil
}

// spares refuses to write over a file that the command reads.
func spares(flag, path string, inputs ...string) error {
	for _, in := range inputs {
		a, errA := os.Stat(path)
		b, errB := os.Stat(in)
		if errA == nil && errB == nil && os.SameFile(a, b) {
			return fmt.Errorf("%s %s would replace what is read; name another file", flag, path)
		}
	}
	return nil
}
