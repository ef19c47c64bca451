package asset

import (
	"compress/gzip"
	"io"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
)

func TestFiles(t *testing.T) {
	f, err := New()
	if err != nil {
		t.Fatal(err)
	}
	for name, kind := range map[string]string{"look.css": "text/css; charset=utf-8", "board.js": "text/javascript; charset=utf-8", "htmx.min.js": "text/javascript; charset=utf-8",
		"noto-sans-latin-400.woff2": "font/woff2", "bob.svg": "image/svg+xml"} {
		address := f.URL(name)
		if !regexp.MustCompile(`^/asset/[a-z0-9.-]+\.[0-9a-f]{10}\.[a-z0-9]+$`).MatchString(address) {
			t.Errorf("%s lies at %s", name, address)
		}
		plain := httptest.NewRecorder()
		f.ServeHTTP(plain, httptest.NewRequest("GET", address, nil))
		if plain.Code != 200 || plain.Header().Get("Content-Type") != kind || !strings.Contains(plain.Header().Get("Cache-Control"), "immutable") || plain.Body.Len() == 0 {
			t.Errorf("%s: %d %v", name, plain.Code, plain.Header())
		}
		zipped := httptest.NewRecorder()
		r := httptest.NewRequest("GET", address, nil)
		r.Header.Set("Accept-Encoding", "gzip, br")
		f.ServeHTTP(zipped, r)
		if zipped.Header().Get("Content-Encoding") == "gzip" {
			z, err := gzip.NewReader(zipped.Body)
			if err != nil {
				t.Fatal(err)
			}
			if text, err := io.ReadAll(z); err != nil || string(text) != plain.Body.String() {
				t.Errorf("%s is another one when zipped (%v)", name, err)
			}
		} else if strings.HasPrefix(kind, "text") {
			t.Errorf("%s is not zipped", name)
		}
	}
	missing := httptest.NewRecorder()
	f.ServeHTTP(missing, httptest.NewRequest("GET", f.URL("nothing.css"), nil))
	if missing.Code != 404 {
		t.Errorf("a file that is not there answers %d", missing.Code)
	}
}

// TestTheStyleSheetIsSelfContained: every address in it is one that is served here, and
// nothing points to another host.
func TestTheStyleSheetIsSelfContained(t *testing.T) {
	f, err := New()
	if err != nil {
		t.Fatal(err)
	}
	css := string(f.served[f.URL("look.css")].plain)
	found := regexp.MustCompile(`url\(([^)]*)\)`).FindAllStringSubmatch(css, -1)
	if len(found) < 4 {
		t.Errorf("%d fonts", len(found))
	}
	for _, m := range found {
		if _, ok := f.served[m[1]]; !ok {
			t.Errorf("url(%s) is not served", m[1])
		}
	}
	if strings.Contains(css, "http") || strings.Contains(css, "@import") {
		t.Error("the style sheet reaches elsewhere")
	}
	if strings.Count(css, "{") != strings.Count(css, "}") {
		t.Error("braces do not close")
	}
}

func TestLicencesAreThere(t *testing.T) {
	f, err := New()
	if err != nil {
		t.Fatal(err)
	}
	l := f.Licences()
	if len(l) != 2 || !strings.Contains(l[0].Text, "SIL OPEN FONT LICENSE") && !strings.Contains(l[0].Text, "SIL Open Font License") || !strings.Contains(l[1].Text, "Zero-Clause BSD") {
		t.Errorf("%v", l)
	}
}

// TestNotSentAgain: who has a file is told so, and only who has that very one.
func TestNotSentAgain(t *testing.T) {
	f, err := New()
	if err != nil {
		t.Fatal(err)
	}
	ask := func(coding, tag string) *httptest.ResponseRecorder {
		w, r := httptest.NewRecorder(), httptest.NewRequest("GET", f.URL("look.css"), nil)
		r.Header.Set("Accept-Encoding", coding)
		r.Header.Set("If-None-Match", tag)
		f.ServeHTTP(w, r)
		return w
	}
	plain, zipped := ask("", "").Header().Get("ETag"), ask("gzip", "").Header().Get("ETag")
	if plain == "" || plain == zipped {
		t.Fatalf("tags %s and, zipped, %s", plain, zipped)
	}
	if w := ask("gzip", `"other", `+zipped); w.Code != 304 || w.Body.Len() != 0 {
		t.Errorf("%d with %d bytes for who has it", w.Code, w.Body.Len())
	}
	if w := ask("gzip", plain); w.Code != 200 || w.Body.Len() == 0 {
		t.Errorf("%d for who has another coding of it", w.Code)
	}
}
