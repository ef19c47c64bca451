// Package asset holds the files every page is drawn with: style sheet, script, fonts.
// Their addresses carry a hash of their content, so that a browser keeps them for good.
package asset

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"
)

//go:embed files
var embedded embed.FS

// kinds are the files that are served, by the ends of their names.
var kinds = map[string]string{
	".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".svg": "image/svg+xml", ".woff2": "font/woff2",
}

// Files are the files with their addresses.
type Files struct {
	urls   map[string]string // by name
	served map[string]served // by address
}

type served struct {
	kind, tag     string
	plain, zipped []byte // zipped is nil where it saves nothing
}

// New reads the embedded files. Fonts come first: the style sheet names their addresses.
func New() (*Files, error) {
	f := &Files{map[string]string{}, map[string]served{}}
	entries, err := embedded.ReadDir("files")
	if err != nil {
		return nil, err
	}
	for _, last := range []bool{false, true} {
		for _, e := range entries {
			kind := kinds[path.Ext(e.Name())]
			if kind == "" || last != (path.Ext(e.Name()) == ".css") {
				continue
			}
			content, err := embedded.ReadFile("files/" + e.Name())
			if err != nil {
				return nil, err
			}
			if last {
				content = f.addressed(content)
			}
			if err := f.add(e.Name(), kind, content); err != nil {
				return nil, err
			}
		}
	}
	return f, nil
}

// addressed puts the addresses of files in the place of their names in url().
func (f *Files) addressed(css []byte) []byte {
	for name, address := range f.urls {
		css = bytes.ReplaceAll(css, []byte("url("+name+")"), []byte("url("+address+")"))
	}
	return css
}

func (f *Files) add(name, kind string, content []byte) error {
	sum := sha256.Sum256(content)
	ext := path.Ext(name)
	hash := hex.EncodeToString(sum[:5])
	address := "/asset/" + strings.TrimSuffix(name, ext) + "." + hash + ext
	s := served{kind: kind, tag: hash, plain: content}
	if ext != ".woff2" {
		var out bytes.Buffer
		z, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
		if err != nil {
			return err
		}
		if _, err := z.Write(content); err != nil {
			return err
		}
		if err := z.Close(); err != nil {
			return err
		}
		s.zipped = out.Bytes()
	}
	f.urls[name], f.served[address] = address, s
	return nil
}

// URL is the address of a file by its name. A name that is not there is a slip in a
// template; it shows as an address that is not found.
func (f *Files) URL(name string) string {
	if address, ok := f.urls[name]; ok {
		return address
	}
	return "/asset/missing/" + name
}

// Licence is the licence of something among the files.
type Licence struct{ Name, Text string }

// Licences are the licences of the files that others made.
func (f *Files) Licences() []Licence {
	var out []Licence
	for _, l := range [][2]string{{"Noto Sans", "noto-sans.LICENSE"}, {"htmx", "htmx.LICENSE"}} {
		text, err := embedded.ReadFile("files/" + l[1])
		if err == nil {
			out = append(out, Licence{l[0], string(text)})
		}
	}
	return out
}

func (f *Files) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	s, ok := f.served[r.URL.Path]
	if !ok {
		http.NotFound(w, r)
		return
	}
	h := w.Header()
	h.Set("Content-Type", s.kind)
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
	h.Set("X-Content-Type-Options", "nosniff")
	body, tag := s.plain, `"`+s.tag+`"`
	if s.zipped != nil {
		h.Set("Vary", "Accept-Encoding")
		if strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
			h.Set("Content-Encoding", "gzip")
			body, tag = s.zipped, `"`+s.tag+`-z"`
		}
	}
	h.Set("ETag", tag)
	if slices.Contains(strings.Fields(strings.ReplaceAll(r.Header.Get("If-None-Match"), ",", " ")), tag) {
		h.Del("Content-Encoding")
		w.WriteHeader(http.StatusNotModified)
		return
	}
	h.Set("Content-Length", strconv.Itoa(len(body)))
	if r.Method == http.MethodHead {
		return
	}
	_, _ = w.Write(body)
}
