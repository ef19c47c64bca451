// Package webtest opens jobs at a place, for the tests of the places.
package webtest

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"scumble/catalog"
	"scumble/examples"
	"scumble/job"
	"scumble/store"
	"scumble/web/asset"
	"scumble/web/frame"
	"scumble/web/work"
)

// Now is the wall clock of the tests.
func Now() time.Time { return time.Date(2027, 3, 1, 9, 41, 0, 0, time.UTC) }

// Frame is a frame over an empty folder.
func Frame(t testing.TB, places ...*frame.Place) *frame.Frame {
	t.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	jobs, err := store.Open(t.TempDir(), Now)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { jobs.Close() })
	files, err := asset.New()
	if err != nil {
		t.Fatal(err)
	}
	f, err := frame.New(frame.Frame{Store: jobs, Catalog: c, Assets: files, Work: work.NewBench(1), Now: Now, Build: "test"}, places)
	if err != nil {
		t.Fatal(err)
	}
	f.Effort.Placements = 8000 // a long look tests nothing more
	return f
}

// Job keeps a job and returns its ID.
func Job(t testing.TB, f *frame.Frame, text []byte) string {
	t.Helper()
	j, _, err := f.Store.Create(context.Background(), "House", "Saltern Ness", text, "", "x", "new")
	if err != nil {
		t.Fatal(err)
	}
	return j.ID
}

// Page is what somebody sees of a job at a place.
func Page(t testing.TB, f *frame.Frame, id, slug, query string, role frame.Role) (int, string) {
	t.Helper()
	mux := http.NewServeMux()
	if err := f.Routes(mux); err != nil {
		t.Fatal(err)
	}
	return Ask(mux, "/jobs/"+id+"/"+slug+"?"+query, role)
}

// Ask gets an address from a handler.
func Ask(h http.Handler, address string, role frame.Role) (int, string) {
	r := httptest.NewRequest("GET", address, nil)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r.WithContext(frame.As(r.Context(), frame.Person{Role: role})))
	return w.Code, w.Body.String()
}

// Edit sends the form of a page as somebody would who sees the newest revision, and returns
// the answer with the text that stands afterwards.
func Edit(t testing.TB, f *frame.Frame, id string, role frame.Role, pairs ...string) (int, string) {
	t.Helper()
	mux := http.NewServeMux()
	if err := f.Routes(mux); err != nil {
		t.Fatal(err)
	}
	head, err := f.Store.Head(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	form := url.Values{"revision": {strconv.Itoa(head.Number)}, "back": {"/jobs/" + id + "/history"}}
	for i := 0; i < len(pairs); i += 2 {
		form.Add(pairs[i], pairs[i+1])
	}
	r := httptest.NewRequest("POST", "/jobs/"+id+"/edit", strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	mux.ServeHTTP(w, r.WithContext(frame.As(r.Context(), frame.Person{Role: role})))
	if head, err = f.Store.Head(context.Background(), id); err != nil {
		t.Fatal(err)
	}
	return w.Code, string(head.Text)
}

// Wall is the query that picks a wall.
func Wall(id string) string { return url.Values{"wall": {id}}.Encode() }

// Changed is a job with something else in a field.
func Changed(t testing.TB, text []byte, pairs ...string) []byte {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		out, problems := job.Apply(text, []job.Change{{Do: job.Set, Path: pairs[i], Value: pairs[i+1]}})
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		text = out
	}
	return text
}

// Small is the first room of the demonstration, whose papers are soon made.
func Small(t testing.TB) []byte {
	t.Helper()
	before, _, _ := strings.Cut(string(examples.Bellwether), "  - name: Breakfast room\n")
	_, rest, _ := strings.Cut(string(examples.Bellwether), "\nprices:")
	rest, _, _ = strings.Cut(rest, "\nalternatives:")
	return Changed(t, []byte(before+"prices:"+rest), "finishes[3].strips.feature", "", "finishes[3].strips.way", "")
}
