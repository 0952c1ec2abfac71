package view

import (
	"io/fs"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"cellwall/export/extent"
	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

func handler(t *testing.T) http.Handler {
	t.Helper()
	s := &scene.Scene{Cell: "small", Objects: []scene.Object{{
		Object: fit.Object{Name: "block-1", Kind: fit.Block, Pose: geom.Identity()}, Margin: 20,
		Solids: []solid.Solid{solid.Box{Box: geom.Box{Pose: geom.Identity(), Size: r3.Vec{X: 300, Y: 200, Z: 100}}}},
	}}}
	h, err := Handler(s, extent.Fitted)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func ask(h http.Handler, method, url string) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(method, url, nil))
	return w
}

// Every file that the page names is served as what a browser takes it for, and
// the scene is a GLB.
func TestThePageIsServedWhole(t *testing.T) {
	h := handler(t)
	page := ask(h, "GET", "http://127.0.0.1:8080/")
	kinds := map[string]string{"css": "text/css", "js": "text/javascript", "glb": "model/gltf-binary"}
	text := page.Body.String()
	for path := range files {
		text += ask(h, "GET", "http://127.0.0.1:8080"+path).Body.String()
	}
	seen := 0
	for _, m := range regexp.MustCompile(`['"](?:\./)?(\w+\.(css|js|glb))['"]`).FindAllStringSubmatch(text, -1) {
		seen++
		r := ask(h, "GET", "http://localhost:8080/"+m[1])
		if r.Code != http.StatusOK || !strings.HasPrefix(r.Header().Get("Content-Type"), kinds[m[2]]) {
			t.Errorf("%s: status %d, %s", m[1], r.Code, r.Header().Get("Content-Type"))
		}
	}
	if seen < 5 {
		t.Errorf("the page names %d files: the test looks in the wrong place", seen)
	}
	if glb := ask(h, "GET", "http://[::1]:8080/scene.glb").Body.String(); !strings.HasPrefix(glb, "glTF") {
		t.Errorf("the scene starts with %.8q", glb)
	}
}

// A page elsewhere whose name is made to point at this machine sends that name
// as the host (DNS rebinding); it must get nothing, nor may anything be posted.
func TestOthersGetNothing(t *testing.T) {
	h := handler(t)
	for _, c := range []struct {
		method, url string
		want        int
	}{
		{"GET", "http://rebound.example:8080/scene.glb", http.StatusForbidden},
		{"GET", "http://192.168.1.7:8080/", http.StatusForbidden},
		{"GET", "http://localhost.example/", http.StatusForbidden},
		{"POST", "http://localhost:8080/", http.StatusMethodNotAllowed},
		{"GET", "http://localhost:8080/../view.go", http.StatusNotFound},
		{"GET", "http://localhost:8080/scene.json", http.StatusNotFound},
	} {
		if got := ask(h, c.method, c.url).Code; got != c.want {
			t.Errorf("%s %s: status %d, want %d", c.method, c.url, got, c.want)
		}
	}
}

// The page loads nothing from a network, and says so to the browser.
func TestThePageStandsAlone(t *testing.T) {
	if csp := ask(handler(t), "GET", "http://localhost/").Header().Get("Content-Security-Policy"); !strings.Contains(csp, "default-src 'none'") {
		t.Errorf("the policy is %q", csp)
	}
	err := fs.WalkDir(pages, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := pages.ReadFile(path)
		if regexp.MustCompile(`https?:|//\w+\.`).Match(text) {
			t.Errorf("%s names an address elsewhere", path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
