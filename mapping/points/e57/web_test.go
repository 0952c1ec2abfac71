//go:build reference

package e57_test

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// toXYZ prints the points of a file as text, through its scans' poses, with the
// e57 library for Rust (npm: web-e57 1.2.0).
const toXYZ = `
import { promises as fs } from "fs";
const { convertE57 } = await import("file://" + process.argv[2]);
process.stdout.write(Buffer.from(convertE57(new Uint8Array(await fs.readFile(process.argv[3])), "XYZ")));
`

// An independent reader finds the checksums right and the same points.
func TestAgainstAnotherReader(t *testing.T) {
	root, err := exec.Command("npm", "root", "-g").Output()
	library := filepath.Join(strings.TrimSpace(string(root)), "web-e57", "e57.js")
	if _, missing := os.Stat(library); err != nil || missing != nil {
		t.Skip("web-e57 is not installed (npm install -g web-e57@1.2.0)")
	}
	script := filepath.Join(t.TempDir(), "xyz.mjs")
	if err := os.WriteFile(script, []byte(toXYZ), 0o644); err != nil {
		t.Fatal(err)
	}
	path := twoScans(t)
	cmd := exec.Command("node", "--experimental-wasm-modules", "--no-warnings", script, library, path)
	cmd.Stderr = os.Stderr
	text, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	all, _ := readAll(t, path)
	i := 0
	for _, p := range all {
		if math.IsNaN(p.X) {
			continue // it leaves out what has no return
		}
		var want r3.Vec
		if _, err := fmt.Sscan(lines[i], &want.X, &want.Y, &want.Z); err != nil {
			t.Fatal(err)
		}
		if d := r3.Norm(r3.Sub(p, want)); d > 1e-9 {
			t.Fatalf("point %d is %v, want %v", i, p, want)
		}
		i++
	}
	if i != len(lines) {
		t.Errorf("%d points, want %d", i, len(lines))
	}
}
