//go:build reference

package paper

import (
	"bytes"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// librsvg (Debian package librsvg2-bin) and poppler (poppler-utils) draw what
// was written as our own image shows it.
func TestOthersDrawTheSame(t *testing.T) {
	p := sample()
	dir := t.TempDir()
	svg, err := p.SVG()
	if err != nil {
		t.Fatal(err)
	}
	var pdf bytes.Buffer
	if err := WritePDF(&pdf, []*Page{p, p}, time.Time{}); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		file string
		body []byte
		tool []string
		out  string
	}{
		{"a.svg", svg, []string{"rsvg-convert", "-d", "100", "-p", "100", "-o", "a.png", "a.svg"}, "a.png"},
		{"b.pdf", pdf.Bytes(), []string{"pdftoppm", "-png", "-r", "100", "b.pdf", "b"}, "b-1.png"},
		{"b.pdf", pdf.Bytes(), []string{"pdftoppm", "-png", "-r", "100", "b.pdf", "b"}, "b-2.png"},
	} {
		if _, err := exec.LookPath(c.tool[0]); err != nil {
			t.Skipf("%s is not installed", c.tool[0])
		}
		if err := os.WriteFile(filepath.Join(dir, c.file), c.body, 0o600); err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(c.tool[0], c.tool[1:]...)
		cmd.Dir = dir
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%s: %v\n%s", c.tool[0], err, out)
		}
		f, err := os.Open(filepath.Join(dir, c.out))
		if err != nil {
			t.Fatal(err)
		}
		got, err := png.Decode(f)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		if a, b := darkness(p.Image(100)), darkness(got); b < 0.9*a || b > 1.1*a {
			t.Errorf("%s: %.5f of the page is ink, ours has %.5f", c.out, b, a)
		}
	}
}

// darkness is the part of an image's light that its ink takes away.
func darkness(img image.Image) float64 {
	sum, n := 0.0, 0
	for y := img.Bounds().Min.Y; y < img.Bounds().Max.Y; y++ {
		for x := img.Bounds().Min.X; x < img.Bounds().Max.X; x++ {
			r, g, b, _ := img.At(x, y).RGBA()
			sum += 1 - float64(r+g+b)/3/0xffff
			n++
		}
	}
	return sum / float64(n)
}
