package history_test

import (
	"bytes"
	"context"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"scumble/examples"
	"scumble/store"
	"scumble/web/frame"
	"scumble/web/history"
	"scumble/web/internal/webtest"
)

func served(t *testing.T) (*frame.Frame, *http.ServeMux, string) {
	t.Helper()
	f := webtest.Frame(t, history.Place())
	mux := http.NewServeMux()
	if err := f.Routes(mux); err != nil {
		t.Fatal(err)
	}
	id := webtest.Job(t, f, examples.Bellwether)
	text := examples.Bellwether
	for i, pair := range [][2]string{{"rooms[1].walls[0].length", "4.90 m"}, {"terms.margin", "25 %"}, {"rooms[1].walls[0].length", "wide"}} {
		text = webtest.Changed(t, text, pair[0], pair[1])
		if _, err := f.Store.Save(context.Background(), store.Draft{Job: id, Base: i + 1, Text: text, By: "Mara", What: pair[0], Kind: "edit"}); err != nil {
			t.Fatal(err)
		}
	}
	return f, mux, id
}

func send(mux http.Handler, address, kind, body string, role frame.Role) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", address, strings.NewReader(body))
	r.Header.Set("Content-Type", kind)
	w := httptest.NewRecorder()
	mux.ServeHTTP(w, r.WithContext(frame.As(r.Context(), frame.Person{Name: "Idris", Role: role})))
	return w
}

const form = "application/x-www-form-urlencoded"

func TestHistory(t *testing.T) {
	f, mux, id := served(t)
	code, body := webtest.Ask(mux, "/jobs/"+id+"/history", frame.Owner)
	for _, want := range []string{"Rooms[1].walls[0].length", "Bring back", "Line ", "Mara", "in force"} {
		if code != 200 || !strings.Contains(body, want) {
			t.Errorf("%d, does not say %q", code, want)
		}
	}
	_, body = webtest.Ask(mux, "/jobs/"+id+"/history?from=1&to=3", frame.Owner)
	net := f.Board(examples.Bellwether).Plan.Quote.Net.Format(2)
	for _, want := range []string{"Revision 1 against 3", net, "Painted area", "Price before tax", "margin: 25 %", `aria-label="Walls in revision 1"`} {
		if !strings.Contains(body, want) {
			t.Errorf("comparing does not say %q", want)
		}
	}
	_, body = webtest.Ask(mux, "/jobs/"+id+"/history?from=1&to=3", frame.Applicator)
	for _, money := range []string{"Price before tax", "rate: 38", "set:terms", `name="text"`, net} {
		if strings.Contains(body, money) {
			t.Errorf("an applicator sees %q", money)
		}
	}
	for _, wrong := range []string{"from=9&to=1", "from=-1&to=x", "before=abc", "from=1&to=1"} {
		if code, _ := webtest.Ask(mux, "/jobs/"+id+"/history?"+wrong, frame.Owner); code >= 500 {
			t.Errorf("%s: %d", wrong, code)
		}
	}
}

func TestRestoreNameAndDownload(t *testing.T) {
	f, mux, id := served(t)
	send(mux, "/jobs/"+id+"/history/restore", form, "number=1", frame.Owner)
	head, err := f.Store.Head(context.Background(), id)
	if err != nil || !bytes.Equal(head.Text, examples.Bellwether) || head.By != "Idris" {
		t.Error("revision 1 is not back", err)
	}
	send(mux, "/jobs/"+id+"/history/name", form, url.Values{"number": {"2"}, "name": {"sent <b>"}}.Encode(), frame.Owner)
	if _, body := webtest.Ask(mux, "/jobs/"+id+"/history", frame.Owner); !strings.Contains(body, "sent &lt;b&gt;") {
		t.Error("the name is not shown, or unescaped")
	}
	if code, body := webtest.Ask(mux, "/jobs/"+id+"/history/1.yaml", frame.Owner); code != 200 || body != string(examples.Bellwether) {
		t.Errorf("download: %d", code)
	}
	if code, _ := webtest.Ask(mux, "/jobs/"+id+"/history/1.yaml", frame.Applicator); code != http.StatusForbidden {
		t.Errorf("an applicator may take the text: %d", code)
	}
	for _, wrong := range []string{"number=99", "number=x", ""} {
		if w := send(mux, "/jobs/"+id+"/history/restore", form, wrong, frame.Owner); w.Code < 400 || w.Code >= 500 {
			t.Errorf("%q: %d", wrong, w.Code)
		}
	}
}

// TestAnApplicatorUndoesNoPrices: the buttons of every page refuse a step over prices in
// plain words, and change nothing.
func TestAnApplicatorUndoesNoPrices(t *testing.T) {
	f := webtest.Frame(t, history.Place())
	mux := http.NewServeMux()
	if err := f.Routes(mux); err != nil {
		t.Fatal(err)
	}
	id := webtest.Job(t, f, examples.Bellwether)
	text := func() string {
		head, err := f.Store.Head(context.Background(), id)
		if err != nil {
			t.Fatal(err)
		}
		return string(head.Text)
	}
	webtest.Edit(t, f, id, frame.Owner, "set:terms.margin", "31 %")
	priced := text()
	if w := send(mux, "/jobs/"+id+"/undo", form, "", frame.Applicator); w.Code != http.StatusForbidden || !strings.Contains(w.Body.String(), "would change prices") || text() != priced {
		t.Errorf("undone by an applicator: %d", w.Code)
	}
	if w := send(mux, "/jobs/"+id+"/undo", form, "", frame.Owner); w.Code != http.StatusSeeOther || text() == priced {
		t.Errorf("not undone by the owner: %d", w.Code)
	}
	if w := send(mux, "/jobs/"+id+"/redo", form, "", frame.Applicator); w.Code != http.StatusForbidden || text() == priced {
		t.Errorf("done again by an applicator: %d", w.Code)
	}
	webtest.Edit(t, f, id, frame.Applicator, "set:rooms[1].walls[0].length", "4.95 m")
	measured := text()
	if w := send(mux, "/jobs/"+id+"/undo", form, "", frame.Applicator); w.Code != http.StatusSeeOther || text() == measured {
		t.Errorf("a length is not undone by an applicator: %d", w.Code)
	}
	if w := send(mux, "/jobs/"+id+"/redo", form, "", frame.Applicator); w.Code != http.StatusSeeOther || text() != measured {
		t.Errorf("a length is not done again by an applicator: %d", w.Code)
	}
}

func TestTheWholeTextCanBeWrong(t *testing.T) {
	f, mux, id := served(t)
	save := func(revision, text string, role frame.Role) *httptest.ResponseRecorder {
		var b bytes.Buffer
		m := multipart.NewWriter(&b)
		m.WriteField("revision", revision)
		m.WriteField("text", text)
		m.Close()
		return send(mux, "/jobs/"+id+"/history/text", m.FormDataContentType(), b.String(), role)
	}
	if w := save("4", "scumble: 1\r\nname: [broken\r\n", frame.Owner); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	head, _ := f.Store.Head(context.Background(), id)
	if string(head.Text) != "scumble: 1\nname: [broken\n" || len(f.Board(head.Text).Problems) == 0 {
		t.Errorf("%q", head.Text)
	}
	if code, body := webtest.Ask(mux, "/jobs/"+id+"/history", frame.Owner); code != 200 || !strings.Contains(body, "Line 2") {
		t.Errorf("%d, the problem is not at its line", code)
	}
	if w := save("2", "scumble: 1\nname: late\n", frame.Owner); !strings.Contains(w.Header().Get("Location"), "from=6&to=5") {
		t.Errorf("somebody was overwritten: %s", w.Header().Get("Location"))
	}
	if w := save("5", "x", frame.Applicator); w.Code != http.StatusForbidden {
		t.Errorf("an applicator: %d", w.Code)
	}
	if w := save("5", "  ", frame.Owner); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("nothing: %d", w.Code)
	}
}
