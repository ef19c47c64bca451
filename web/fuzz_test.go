package web

import (
	"context"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"scumble/examples"
)

// marked stands in what is typed; wherever it comes back it must have lost its brackets.
const marked = `<zz9 a="1'>`

// FuzzPages sends forms and addresses of any kind to every page there is: nothing breaks
// off, no answer is the program's own fault, and nothing typed comes back unescaped.
//
// The first byte picks the pattern; the lines after it are fields, each name=value.
func FuzzPages(f *testing.F) {
	patterns, err := patternsOfSource()
	if err != nil {
		f.Fatal(err)
	}
	h, o, id := whole(f, nil)
	accounts, _, _ := whole(f, nil) // apart: once an account is made, nobody gets in any more
	for i, p := range patterns {
		f.Add(uint8(i), false, "")
		f.Add(uint8(i), true, "wall="+marked+"\nrevision=1\nback=/jobs/x/measure\nset:rooms[0].name="+marked+"\nname="+marked)
		if p.method == "POST" {
			f.Add(uint8(i), true, "revision=1\nact=add:rooms\nnew:rooms:name="+marked)
			f.Add(uint8(i), true, "revision=1\nact=remove:rooms[0]\nact=move:rooms[1]:0\nlist:finishes[0].lamps="+marked)
			f.Add(uint8(i), false, "revision=-1\nset:rooms[0].walls[0].length=1e309 m\nset:climate.temp=-0")
			f.Add(uint8(i), false, "revision=1\nset:rooms[99].walls[-1].length=3 m\nset:=x\nact=add:")
		} else {
			f.Add(uint8(i), false, "scale=NaN\nrevision=1\nlight="+marked+"\nwall="+marked+"\nwhy="+marked+"\nby="+marked+"\nfinish="+marked+"\noption="+marked)
			f.Add(uint8(i), true, "hole="+marked+"\nscale=0.01\nrevision=1\nlight=D65\nwhy=area\naway=1")
		}
	}
	f.Fuzz(func(t *testing.T, which uint8, htmx bool, text string) {
		if len(text) > 4096 {
			return
		}
		p := patterns[int(which)%len(patterns)]
		if strings.HasSuffix(p.path, "/events") { // a stream ends when its task does
			return
		}
		fields := url.Values{}
		for line := range strings.Lines(text) {
			name, value, _ := strings.Cut(strings.TrimRight(line, "\n"), "=")
			fields.Add(name, value)
		}
		// Every try begins with the demonstration, so that what it finds it finds again.
		if p.method != "GET" && strings.Contains(p.path, "{job}") {
			j, _, err := o.Store.Create(context.Background(), "Bellwether House", "", examples.Bellwether, "", "x", "new")
			if err != nil {
				t.Fatal(err)
			}
			defer func() { _ = o.Store.PutAway(context.Background(), j.ID, true) }()
			id = j.ID
		}
		handler := h
		if strings.HasPrefix(p.path, "/accounts") || p.path == "/signin" {
			handler = accounts
		}
		target, form := filled(p.path, id), fields
		if in := fields.Get("hole"); in != "" && in != "." && in != ".." { // which are other addresses
			target = hole.ReplaceAllLiteralString(strings.ReplaceAll(strings.ReplaceAll(p.path, "{$}", ""), "{job}", id), url.PathEscape(in))
		}
		if p.method == "GET" {
			target, form = target+"?"+fields.Encode(), nil
		}
		headers := []string{}
		if htmx {
			headers = append(headers, "HX-Request", "true")
		}
		w := ask(handler, p.method, target, form, headers...)
		sound(t, p, w)
	})
}

func sound(t *testing.T, p pattern, w *httptest.ResponseRecorder) {
	t.Helper()
	if w.Code >= 500 {
		t.Errorf("%s %s: %d", p.method, p.path, w.Code)
	}
	kind := w.Header().Get("Content-Type")
	if strings.HasPrefix(kind, "text/html") && strings.Contains(w.Body.String(), "<zz9") || strings.Contains(kind, "svg") && strings.Contains(w.Body.String(), "<zz9") {
		t.Errorf("%s %s: typed text comes back as markup", p.method, p.path)
	}
	if to := w.Header().Get("Location"); to != "" && (!strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.ContainsAny(to, "\\\r\n")) {
		t.Errorf("%s %s leads to %q", p.method, p.path, to)
	}
	if w.Header().Get("Content-Security-Policy") != policy && !strings.Contains(w.Header().Get("Content-Security-Policy"), "default-src 'none'") {
		t.Errorf("%s %s: no policy", p.method, p.path)
	}
}
