package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The demo's true mount is what its cell.yaml says: put off, it must come back.
func TestMountBringsTheDemosMountBack(t *testing.T) {
	if testing.Short() {
		t.Skip("solves from some hundred thousand points")
	}
	dir := smallCell(t, 0.12)
	file := filepath.Join(dir, "cell.yaml")
	replace(t, file, "[62, 0, 48]", "[60, 1, 50]")
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var out, errs bytes.Buffer
	if got := run([]string{"mount", "--json", dir}, &out, &errs); got != statusDone {
		t.Fatalf("status %d: %s", got, &errs)
	}
	var r mountResult
	if err := json.Unmarshal(out.Bytes(), &r); err != nil {
		t.Fatal(err)
	}
	for k, want := range []float64{62, 0, 48} {
		// 0.3 mm: what a mount is worth solving for.
		if d := r.Found.XYZ[k] - want; d > 0.3 || d < -0.3 {
			t.Errorf("coordinate %d is %.2f, want %.2f", k, r.Found.XYZ[k], want)
		}
	}
	if !r.Significant || r.Written || r.After > r.Before/2 {
		t.Errorf("result %+v", r)
	}
	if after, _ := os.ReadFile(file); !bytes.Equal(before, after) {
		t.Error("cell.yaml has changed without --write")
	}

	out.Reset()
	if got := run([]string{"mount", "--write", dir}, &out, &errs); got != statusDone {
		t.Fatalf("status %d: %s", got, &errs)
	}
	after, _ := os.ReadFile(file)
	for _, want := range []string{"# flangeFromScanner", "scans:", "latency_ms:"} {
		if !strings.Contains(string(after), want) {
			t.Errorf("cell.yaml has lost or lacks %q", want)
		}
	}
	if !strings.Contains(out.String(), "written to") || strings.Contains(string(after), "[60, 1, 50]") {
		t.Errorf("not written:\n%s", &out)
	}
}

func TestMountRefuses(t *testing.T) {
	dir := smallCell(t, 0.02)
	file := filepath.Join(dir, "cell.yaml")
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	from, to := bytes.Index(text, []byte("  - {name: swing-down")), bytes.Index(text, []byte("\nobjects:"))
	write(t, file, append(append([]byte{}, text[:from]...), text[to:]...))
	var out, errs bytes.Buffer
	if got := run([]string{"mount", dir}, &out, &errs); got != statusWrong || out.Len() > 0 {
		t.Errorf("status %d, output %q", got, &out)
	}
	if !strings.Contains(errs.String(), "add a sweep of the same surfaces in another posture") {
		t.Errorf("message %q", &errs)
	}
}
