package paper

import (
	"bytes"
	"image/color"
	"math"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/gonum/spatial/r2"
)

var inkBlack = color.NRGBA{A: 255}

// A4 page with a line, an area and three texts, one of them with letters that
// Windows-1252 lacks.
func sample() *Page {
	p := &Page{Name: "sample", Title: "Sample", Width: 210, Height: 297}
	p.Rect(Pen{Width: 0.7, Color: inkBlack}, r2.NewBox(20, 10, 200, 287))
	p.FillRect(color.NRGBA{R: 255, A: 255}, r2.NewBox(50, 50, 60, 60))
	p.Text(Text{At: r2.Vec{X: 30, Y: 100}, S: "63.4 ± 0.2 <&>", Height: Large, Color: inkBlack})
	p.Text(Text{At: r2.Vec{X: 30, Y: 120}, S: "stół ΔX", Height: Large, Color: inkBlack})
	p.Text(Text{At: r2.Vec{X: 100, Y: 200}, S: "turned", Height: Medium, Turn: math.Pi / 2, Align: Centre, Color: inkBlack})
	return p
}

// ISO 3098-1: the height of lettering is that of its capitals.
func TestLetteringHasItsHeight(t *testing.T) {
	const dpi = 600
	p := &Page{Width: 40, Height: 20}
	p.Text(Text{At: r2.Vec{X: 5, Y: 5}, S: "H", Height: Large, Color: inkBlack})
	img := p.Image(dpi)
	top, bottom := math.MaxInt, 0
	for y := img.Bounds().Min.Y; y < img.Bounds().Max.Y; y++ {
		for x := img.Bounds().Min.X; x < img.Bounds().Max.X; x++ {
			if r, _, _, _ := img.At(x, y).RGBA(); r < 0x8000 {
				top, bottom = min(top, y), max(bottom, y+1)
			}
		}
	}
	got := float64(bottom-top) / dpi * 25.4
	if math.Abs(got-Large) > 0.1 {
		t.Errorf("a capital is %.2f mm high, want %g", got, float64(Large))
	}
}

func TestBoxHoldsTheInk(t *testing.T) {
	const dpi = 254 // ten pixels a millimetre
	for _, turn := range []float64{0, 0.4, math.Pi / 2} {
		text := Text{At: r2.Vec{X: 50, Y: 50}, S: "Ågj 0.35", Height: Large, Align: Centre, Turn: turn, Color: inkBlack}
		p := &Page{Width: 100, Height: 100}
		p.Text(text)
		box, img := text.Box(), p.Image(dpi)
		for y := range 1000 {
			for x := range 1000 {
				r, _, _, _ := img.At(x, y).RGBA()
				at := r2.Vec{X: float64(x) / 10, Y: 100 - float64(y)/10}
				const ring = 1.6 // the ring of Å rises above a capital
				if r < 0x8000 && (at.X < box.Min.X-ring || at.X > box.Max.X+ring || at.Y < box.Min.Y-ring || at.Y > box.Max.Y+ring) {
					t.Fatalf("turned by %g: ink at %v, outside of %v", turn, at, box)
				}
			}
		}
	}
}

func TestSVGIsOfTrueSize(t *testing.T) {
	b, err := sample().SVG()
	if err != nil {
		t.Fatal(err)
	}
	// 210 mm and 297 mm at 72 points an inch
	if s := string(b); !strings.Contains(s, `width="595.28pt" height="841.89pt"`) {
		t.Errorf("size: %s", s[:200])
	}
	if !bytes.Contains(b, []byte("63.4 ± 0.2 &lt;&amp;&gt;")) {
		t.Error("a text is not escaped")
	}
	if n := bytes.Count(b, []byte("<text ")); n == 0 || bytes.Count(b, []byte("<text textLength=")) != n {
		t.Error("a text is not bound to its width")
	}
	if bytes.Contains(b, []byte("http")) && bytes.Count(b, []byte("http")) != bytes.Count(b, []byte("http://www.w3.org/")) {
		t.Error("the drawing refers to the network")
	}
}

func TestPDFIsTheSameEveryTime(t *testing.T) {
	var first []byte
	for range 3 {
		var b bytes.Buffer
		if err := WritePDF(&b, []*Page{sample(), sample()}, time.Date(2024, 5, 17, 0, 0, 0, 0, time.UTC)); err != nil {
			t.Fatal(err)
		}
		if first != nil && !bytes.Equal(first, b.Bytes()) {
			t.Fatal("the bytes differ")
		}
		first = b.Bytes()
	}
	if !bytes.Contains(first, []byte("D:20240517")) {
		t.Error("the date is not in the file")
	}
	if n := bytes.Count(first, []byte("/Type /Page\n")); n != 2 {
		t.Errorf("%d pages, want 2", n)
	}
}

func TestWrapAndFit(t *testing.T) {
	text := "one two three four five six seven eight nine ten"
	lines := Wrap(text, Small, 30)
	if strings.Join(lines, " ") != text {
		t.Errorf("words were lost: %q", lines)
	}
	for _, l := range lines {
		if Width(l, Small) > 30 {
			t.Errorf("%q is %.1f mm wide", l, Width(l, Small))
		}
	}
	if f := Fit(text, Small, 30); Width(f, Small) > 30 || !strings.HasSuffix(f, "…") {
		t.Errorf("%q", f)
	}
	if f := Fit("short", Small, 30); f != "short" {
		t.Errorf("%q", f)
	}
}
