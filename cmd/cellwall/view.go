package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"path/filepath"
	"strconv"
	"time"

	"cellwall/export/extent"
	"cellwall/export/view"

	"github.com/spf13/cobra"
)

func viewCommand(c *common) *cobra.Command {
	var folder, solids string
	var port int
	cmd := &cobra.Command{
		Use:   "view CELL",
		Short: "Serve a local page to turn the map around",
		Long: "Serves the scene of CELL/map/scene.json as a page on this machine, at a loopback address that no\n" +
			"other machine reaches, and prints the address. The page needs no network. Ctrl-C ends it.\n\n" + cautions(),
		Args: one("CELL, the cell folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			e, err := extent.Parse(solids)
			if err != nil {
				return err
			}
			if folder == "" {
				folder = filepath.Join(args[0], "map")
			}
			s, err := openScene(reporter(cmd, c), folder, args[0])
			if err != nil {
				return err
			}
			page, err := view.Handler(s, e)
			if err != nil {
				return err
			}
			at, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
			if err != nil {
				return fmt.Errorf("port %d cannot be had: %w; name another, or none", port, err)
			}
			fmt.Fprintf(cmd.OutOrStdout(), "http://%s/\n", at.Addr())
			if !c.quiet {
				fmt.Fprintln(cmd.ErrOrStderr(), "open this address in a browser on this machine; Ctrl-C ends")
			}
			return serve(cmd.Context(), at, page)
		},
	}
	cmd.Flags().StringVar(&folder, "map", "", "the map folder to read (default CELL/map)")
	cmd.Flags().StringVar(&solids, "solids", extent.Fitted.String(), "fitted (as measured) or grown (by their margins)")
	cmd.Flags().IntVar(&port, "port", 0, "the port (default: one that is free)")
	return cmd
}

// grace is how long a request may take to come in, and a page that is being
// loaded may hold up the end.
const grace = 5 * time.Second

// serve answers requests until ctx ends, which is how this command is meant to
// end.
func serve(ctx context.Context, at net.Listener, page http.Handler) error {
	server := &http.Server{Handler: page, ReadHeaderTimeout: grace}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(at) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	last, stop := context.WithTimeout(context.WithoutCancel(ctx), grace)
	defer stop()
	if err := server.Shutdown(last); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return nil
}
