package price

import (
	"net/http"
	"net/url"
	"strings"

	"scumble/web/frame"
)

// routes adds what is no edit of single fields.
func routes(mux *http.ServeMux, f *frame.Frame) error {
	mux.HandleFunc("POST /jobs/{job}/price/alternative", func(w http.ResponseWriter, r *http.Request) {
		r.Body = http.MaxBytesReader(w, r.Body, 1<<20)
		if err := r.ParseForm(); err != nil {
			f.Fail(w, r, &frame.Refused{Status: http.StatusBadRequest, What: "the form cannot be read", Do: "send it again"})
			return
		}
		name, from, to := strings.TrimSpace(r.PostForm.Get("name")), r.PostForm.Get("from"), r.PostForm.Get("to")
		if name == "" {
			name = to + " for " + from
		}
		r.PostForm = url.Values{"revision": r.PostForm["revision"], "back": r.PostForm["back"], "act": {"add:alternatives"},
			"new:alternatives:name": {name}, "new:alternatives:swap." + from: {to}}
		f.Edit(w, r)
	})
	return nil
}
