package client_test

import (
	"context"
	"html"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"scumble/examples"
	"scumble/job"
	"scumble/store"
	"scumble/web/client"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
)

type site struct {
	*testing.T
	f   *frame.Frame
	mux *http.ServeMux
	id  string
}

func served(t *testing.T) *site {
	t.Helper()
	f := webtest.Frame(t, client.Place())
	mux := http.NewServeMux()
	if err := f.Routes(mux); err != nil {
		t.Fatal(err)
	}
	return &site{t, f, mux, webtest.Job(t, f, examples.Bellwether)}
}

func (s *site) send(method, path string, form url.Values, role frame.Role) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	s.mux.ServeHTTP(w, r.WithContext(frame.As(r.Context(), frame.Person{Role: role})))
	return w
}

// link makes a link as the owner does and returns its path.
func (s *site) link() string {
	s.Helper()
	w := s.send("POST", "/jobs/"+s.id+"/client/link", url.Values{"days": {"30"}}, frame.Owner)
	m := regexp.MustCompile(`value="http://example.com(/client/[^"]+)"`).FindStringSubmatch(w.Body.String())
	if m == nil {
		s.Fatalf("no link: %d", w.Code)
	}
	return m[1]
}

func TestAClientSeesOneRevisionAndNothingElse(t *testing.T) {
	s := served(t)
	at := s.link()
	text := webtest.Changed(t, examples.Bellwether, "client", "Somebody quite different", "terms.margin", "40 %")
	if _, err := s.f.Store.Save(context.Background(), store.Draft{Job: s.id, Base: 1, Text: text, Kind: "edit"}); err != nil {
		t.Fatal(err)
	}
	w := s.send("GET", at, nil, "")
	body := strings.NewReplacer("\u2009", " ", "\u00a0", " ", "\u202f", " ").Replace(w.Body.String())
	long, err := s.f.Long(context.Background(), examples.Bellwether)
	if err != nil {
		t.Fatal(err)
	}
	total := strings.NewReplacer("\u2009", " ", "\u00a0", " ", "\u202f", " ").Replace(long.Plan.Quote.Total.Format(2))
	for _, want := range []string{"The Bellwether House partnership", total, "Plaster repair deeper", long.Plan.Programme.Start.Format("Monday 2 January 2006"), "by lamp", "Old paint may hold lead", "30 April 2027"} {
		if w.Code != 200 || !strings.Contains(body, want) {
			t.Errorf("%d, does not say %q", w.Code, want)
		}
	}
	for _, inside := range []string{"/jobs/", "Somebody quite different", "Overhead", "rate"} {
		if strings.Contains(body, inside) {
			t.Errorf("a client sees %q", inside)
		}
	}
	if h := w.Header(); h.Get("Referrer-Policy") != "no-referrer" || !strings.Contains(h.Get("X-Robots-Tag"), "noindex") || h.Get("Cache-Control") != "no-store" {
		t.Errorf("%v", h)
	}
	picture := regexp.MustCompile(`href="(/client/[^"]+/picture/[^"]+)"`).FindStringSubmatch(w.Body.String())
	if picture == nil {
		t.Fatal("no picture")
	}
	address := strings.ReplaceAll(picture[1], "&amp;", "&")
	if got := s.send("GET", address, nil, ""); got.Code != 200 || got.Header().Get("Content-Type") != "image/jpeg" {
		t.Errorf("picture: %d", got.Code)
	}
	if got := s.send("GET", strings.Replace(address, "wall=", "wall=x", 1), nil, ""); got.Code != 404 {
		t.Errorf("another picture: %d", got.Code)
	}
	if _, body := webtest.Ask(s.mux, "/jobs/"+s.id+"/client", frame.Owner); strings.Contains(body, at) || !strings.Contains(body, "opened ") {
		t.Error("the link is shown again, or its opening is not")
	}
}

// A wall that does not fit would be missing from the page and from its price without a word.
func TestNothingLeftOutIsAccepted(t *testing.T) {
	s := served(t)
	at := s.link()
	bad := webtest.Changed(t, examples.Bellwether, "rooms[0].walls[0].length", "many")
	if _, err := s.f.Store.Save(context.Background(), store.Draft{Job: s.id, Base: 1, Text: bad, Kind: "edit"}); err != nil {
		t.Fatal(err)
	}
	w := s.send("POST", "/jobs/"+s.id+"/client/link", url.Values{"days": {"30"}}, frame.Owner)
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "length") {
		t.Errorf("a link to a job that does not fit: %d", w.Code)
	}
	if _, body := webtest.Ask(s.mux, "/jobs/"+s.id+"/client", frame.Owner); strings.Contains(body, "client/link") || !strings.Contains(body, "Before that: ") {
		t.Error("a link is offered all the same")
	}
	if w := s.send("GET", at, nil, ""); !strings.Contains(w.Body.String(), "I accept what this page shows") {
		t.Error("the link to the whole revision no longer works")
	}
	// A link from before links were refused.
	_, token, err := s.f.Store.MakeLink(context.Background(), s.id, 2, webtest.Now().AddDate(0, 0, 9), "")
	if err != nil {
		t.Fatal(err)
	}
	if w := s.send("GET", "/client/"+token, nil, ""); strings.Contains(w.Body.String(), "I accept") || !strings.Contains(w.Body.String(), "cannot be accepted yet") {
		t.Error("a page without a wall can be accepted")
	}
	if w := s.send("POST", "/client/"+token+"/accept", url.Values{"name": {"A. Client"}, "agree": {"yes"}}, ""); w.Code != http.StatusConflict {
		t.Errorf("accepted all the same: %d", w.Code)
	}
}

func TestOptionsAreSeen(t *testing.T) {
	s := served(t)
	file, _ := job.Read("", examples.Bellwether)
	j := file.Job
	text, problems := job.Apply(examples.Bellwether, []job.Change{{Do: job.Set, Path: "rooms[0].walls[0].options", Value: []string{j.Rooms[0].Walls[0].Finish, j.Finishes[1].ID}}})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if _, err := s.f.Store.Save(context.Background(), store.Draft{Job: s.id, Base: 1, Text: text, Kind: "edit"}); err != nil {
		t.Fatal(err)
	}
	body := s.send("GET", s.link(), nil, "").Body.String()
	pictures := regexp.MustCompile(`src="(/client/[^"]+option=([^"&]+))"`).FindAllStringSubmatch(body, -1)
	if len(pictures) != 2 || !strings.Contains(body, ", shown above") {
		t.Fatalf("pictures of options: %q", pictures)
	}
	var seen []string
	for _, p := range pictures {
		address := html.UnescapeString(p[1])
		w := s.send("GET", address, nil, "")
		if w.Code != 200 || w.Header().Get("Content-Type") != "image/jpeg" {
			t.Errorf("%s: %d", address, w.Code)
		}
		seen = append(seen, w.Body.String())
		if w := s.send("GET", strings.Replace(address, "option="+p[2], "option="+j.Finishes[2].ID, 1), nil, ""); w.Code != 404 {
			t.Errorf("a finish nobody offered: %d", w.Code)
		}
	}
	if seen[0] == seen[1] {
		t.Error("both options look the same")
	}
}

func TestLinksEnd(t *testing.T) {
	s := served(t)
	at := s.link()
	links, _ := s.f.Store.Links(context.Background(), s.id)
	s.send("POST", "/jobs/"+s.id+"/client/revoke", url.Values{"link": {"1"}}, frame.Owner)
	if w := s.send("GET", at, nil, ""); w.Code != http.StatusGone || strings.Contains(w.Body.String(), "22") && strings.Contains(w.Body.String(), "EUR") || len(links) != 1 {
		t.Errorf("taken back: %d", w.Code)
	}
	if w := s.send("GET", at[:len(at)-2]+"xx", nil, ""); w.Code != http.StatusNotFound {
		t.Errorf("another token: %d", w.Code)
	}
	for _, days := range []string{"0", "-1", "x", "400", ""} {
		if w := s.send("POST", "/jobs/"+s.id+"/client/link", url.Values{"days": {days}}, frame.Owner); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%q days: %d", days, w.Code)
		}
	}
	for _, path := range []string{"link", "revoke", "answer"} {
		if w := s.send("POST", "/jobs/"+s.id+"/client/"+path, url.Values{"days": {"3"}, "link": {"1"}}, frame.Applicator); w.Code != http.StatusForbidden {
			t.Errorf("an applicator may %s: %d", path, w.Code)
		}
	}
	slowed := false
	for range 80 {
		slowed = slowed || s.send("GET", "/client/1.guess", nil, "").Code == http.StatusTooManyRequests
	}
	if !slowed {
		t.Error("guessing is not slowed down")
	}
}

func TestAskAnswerAccept(t *testing.T) {
	s := served(t)
	at := s.link()
	s.send("POST", at+"/ask", url.Values{"name": {"A. Client"}, "text": {"<script>Is it blue?"}}, "")
	_, body := webtest.Ask(s.mux, "/jobs/"+s.id+"/client", frame.Owner)
	if !strings.Contains(body, "&lt;script&gt;Is it blue?") {
		t.Error("the question is not with the owner")
	}
	s.send("POST", "/jobs/"+s.id+"/client/answer", url.Values{"link": {"1"}, "revision": {"1"}, "text": {"A little."}}, frame.Owner)
	for name, form := range map[string]url.Values{"no name": {"agree": {"yes"}}, "no tick": {"name": {"A. Client"}}, "too long": {"name": {strings.Repeat("x", 300)}, "agree": {"yes"}}} {
		if w := s.send("POST", at+"/accept", form, ""); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d", name, w.Code)
		}
	}
	s.send("POST", at+"/accept", url.Values{"name": {"A. Client"}, "agree": {"yes"}}, "")
	s.send("POST", at+"/accept", url.Values{"name": {"Another"}, "agree": {"yes"}}, "")
	w := s.send("GET", at, nil, "")
	if b := w.Body.String(); !strings.Contains(b, "Accepted by <b>A. Client</b> on 1 March 2027, 09:41: revision 1") || !strings.Contains(b, "A little.") || strings.Contains(b, "Another") {
		t.Error("the acceptance is not as it was given")
	}
	tooMuch := false
	for range 20 {
		tooMuch = tooMuch || s.send("POST", at+"/ask", url.Values{"name": {"x"}, "text": {"y"}}, "").Code == http.StatusTooManyRequests
	}
	if !tooMuch {
		t.Error("a storm of questions is not slowed down")
	}
}
