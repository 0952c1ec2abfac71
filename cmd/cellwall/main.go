// Command cellwall maps what stands around a robot. Each file here is one
// command: it reads flags, calls the library and prints. No geometry here.
package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"cellwall/scene"

	"github.com/spf13/cobra"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run is main with its surroundings as arguments; it returns the exit status.
func run(args []string, stdout, stderr io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	root := rootCommand()
	root.SetArgs(args)
	root.SetOut(stdout)
	root.SetErr(stderr)
	return status(stderr, root.ExecuteContext(ctx))
}

// common are the flags that every command knows.
type common struct {
	json, quiet bool
}

func rootCommand() *cobra.Command {
	var c common
	root := &cobra.Command{
		Use:   "cellwall",
		Short: "Map what stands around a robot",
		Long: "cellwall places laser scans taken from a robot's wrist in the robot's base frame, fits the\n" +
			"floor, walls, tables, the machine's enclosure and the vise, locates the vise's jaws, and\n" +
			"writes a collision scene as STL together with drawings for checking.\n\n" +
			"Exit status: 0 done; 1 the answer is \"no\" (a move that is not clear, an object that was not located\n" +
			"under check or map --strict, a map that does not agree); 2 the input or the call is wrong;\n" +
			"3 interrupted.\n\n" + cautions(),
		Version:           scene.Version,
		SilenceErrors:     true,
		SilenceUsage:      true,
		CompletionOptions: cobra.CompletionOptions{HiddenDefaultCmd: false},
	}
	root.PersistentFlags().BoolVar(&c.json, "json", false, "print the result as JSON, for machines")
	root.PersistentFlags().BoolVarP(&c.quiet, "quiet", "q", false, "no progress and no warnings on stderr")
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return fmt.Errorf("%w; what it takes: %s --help", err, cmd.CommandPath())
	})
	root.AddCommand(
		demoCommand(&c),
		newCommand(&c),
		checkCommand(&c),
		mountCommand(&c),
		mapCommand(&c),
		writeCommand(&c), viewCommand(&c),
		scoutCommand(&c),
		reachCommand(&c),
		movedCommand(&c),
		changesCommand(&c),
		touchCommand(&c),
	)
	return root
}
