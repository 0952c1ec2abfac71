package main

import (
	"context"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"
)

// The command answers on a loopback address until it is interrupted, and then
// ends as done.
func TestViewServesUntilInterrupted(t *testing.T) {
	ctx, interrupt := context.WithCancel(context.Background())
	defer interrupt()
	said, out := io.Pipe()
	root := rootCommand()
	root.SetArgs([]string{"view", mappedBlock(t), "--quiet"})
	root.SetOut(out)
	ended := make(chan error, 1)
	go func() { ended <- root.ExecuteContext(ctx) }()
	line := make([]byte, 100)
	n, err := said.Read(line)
	if err != nil {
		t.Fatal(err)
	}
	address := strings.TrimSpace(string(line[:n]))
	if !strings.HasPrefix(address, "http://127.0.0.1:") {
		t.Fatalf("the address is %q", address)
	}
	r, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if r.StatusCode != http.StatusOK {
		t.Errorf("status %s", r.Status)
	}
	interrupt()
	select {
	case err := <-ended:
		if err != nil {
			t.Errorf("ended with %v", err)
		}
	case <-time.After(2 * grace):
		t.Fatal("the command does not end")
	}
}

func TestViewRefuses(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	_, port, _ := net.SplitHostPort(taken.Addr().String())
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{mappedBlock(t), "--port", port}, "port " + port + " cannot be had"},
		{[]string{mappedBlock(t), "--solids", "thick"}, "grown"},
		{[]string{t.TempDir()}, "no map yet"},
	} {
		var out, errs strings.Builder
		if got := run(append([]string{"view"}, c.args...), &out, &errs); got != statusWrong || !strings.Contains(errs.String(), c.want) {
			t.Errorf("%v: status %d, %q does not say %q", c.args, got, errs.String(), c.want)
		}
	}
}
