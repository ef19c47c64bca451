package papers_test

import (
	"archive/zip"
	"bytes"
	"context"
	"image/png"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"scumble/examples"
	"scumble/sheets"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
	"scumble/web/papers"
)

func served(t *testing.T, text []byte) (*http.ServeMux, *frame.Frame, string) {
	t.Helper()
	f := webtest.Frame(t, papers.Place())
	mux := http.NewServeMux()
	if err := f.Routes(mux); err != nil {
		t.Fatal(err)
	}
	return mux, f, webtest.Job(t, f, text)
}

func TestPapers(t *testing.T) {
	mux, _, id := served(t, examples.Bellwether)
	code, body := webtest.Ask(mux, "/jobs/"+id+"/papers?name=safety.pdf", frame.Owner)
	for _, want := range []string{"quote.pdf", "Page 1 of ", "Take safety.pdf", "walls/breakfast-room-north.svg"} {
		if code != 200 || !strings.Contains(body, want) {
			t.Errorf("%d, does not say %q", code, want)
		}
	}
	_, body = webtest.Ask(mux, "/jobs/"+id+"/papers", frame.Applicator)
	if strings.Contains(body, "quote.pdf") || strings.Contains(body, "plan.json") || !strings.Contains(body, "method.pdf") {
		t.Error("an applicator is offered papers with prices")
	}
	for _, name := range []string{"quote.pdf", "buying.csv", "plan.json"} {
		for _, what := range []string{"file", "page"} {
			if code, _ := webtest.Ask(mux, "/jobs/"+id+"/papers/"+what+"?page=0&name="+name, frame.Applicator); code != http.StatusForbidden {
				t.Errorf("an applicator takes %s %s: %d", what, name, code)
			}
		}
	}
}

// TestSamePaperAsTheCommandLine: what is taken here is what the pack holds.
func TestSamePaperAsTheCommandLine(t *testing.T) {
	mux, f, id := served(t, examples.Bellwether)
	head, _ := f.Store.Head(context.Background(), id)
	long, err := f.Long(context.Background(), head.Text)
	if err != nil {
		t.Fatal(err)
	}
	for name, kind := range map[string]string{"safety.pdf": "application/pdf", "programme.ics": "text/calendar; charset=utf-8", "walls/breakfast-room-north.dxf": "application/octet-stream"} {
		want, err := sheets.One(context.Background(), long.Whole(), name, sheets.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for range 2 { // made, then from the cache
			r := httptest.NewRequest("GET", "/jobs/"+id+"/papers/file?"+url.Values{"name": {name}}.Encode(), nil)
			w := httptest.NewRecorder()
			mux.ServeHTTP(w, r.WithContext(frame.As(r.Context(), frame.Person{Role: frame.Owner})))
			if w.Code != 200 || !bytes.Equal(w.Body.Bytes(), want.Content) || w.Header().Get("Content-Type") != kind || !strings.HasPrefix(w.Header().Get("Content-Disposition"), "attachment; filename=house-") {
				t.Errorf("%s: %d %v", name, w.Code, w.Header())
			}
		}
	}
	code, body := webtest.Ask(mux, "/jobs/"+id+"/papers/page?name=safety.pdf&page=0", frame.Owner)
	if picture, err := png.Decode(strings.NewReader(body)); code != 200 || err != nil || picture.Bounds().Dx() != 840 {
		t.Errorf("page: %d %v", code, err)
	}
	for _, wrong := range []string{"file?name=nothing.pdf", "file?name=../../etc/passwd", "page?name=safety.pdf&page=99", "page?name=safety.pdf&page=-1", "page?name=buying.csv&page=0", "file", "page?name=safety.pdf&page=0&revision=7"} {
		if code, _ := webtest.Ask(mux, "/jobs/"+id+"/papers/"+wrong, frame.Owner); code < 400 || code >= 500 {
			t.Errorf("%s: %d", wrong, code)
		}
	}
}

func TestNoPapersOfHalfAPlan(t *testing.T) {
	mux, _, id := served(t, webtest.Changed(t, examples.Bellwether, "rooms[0].walls[0].length", "wide"))
	if code, body := webtest.Ask(mux, "/jobs/"+id+"/papers", frame.Owner); code != 200 || !strings.Contains(body, "Before that: Hall and stair, Left: length") {
		t.Errorf("%d, does not say what to mend", code)
	}
	if code, _ := webtest.Ask(mux, "/jobs/"+id+"/papers/file?name=quote.pdf", frame.Owner); code != http.StatusUnprocessableEntity {
		t.Errorf("a paper of half a plan: %d", code)
	}
}

// TestPack makes the whole pack, follows it, and takes it; somebody else cannot.
func TestPack(t *testing.T) {
	mux, _, id := served(t, webtest.Small(t))
	ask := func(method, path, who string, role frame.Role) *httptest.ResponseRecorder {
		r := httptest.NewRequest(method, path, nil)
		w := httptest.NewRecorder()
		mux.ServeHTTP(w, r.WithContext(frame.As(r.Context(), frame.Person{Name: who, Role: role})))
		return w
	}
	begun := ask("POST", "/jobs/"+id+"/papers/pack", "mara", frame.Applicator)
	at := begun.Header().Get("Location")
	if begun.Code != http.StatusSeeOther {
		t.Fatal(begun.Code, begun.Body)
	}
	if w := ask("GET", at, "idris", frame.Owner); w.Code != http.StatusNotFound {
		t.Errorf("somebody else sees it: %d", w.Code)
	}
	for end := time.Now().Add(60 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		w := ask("GET", at, "mara", frame.Applicator)
		if strings.Contains(w.Body.String(), "They are ready") {
			break
		}
		if w.Header().Get("Refresh") == "" || time.Now().After(end) {
			t.Fatalf("%d %v", w.Code, w.Header())
		}
	}
	file := ask("GET", at+"/file", "mara", frame.Applicator).Body.Bytes()
	z, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	for _, part := range z.File {
		names[part.Name] = true
	}
	if !names["method.pdf"] || !names["programme.ics"] || names["quote.pdf"] || names["plan.json"] {
		t.Errorf("an applicator's pack holds %v", names)
	}
}

// TestPricedPackNeedsSightOfPrices: who is made an applicator no longer finds the papers
// begun as owner.
func TestPricedPackNeedsSightOfPrices(t *testing.T) {
	mux, f, id := served(t, webtest.Small(t))
	ask := func(method, path string, role frame.Role) *httptest.ResponseRecorder {
		r := httptest.NewRequest(method, path, nil)
		w := httptest.NewRecorder()
		mux.ServeHTTP(w, r.WithContext(frame.As(r.Context(), frame.Person{Name: "mara", Role: role})))
		return w
	}
	at := ask("POST", "/jobs/"+id+"/papers/pack", frame.Owner).Header().Get("Location")
	task, ok := f.Work.Task(at[strings.LastIndex(at, "/")+1:], frame.Person{Name: "mara", Role: frame.Owner}.Bench())
	if !ok {
		t.Fatal("no work was begun")
	}
	for changed := task.Changed(); !task.State().State.Over(); changed = task.Changed() {
		<-changed
	}
	for _, path := range []string{"", "/file", "/stream"} {
		if w := ask("GET", at+path, frame.Applicator); w.Code != http.StatusNotFound {
			t.Errorf("%q: %d", path, w.Code)
		}
	}
	if w := ask("GET", at+"/file", frame.Owner); w.Code != http.StatusOK || w.Body.Len() == 0 {
		t.Errorf("an owner gets %d", w.Code)
	}
}
