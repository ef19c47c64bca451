package jobs_test

import (
	"bytes"
	"context"
	"errors"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"scumble/examples"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
	"scumble/web/jobs"
	"scumble/web/measure"
)

func served(t *testing.T) (*frame.Frame, *http.ServeMux) {
	t.Helper()
	f := webtest.Frame(t, measure.Place())
	mux := http.NewServeMux()
	if err := errors.Join(f.Routes(mux), jobs.Routes(mux, f)); err != nil {
		t.Fatal(err)
	}
	return f, mux
}

func send(mux http.Handler, address, kind string, body *bytes.Buffer) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", address, body)
	r.Header.Set("Content-Type", kind)
	w := httptest.NewRecorder()
	mux.ServeHTTP(w, r.WithContext(frame.As(r.Context(), frame.Person{Role: frame.Owner})))
	return w
}

func sendForm(mux http.Handler, address string, form url.Values) *httptest.ResponseRecorder {
	return send(mux, address, "application/x-www-form-urlencoded", bytes.NewBufferString(form.Encode()))
}

func sendFile(t *testing.T, mux http.Handler, from, name, content string) *httptest.ResponseRecorder {
	t.Helper()
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	m.WriteField("from", from)
	part, err := m.CreateFormFile("file", name)
	if err != nil {
		t.Fatal(err)
	}
	part.Write([]byte(content))
	m.Close()
	return send(mux, "/jobs", m.FormDataContentType(), &body)
}

func TestNewJobs(t *testing.T) {
	f, mux := served(t)
	ctx := context.Background()
	for name, made := range map[string]*httptest.ResponseRecorder{
		"from nothing":           sendForm(mux, "/jobs", url.Values{"name": {"Cooper's \"Yard\": #1"}, "place": {"Saltern Ness"}, "currency": {"INR"}}),
		"from the demonstration": sendForm(mux, "/jobs", url.Values{"from": {"demonstration"}}),
		"from a file":            sendFile(t, mux, "file", "a.yaml", string(examples.Bellwether)),
		"from a wrong file":      sendFile(t, mux, "file", "a.yaml", strings.Replace(string(examples.Bellwether), "4.83 m", "wide", 1)),
		"from a table":           sendFile(t, mux, "table", "a.csv", "room,wall,length,height,openings\nTea room,Counter,\"13'9\"\"\",2.70 m,\n"),
	} {
		to := made.Header().Get("Location")
		if made.Code != http.StatusSeeOther {
			t.Errorf("%s: %d %s", name, made.Code, made.Body)
			continue
		}
		if code, _ := webtest.Ask(mux, to, frame.Owner); code != 200 {
			t.Errorf("%s: %s answers %d", name, to, code)
		}
		head, err := f.Store.Head(ctx, strings.Split(to, "/")[2])
		if err != nil {
			t.Fatal(err)
		}
		b := f.Board(head.Text)
		switch name {
		case "from nothing":
			if b.Job.Name != "Cooper's \"Yard\": #1" || b.Job.Currency != "INR" || len(b.WrongAt("crew.start")) > 0 {
				t.Errorf("%q %q %v", b.Job.Name, b.Job.Currency, b.Problems)
			}
		case "from a table":
			if len(b.Walls) != 1 || b.Walls[0].ID != "Tea room/Counter" || b.Walls[0].Survey == nil {
				t.Errorf("%+v", b.Walls)
			}
		case "from a wrong file":
			if !strings.Contains(string(head.Text), "wide") || len(b.Problems) == 0 {
				t.Error("the wrong figure is not kept and marked")
			}
		}
	}
	all, err := f.Store.Jobs(ctx, false)
	if err != nil || len(all) != 5 {
		t.Fatal(len(all), err)
	}
	code, body := webtest.Ask(mux, "/", frame.Owner)
	if code != 200 || !strings.Contains(body, "Likely price before tax") {
		t.Error("the list has no price")
	}
	if _, body := webtest.Ask(mux, "/", frame.Applicator); strings.Contains(body, "price") {
		t.Error("an applicator sees a price")
	}
}

func TestWhatCannotBeAJob(t *testing.T) {
	_, mux := served(t)
	for name, made := range map[string]*httptest.ResponseRecorder{
		"no name":       sendForm(mux, "/jobs", url.Values{"name": {" "}}),
		"no file":       sendForm(mux, "/jobs", url.Values{"from": {"file"}}),
		"a picture":     sendFile(t, mux, "file", "a.yaml", "\x89PNG\r\n\x1a\n"),
		"another file":  sendFile(t, mux, "file", "a.yaml", "a: b\n"),
		"a wrong table": sendFile(t, mux, "table", "a.csv", "room,length\nx,wide\n"),
	} {
		if made.Code != http.StatusUnprocessableEntity || !strings.Contains(made.Body.String(), "notice caution") {
			t.Errorf("%s: %d", name, made.Code)
		}
	}
	if made := sendFile(t, mux, "file", "a.yaml", strings.Repeat("# x\n", 3<<20)); made.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("12 MB: %d", made.Code)
	}
}

func TestCopyAndPutAway(t *testing.T) {
	f, mux := served(t)
	id := webtest.Job(t, f, examples.Bellwether)
	made := sendForm(mux, "/jobs/"+id+"/copy", nil)
	head, err := f.Store.Head(context.Background(), strings.Split(made.Header().Get("Location"), "/")[2])
	if err != nil || f.Board(head.Text).Job.Name != "Copy of Bellwether House" {
		t.Error(err)
	}
	sendForm(mux, "/jobs/"+id+"/away", url.Values{"away": {"yes"}})
	if _, body := webtest.Ask(mux, "/", frame.Owner); strings.Contains(body, "/jobs/"+id+"/") {
		t.Error("a job put away is in the list")
	}
	if _, body := webtest.Ask(mux, "/?away=1", frame.Owner); !strings.Contains(body, "/jobs/"+id+"/") {
		t.Error("a job put away is nowhere")
	}
}
