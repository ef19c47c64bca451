package web

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"scumble/catalog"
	"scumble/examples"
	"scumble/store"
	"scumble/web/account"
	"scumble/web/asset"
	"scumble/web/frame"
)

func clock() time.Time { return time.Date(2027, 3, 1, 9, 41, 0, 0, time.UTC) }

// whole is the whole program over an empty folder, with the demonstration in it.
func whole(t testing.TB, change func(*Options)) (handler http.Handler, o Options, id string) {
	t.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	jobs, err := store.Open(t.TempDir(), clock)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { jobs.Close() })
	o = Options{Store: jobs, Catalog: c, Now: clock, Build: "test"}
	if change != nil {
		change(&o)
	}
	if handler, err = New(o); err != nil {
		t.Fatal(err)
	}
	j, _, err := jobs.Create(context.Background(), "Bellwether House", "Saltern Ness", examples.Bellwether, "", "The demonstration", "new")
	if err != nil {
		t.Fatal(err)
	}
	return handler, o, j.ID
}

func ask(h http.Handler, method, target string, form url.Values, headers ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, target, strings.NewReader(form.Encode()))
	r.Host = "127.0.0.1:7340"
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for i := 0; i < len(headers); i += 2 {
		if headers[i] == "Host" {
			r.Host = headers[i+1]
		}
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func TestHeadersOfEveryAnswer(t *testing.T) {
	for _, secure := range []bool{false, true} {
		h, _, id := whole(t, func(o *Options) { o.Access.Secure = secure })
		for _, path := range []string{"/", "/jobs/" + id + "/measure", "/nothing", "/healthz", "/signin", "/accounts", "/asset/nothing.css"} {
			head := ask(h, "GET", path, nil).Header()
			for name, want := range map[string]string{"Content-Security-Policy": policy, "X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin",
				"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin"} {
				if head.Get(name) != want {
					t.Errorf("%s: %s: %q", path, name, head.Get(name))
				}
			}
			if got := head.Get("Strict-Transport-Security"); (got == "max-age=31536000; includeSubDomains") != secure {
				t.Errorf("%s: Strict-Transport-Security %q, TLS %v", path, got, secure)
			}
			if head.Get("Access-Control-Allow-Origin") != "" || head.Get("Server") != "" {
				t.Errorf("%s: %v", path, head)
			}
			if got := head.Get("Cache-Control"); !strings.HasPrefix(path, "/asset/") && !strings.Contains(got, "no-store") {
				t.Errorf("%s: Cache-Control %q", path, got)
			}
			if kind := head.Get("Content-Type"); kind != "" && !strings.Contains(kind, "charset=utf-8") {
				t.Errorf("%s: %s", path, kind)
			}
		}
	}
	for _, weak := range []string{"unsafe-inline", "unsafe-eval", "*", "http:", "https:"} {
		if strings.Contains(policy, weak) {
			t.Error("the policy allows", weak)
		}
	}
}

func TestPagesHoldNoScriptOrStyleOfTheirOwn(t *testing.T) {
	h, _, id := whole(t, nil)
	inline := regexp.MustCompile(`<script(?:\s[^>]*)?>[^<]|<style|\sstyle=|\son[a-z]+=|javascript:`)
	for _, path := range []string{"/", "/accounts", "/about", "/jobs/" + id + "/measure", "/jobs/" + id + "/setout", "/jobs/" + id + "/coats", "/jobs/" + id + "/choose"} {
		w := ask(h, "GET", path, nil)
		if got := inline.FindString(w.Body.String()); got != "" || w.Code != http.StatusOK {
			t.Errorf("%s: %d %q", path, w.Code, got)
		}
	}
}

func TestOtherNamesAreRefused(t *testing.T) {
	h, _, _ := whole(t, func(o *Options) { o.Hosts = []string{"Board.example"} })
	for host, want := range map[string]int{"localhost:7340": 200, "127.0.0.1": 200, "[::1]:7340": 200, "192.0.2.4:80": 200, "board.example": 200, "BOARD.example.:443": 200,
		"evil.example": 421, "evil.example:7340": 421, "localhost.evil.example": 421, "127.0.0.1.evil.example": 421, "": 421} {
		r := httptest.NewRequest("GET", "/", nil)
		r.Host = host
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code != want {
			t.Errorf("%q: %d, want %d", host, w.Code, want)
		}
	}
}

func TestOtherSitesCanSendNothing(t *testing.T) {
	h, o, _ := whole(t, nil)
	form := url.Values{"name": {"From elsewhere"}}
	for _, headers := range [][]string{{"Sec-Fetch-Site", "cross-site"}, {"Sec-Fetch-Site", "same-site"}, {"Origin", "https://evil.example"}} {
		if w := ask(h, "POST", "/jobs", form, headers...); w.Code != http.StatusForbidden || strings.Contains(w.Body.String(), "evil") {
			t.Errorf("%v: %d", headers, w.Code)
		}
	}
	jobs, err := o.Store.Jobs(context.Background(), true)
	if err != nil || len(jobs) != 1 {
		t.Error(len(jobs), err)
	}
	if w := ask(h, "POST", "/jobs", form, "Sec-Fetch-Site", "same-origin"); w.Code != http.StatusSeeOther {
		t.Error("a form of our own is refused:", w.Code)
	}
}

// TestNobodyGetsAnywhereWithoutSigningIn asks for every page there is.
func TestNobodyGetsAnywhereWithoutSigningIn(t *testing.T) {
	h, _, id := whole(t, func(o *Options) { o.Access.MustSignIn = true })
	patterns, err := patternsOfSource()
	if err != nil {
		t.Fatal(err)
	}
	if len(patterns) < 20 {
		t.Fatal("only", len(patterns), "patterns were found")
	}
	for _, p := range patterns {
		path := filled(p.path, id)
		w := ask(h, p.method, path, url.Values{})
		open := false
		for _, o := range public {
			open = open || p.path == o || strings.HasSuffix(o, "/") && strings.HasPrefix(p.path, o)
		}
		away := w.Code == http.StatusUnauthorized || w.Code == http.StatusSeeOther && strings.HasPrefix(w.Header().Get("Location"), "/signin?")
		if away == open && p.path != "/signin" { // which answers a wrong password like this
			t.Errorf("%s %s: %d, open to everybody: %v", p.method, path, w.Code, open)
		}
	}
}

func TestApplicatorsSeeNoPricesAndReachNone(t *testing.T) {
	h, o, id := whole(t, nil)
	if _, err := account.Add(context.Background(), o.Store, "Ines", "owner", "kettle harbour nine plumb"); err != nil {
		t.Fatal(err)
	}
	if _, err := account.Add(context.Background(), o.Store, "Tam", "applicator", "kettle harbour nine plumb"); err != nil {
		t.Fatal(err)
	}
	money := regexp.MustCompile(`(EUR|€)[\s\x{2009}\x{202f}\x{a0}]*\d|\d[\s\x{2009}\x{202f}\x{a0}]*(EUR|€)`)
	seen := map[string]bool{}
	for _, name := range []string{"ines", "tam"} {
		in := ask(h, "POST", "/signin", url.Values{"name": {name}, "password": {"kettle harbour nine plumb"}})
		cookie := strings.SplitN(in.Header().Get("Set-Cookie"), ";", 2)[0]
		patterns, err := patternsOfSource()
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range patterns {
			if p.method != "GET" || strings.Contains(p.path, "events") {
				continue
			}
			w := ask(h, "GET", filled(p.path, id), nil, "Cookie", cookie)
			if strings.HasPrefix(w.Header().Get("Content-Type"), "text/") && money.MatchString(w.Body.String()) {
				seen[name] = true
				if name == "tam" {
					t.Errorf("%s: an applicator sees %q", p.path, money.FindString(w.Body.String()))
				}
			}
		}
	}
	if !seen["ines"] {
		t.Error("the owner sees no money either, so this shows nothing")
	}
}

// TestApplicatorsChangeNoPrices: nor do they learn them from the answer to a clash.
func TestApplicatorsChangeNoPrices(t *testing.T) {
	h, o, id := whole(t, nil)
	for _, one := range [][2]string{{"Ines", "owner"}, {"Tam", "applicator"}} {
		if _, err := account.Add(context.Background(), o.Store, one[0], one[1], "kettle harbour nine plumb"); err != nil {
			t.Fatal(err)
		}
	}
	in := ask(h, "POST", "/signin", url.Values{"name": {"tam"}, "password": {"kettle harbour nine plumb"}})
	cookie := strings.SplitN(in.Header().Get("Set-Cookie"), ";", 2)[0]
	for field, want := range map[string]int{"set:terms.rate": 403, "set:crew.people[0].rate": 403, "set:prices[0].price": 403, "set:currency": 403, "set:alternatives[0].price": 403,
		"set:kit.access[0].cost": 403, "set:crew.people[0].name": 303, "set:place": 303} {
		w := ask(h, "POST", "/jobs/"+id+"/edit", url.Values{"revision": {"1"}, field: {"7"}}, "Cookie", cookie)
		if w.Code != want {
			t.Errorf("%s: %d, want %d", field, w.Code, want)
		}
	}
	for _, act := range []string{"remove:prices[0]", "add:alternatives", "move:prices[1]:0"} {
		if w := ask(h, "POST", "/jobs/"+id+"/edit", url.Values{"revision": {"1"}, "act": {act}}, "Cookie", cookie); w.Code != http.StatusForbidden {
			t.Errorf("%s: %d", act, w.Code)
		}
	}
}

func TestLogHoldsNoSecrets(t *testing.T) {
	var lines bytes.Buffer
	h, o, _ := whole(t, func(o *Options) {
		o.Access.MustSignIn = true
		o.Log = slog.New(slog.NewTextHandler(&lines, nil))
	})
	if _, err := account.Add(context.Background(), o.Store, "Ines", "owner", "kettle harbour nine plumb"); err != nil {
		t.Fatal(err)
	}
	in := ask(h, "POST", "/signin?to=/secret-query", url.Values{"name": {"ines"}, "password": {"kettle harbour nine plumb"}})
	cookie := strings.SplitN(in.Header().Get("Set-Cookie"), ";", 2)[0]
	ask(h, "GET", "/jobs/secret-job/measure?wall=secret-wall", nil, "Cookie", cookie)
	ask(h, "GET", "/client/secret-token", nil)
	ask(h, "POST", "/signin", url.Values{"name": {"secret-name"}, "password": {"secret secret secret"}})
	ask(h, "SECRET", "/", nil)
	text := lines.String()
	for _, bad := range []string{"secret", "kettle", "ines", "SECRET", strings.TrimPrefix(cookie, "signed=")} {
		if strings.Contains(text, bad) {
			t.Errorf("the log holds %q:\n%s", bad, text)
		}
	}
	for _, want := range []string{"status=303", "status=401", `pattern="POST /signin"`, "level=WARN"} {
		if !strings.Contains(text, want) {
			t.Errorf("the log lacks %s:\n%s", want, text)
		}
	}
}

func TestWhatBreaksOffBecomesACalmPage(t *testing.T) {
	var lines bytes.Buffer
	_, o, _ := whole(t, nil)
	f := frameOf(t, o)
	broken := http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("secret of the inside") })
	w := ask(watched(headed(broken, false), f, slog.New(slog.NewTextHandler(&lines, nil))), "GET", "/", nil)
	if w.Code != http.StatusInternalServerError || strings.Contains(w.Body.String(), "secret") || !strings.Contains(w.Body.String(), "Nothing that was saved is lost") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if strings.Contains(lines.String(), "secret") || !strings.Contains(lines.String(), "guard_test.go:") {
		t.Error(lines.String())
	}
}

func TestBodiesAreBounded(t *testing.T) {
	_, o, _ := whole(t, nil)
	var read int64
	var err error
	h := hosted(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) { read, err = io.Copy(io.Discard, r.Body) }), frameOf(t, o), nil)
	r := httptest.NewRequest("POST", "/", io.LimitReader(endless{}, largestBody+1))
	r.Host = "localhost"
	h.ServeHTTP(httptest.NewRecorder(), r)
	if err == nil || read > largestBody {
		t.Error(read, err)
	}
}

type endless struct{}

func (endless) Read(b []byte) (int, error) { return len(b), nil }

func TestHealth(t *testing.T) {
	h, o, _ := whole(t, func(o *Options) { o.Access.MustSignIn = true })
	if w := ask(h, "GET", "/healthz", nil); w.Code != http.StatusOK || w.Body.String() != "ready\n" {
		t.Error(w.Code, w.Body)
	}
	o.Store.Close()
	if w := ask(h, "GET", "/healthz", nil); w.Code != http.StatusServiceUnavailable {
		t.Error(w.Code)
	}
}

func frameOf(t testing.TB, o Options) *frame.Frame {
	t.Helper()
	files, err := asset.New()
	if err != nil {
		t.Fatal(err)
	}
	f, err := frame.New(frame.Frame{Store: o.Store, Catalog: o.Catalog, Assets: files, Now: o.Now}, []*frame.Place{{Slug: "measure", Page: `{{define "place"}}{{end}}`}})
	if err != nil {
		t.Fatal(err)
	}
	return f
}
