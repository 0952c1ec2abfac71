// Package view shows a scene in a browser: one page that turns it around, served
// on this machine and to nobody else, without a network.
package view

import (
	"bytes"
	"embed"
	"net"
	"net/http"
	"time"

	"cellwall/export/extent"
	"cellwall/export/glb"
	"cellwall/scene"
)

//go:embed page
var pages embed.FS

// The files of the page, by the address that each has.
var files = map[string]struct{ name, kind string }{
	"/":          {"page/page.html", "text/html; charset=utf-8"},
	"/page.css":  {"page/page.css", "text/css; charset=utf-8"},
	"/model.js":  {"page/model.js", "text/javascript; charset=utf-8"},
	"/camera.js": {"page/camera.js", "text/javascript; charset=utf-8"},
	"/page.js":   {"page/page.js", "text/javascript; charset=utf-8"},
}

// sceneFile is the scene itself, as the page loads it.
const sceneFile = "/scene.glb"

// Handler serves the page and the scene, its solids in the given extent. It
// answers only what asks for this machine by a loopback name: a page from
// elsewhere that has its own name point here gets nothing. It fails where the
// scene cannot be written.
func Handler(s *scene.Scene, e extent.Extent) (http.Handler, error) {
	answers := map[string]func(http.ResponseWriter, *http.Request){}
	for address, f := range files {
		data, err := pages.ReadFile(f.name)
		if err != nil {
			return nil, err
		}
		answers[address] = content(f.kind, data)
	}
	var b bytes.Buffer
	if err := glb.Write(&b, s, e); err != nil {
		return nil, err
	}
	answers[sceneFile] = content("model/gltf-binary", b.Bytes())
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		answer, known := answers[r.URL.Path]
		switch {
		case !loopback(r.Host):
			http.Error(w, "this page is for the machine that it runs on", http.StatusForbidden)
		case r.Method != http.MethodGet && r.Method != http.MethodHead:
			http.Error(w, "there is nothing here to change", http.StatusMethodNotAllowed)
		case !known:
			http.NotFound(w, r)
		default:
			answer(w, r)
		}
	}), nil
}

// content serves data with headers that keep the page to itself: it loads from
// nowhere else, and no other page may hold or read it.
func content(kind string, data []byte) func(http.ResponseWriter, *http.Request) {
	return func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Type", kind)
		h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src data:; frame-ancestors 'none'")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cache-Control", "no-store")
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
	}
}

// loopback tells whether a request's host is this machine.
func loopback(host string) bool {
	name, _, err := net.SplitHostPort(host)
	if err != nil {
		name = host
	}
	return name == "localhost" || name == "127.0.0.1" || name == "[::1]" || name == "::1"
}
