package web

import (
	"compress/gzip"
	"net/http"
	"strings"
)

// zipped sends pages and JSON compressed to browsers that take it: a page of thirty walls
// is mostly figures of paths, and shrinks to a seventh.
func zipped(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") || strings.HasPrefix(r.URL.Path, "/asset/") {
			next.ServeHTTP(w, r)
			return
		}
		z := &zipper{ResponseWriter: w}
		defer z.close()
		next.ServeHTTP(z, r)
	})
}

// zipper compresses what follows when its head says that it is text.
type zipper struct {
	http.ResponseWriter
	z       *gzip.Writer // nil where the answer goes out as it is
	decided bool
}

func (z *zipper) WriteHeader(status int) {
	if !z.decided {
		z.decided = true
		h := z.Header()
		kind := h.Get("Content-Type")
		text := strings.HasPrefix(kind, "text/html") || strings.HasPrefix(kind, "application/json") || strings.HasPrefix(kind, "image/svg")
		if text && h.Get("Content-Encoding") == "" && status != http.StatusNoContent && status != http.StatusNotModified {
			h.Set("Content-Encoding", "gzip")
			h.Add("Vary", "Accept-Encoding")
			h.Del("Content-Length")
			z.z, _ = gzip.NewWriterLevel(z.ResponseWriter, gzip.BestSpeed) // fails for no level there is
		}
	}
	z.ResponseWriter.WriteHeader(status)
}

func (z *zipper) Write(b []byte) (int, error) {
	if !z.decided {
		if z.Header().Get("Content-Type") == "" {
			z.Header().Set("Content-Type", http.DetectContentType(b))
		}
		z.WriteHeader(http.StatusOK)
	}
	if z.z != nil {
		return z.z.Write(b)
	}
	return z.ResponseWriter.Write(b)
}

// Unwrap lets streams reach the connection.
func (z *zipper) Unwrap() http.ResponseWriter { return z.ResponseWriter }

func (z *zipper) close() {
	if z.z != nil {
		_ = z.z.Close() // the reader may have gone
	}
}
