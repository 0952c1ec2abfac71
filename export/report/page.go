package report

import (
	"bytes"
	_ "embed"
	"html/template"

	"cellwall/export/drawing/paper"
)

//go:embed style.css
var style string

// Page is the template of a page that looks like the report: within its style
// element {{template "style"}} is what the pages share. It panics where the text
// is no template.
func Page(name, text string) *template.Template {
	return template.Must(template.Must(template.New(name).Parse(text)).New("style").Parse(style)).Lookup(name)
}

// Sheet is a drawing within a page.
type Sheet struct {
	Title string
	SVG   template.HTML
}

// Inline makes the drawings part of a page. Their lettering was escaped when
// they were written.
func Inline(drawings []*paper.Page) ([]Sheet, error) {
	out := make([]Sheet, len(drawings))
	for i, d := range drawings {
		b, err := d.SVG()
		if err != nil {
			return nil, err
		}
		start := bytes.Index(b, []byte("<svg"))
		title := template.HTMLEscapeString("Drawing: " + d.Title)
		svg := `<svg role="img" aria-label="` + title + `"` + string(b[start+len("<svg"):])
		out[i] = Sheet{Title: d.Title, SVG: template.HTML(svg)}
	}
	return out, nil
}
