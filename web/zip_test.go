package web

import (
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

func TestZipped(t *testing.T) {
	body := strings.Repeat("<p>a wall</p>", 500)
	for kind, want := range map[string]bool{"text/html; charset=utf-8": true, "application/json": true, "image/jpeg": false, "text/event-stream": false, "application/pdf": false} {
		h := zipped(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", kind)
			w.WriteHeader(http.StatusConflict)
			io.WriteString(w, body)
		}))
		r := httptest.NewRequest("GET", "/", nil)
		r.Header.Set("Accept-Encoding", "gzip, br")
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		var from io.Reader = w.Body
		if zip := w.Header().Get("Content-Encoding") == "gzip"; zip != want || w.Code != http.StatusConflict {
			t.Errorf("%s: zipped %v, %d", kind, zip, w.Code)
		} else if zip {
			z, err := gzip.NewReader(w.Body)
			if err != nil {
				t.Fatal(err)
			}
			from = z
		}
		if got, err := io.ReadAll(from); err != nil || string(got) != body {
			t.Errorf("%s: %d bytes came (%v)", kind, len(got), err)
		}
	}
}
