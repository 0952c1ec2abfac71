package paper

import (
	"bytes"
	"fmt"
	"image"
	"io"
	"sync"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgpdf"
	"gonum.org/v1/plot/vg/vgsvg"
)

// SVG is the page as a standalone SVG of its true size.
func (p *Page) SVG() ([]byte, error) {
	c := &measured{Canvas: vgsvg.New(length(p.Width), length(p.Height))}
	(&artist{Canvas: c}).draw(p)
	var b bytes.Buffer
	if _, err := c.WriteTo(&b); err != nil {
		return nil, err
	}
	// The typeface is named and not carried along, which would add 0.5 MB to
	// every sheet. Where it is not installed, the next have the same widths, and
	// any other is squeezed to them.
	return c.fit(bytes.ReplaceAll(b.Bytes(), []byte("font-family:Liberation Sans;"),
		[]byte("font-family:'Liberation Sans',Arimo,Arial,Helvetica,sans-serif;"))), nil
}

// measured is an SVG canvas that notes how wide each text is that it is given.
type measured struct {
	*vgsvg.Canvas
	widths []vg.Length
}

// FillString implements vg.Canvas.
func (m *measured) FillString(f font.Face, at vg.Point, s string) {
	m.widths = append(m.widths, f.Width(s))
	m.Canvas.FillString(f, at, s)
}

// fit binds the texts of the page to their widths, in points as the page is.
func (m *measured) fit(svg []byte) []byte {
	head, tail := []byte("<text "), svg
	var out []byte
	for _, w := range m.widths {
		before, after, _ := bytes.Cut(tail, head)
		out = append(append(out, before...), head...)
		if w > 0 {
			out = fmt.Appendf(out, `textLength="%.2f" lengthAdjust="spacingAndGlyphs" `, w.Points())
		}
		tail = after
	}
	return append(out, tail...)
}

// Image is the page as pixels, for looking at it in tests.
func (p *Page) Image(dpi int) image.Image {
	c := vgimg.NewWith(vgimg.UseWH(length(p.Width), length(p.Height)), vgimg.UseDPI(dpi))
	(&artist{Canvas: c}).draw(p)
	return c.Image()
}

// pdfDefaults guards the PDF library's package-wide settings, the only way to
// a date and an order that do not change from run to run.
var pdfDefaults sync.Mutex

// WritePDF writes all pages, which are of one size, as one PDF with the given
// date of creation; without one it is the epoch, for the clock would make every
// run differ.
func WritePDF(w io.Writer, pages []*Page, made time.Time) error {
	if made.IsZero() {
		made = time.Unix(0, 0).UTC()
	}
	pdfDefaults.Lock()
	fpdf.SetDefaultCreationDate(made)
	fpdf.SetDefaultModificationDate(made)
	fpdf.SetDefaultCatalogSort(true)
	c := vgpdf.New(length(pages[0].Width), length(pages[0].Height))
	pdfDefaults.Unlock()
	for i, p := range pages {
		if i > 0 {
			c.NextPage()
		}
		(&artist{Canvas: c, latin: true}).draw(p)
	}
	_, err := c.WriteTo(w)
	return err
}
