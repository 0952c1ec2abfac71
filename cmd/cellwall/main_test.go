package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"cellwall/fixtures"
)

// TestMain lets the test binary stand in for the command, so that a test can
// interrupt it.
func TestMain(m *testing.M) {
	if os.Getenv("CELLWALL_BE_THE_COMMAND") != "" {
		main()
	}
	os.Exit(m.Run())
}

// smallCell writes a thinned demo cell.
func smallCell(t *testing.T, density float64) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "cell")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	s := fixtures.Demo(1)
	s.Density = density
	if _, err := s.Write(dir); err != nil {
		t.Fatal(err)
	}
	return dir
}

// replace changes the first old to new in a file of the cell.
func replace(t *testing.T, path, old, new string) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(text, []byte(old)) {
		t.Fatalf("%s does not hold %q", path, old)
	}
	write(t, path, bytes.Replace(text, []byte(old), []byte(new), 1))
}

func write(t *testing.T, path string, text []byte) {
	t.Helper()
	if err := os.WriteFile(path, text, 0o644); err != nil {
		t.Fatal(err)
	}
}

// rows changes the rows of a CSV file of the cell, header first.
func rows(t *testing.T, path string, change func(rows []string) []string) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	lines := change(strings.Split(strings.TrimSpace(string(text)), "\n"))
	write(t, path, []byte(strings.Join(lines, "\n")+"\n"))
}

// setField puts value into column col of a CSV row.
func setField(row string, col int, value string) string {
	fields := strings.Split(row, ",")
	fields[col] = value
	return strings.Join(fields, ",")
}

// TestWrongInput spoils a good cell in one way at a time. Every fault must end
// with status 2 and one message that names the file and says what to do, and
// leave the last good map alone.
func TestWrongInput(t *testing.T) {
	good := smallCell(t, 0.01)
	const scan, motion = "scans/swing-level.ply", "scans/swing-level.csv"
	for _, c := range []struct {
		name  string
		spoil func(t *testing.T, dir string)
		says  []string
	}{
		{"unknown key", func(t *testing.T, dir string) {
			replace(t, filepath.Join(dir, "cell.yaml"), "margin_mm", "margn_mm")
		}, []string{"cell.yaml:", "margn_mm", "margin_mm"}},
		{"missing file", func(t *testing.T, dir string) {
			if err := os.Remove(filepath.Join(dir, scan)); err != nil {
				t.Fatal(err)
			}
		}, []string{"cell.yaml:", scan}},
		{"NaN in cell.yaml", func(t *testing.T, dir string) {
			replace(t, filepath.Join(dir, "cell.yaml"), "margin_mm: 20", "margin_mm: .nan")
		}, []string{"cell.yaml:", "margin_mm"}},
		{"NaN in a motion", func(t *testing.T, dir string) {
			rows(t, filepath.Join(dir, motion), func(r []string) []string { r[5] = setField(r[5], 2, "NaN"); return r })
		}, []string{motion + ":6"}},
		{"empty scan", func(t *testing.T, dir string) {
			text, err := os.ReadFile(filepath.Join(dir, scan))
			if err != nil {
				t.Fatal(err)
			}
			head, _, _ := bytes.Cut(text, []byte("end_header\n"))
			lines := strings.Split(string(head), "\n")
			for i, l := range lines {
				if strings.HasPrefix(l, "element vertex") {
					lines[i] = "element vertex 0"
				}
			}
			write(t, filepath.Join(dir, scan), []byte(strings.Join(lines, "\n")+"end_header\n"))
		}, []string{scan}},
		{"file of no bytes", func(t *testing.T, dir string) {
			write(t, filepath.Join(dir, scan), nil)
		}, []string{scan}},
		{"truncated PLY", func(t *testing.T, dir string) {
			text, err := os.ReadFile(filepath.Join(dir, scan))
			if err != nil {
				t.Fatal(err)
			}
			write(t, filepath.Join(dir, scan), text[:len(text)/2])
		}, []string{scan, "byte"}},
		{"header of 4 billion points", func(t *testing.T, dir string) {
			replace(t, filepath.Join(dir, scan), "element vertex ", "element vertex 400000")
		}, []string{scan}},
		{"motion backwards in time", func(t *testing.T, dir string) {
			rows(t, filepath.Join(dir, motion), func(r []string) []string { r[9], r[10] = r[10], r[9]; return r })
		}, []string{motion + ":11"}},
		{"joint outside its limit", func(t *testing.T, dir string) {
			rows(t, filepath.Join(dir, motion), func(r []string) []string { r[7] = setField(r[7], 1, "400"); return r })
		}, []string{motion + ":8", "400"}},
		{"quaternion of length zero", func(t *testing.T, dir string) {
			rows(t, filepath.Join(dir, motion), func(r []string) []string {
				out := []string{"t,x,y,z,qw,qx,qy,qz"}
				for _, row := range r[1:] {
					stamp, _, _ := strings.Cut(row, ",")
					out = append(out, stamp+",0,0,0,0,0,0,0")
				}
				return out
			})
		}, []string{motion + ":2", "quaternion"}},
		{"scan does not overlap its motion", func(t *testing.T, dir string) {
			rows(t, filepath.Join(dir, motion), func(r []string) []string {
				for i := range r[1:] {
					stamp, rest, _ := strings.Cut(r[i+1], ",")
					r[i+1] = "9" + strings.Repeat("0", len(stamp)) + stamp + "," + rest
				}
				return r
			})
		}, []string{scan}},
		{"no cell folder", func(t *testing.T, dir string) {
			if err := os.Remove(filepath.Join(dir, "cell.yaml")); err != nil {
				t.Fatal(err)
			}
		}, []string{"cell.yaml"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "cell")
			if err := os.CopyFS(dir, os.DirFS(good)); err != nil {
				t.Fatal(err)
			}
			keep := filepath.Join(dir, "map", sceneFile)
			if err := os.Mkdir(filepath.Dir(keep), 0o755); err != nil {
				t.Fatal(err)
			}
			write(t, keep, []byte("the last good map"))
			c.spoil(t, dir)

			for _, command := range []string{"map", "check"} {
				var stdout, stderr bytes.Buffer
				if got := run([]string{command, dir}, &stdout, &stderr); got != statusWrong {
					t.Errorf("%s: status %d, want %d; it said %s", command, got, statusWrong, &stderr)
				}
				if n := strings.Count(strings.TrimSpace(stderr.String()), "\n"); n > 0 || stdout.Len() > 0 {
					t.Errorf("%s: more than one clear message:\n%s%s", command, &stderr, &stdout)
				}
				for _, word := range c.says {
					if !strings.Contains(stderr.String(), word) {
						t.Errorf("%s: %q does not name %q", command, stderr.String(), word)
					}
				}
			}
			if text, err := os.ReadFile(keep); err != nil || string(text) != "the last good map" {
				t.Errorf("the last good map is now %q, %v", text, err)
			}
			if left, _ := filepath.Glob(filepath.Join(dir, ".map*")); len(left) > 0 {
				t.Errorf("litter: %v", left)
			}
		})
	}
}

func TestWrongCall(t *testing.T) {
	for _, args := range [][]string{{"map"}, {"map", "a", "b"}, {"mop"}, {"map", "--wide", "a"}, {"map", "no-such-folder"}} {
		var stdout, stderr bytes.Buffer
		if got := run(args, &stdout, &stderr); got != statusWrong || stderr.Len() == 0 {
			t.Errorf("%v: status %d, said %q", args, got, &stderr)
		}
	}
}

// TestInterrupted stops a running map by signal, politely and not, at several
// moments. The last good map must be as it was, and the next run must leave no
// litter behind.
func TestInterrupted(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the command several times")
	}
	dir := smallCell(t, 0.1)
	command := func() *exec.Cmd {
		cmd := exec.Command(os.Args[0], "map", "--quiet", dir)
		cmd.Env = append(os.Environ(), "CELLWALL_BE_THE_COMMAND=1")
		return cmd
	}
	start := time.Now()
	if out, err := command().CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	lasts := time.Since(start)
	scene := filepath.Join(dir, "map", sceneFile)
	before, err := os.ReadFile(scene)
	if err != nil {
		t.Fatal(err)
	}
	for _, signal := range []os.Signal{syscall.SIGINT, os.Kill} {
		for _, part := range []float64{0.2, 0.5, 0.8} {
			cmd := command()
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			time.Sleep(time.Duration(part * float64(lasts)))
			_ = cmd.Process.Signal(signal) // it may have ended by itself
			err := cmd.Wait()
			if signal == syscall.SIGINT && err != nil && cmd.ProcessState.ExitCode() != statusInterrupted {
				t.Errorf("interrupt at %.0f %%: status %d", 100*part, cmd.ProcessState.ExitCode())
			}
			after, err := os.ReadFile(scene)
			if err != nil || !bytes.Equal(before, after) {
				t.Errorf("%v at %.0f %%: the last good map has changed (%v)", signal, 100*part, err)
			}
		}
	}
	if out, err := command().CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".map*")); len(left) > 0 {
		t.Errorf("litter after the next run: %v", left)
	}
}
