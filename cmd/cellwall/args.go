package main

import (
	"fmt"
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
