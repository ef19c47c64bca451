package account

import (
	"context"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"scumble/store"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
)

const good = "kettle harbour nine plumb"

// house is a gate with a page behind it that says who asks, and a clock to move.
type house struct {
	*Gate
	url    string
	now    *time.Time
	waited *time.Duration
}

func served(t testing.TB, o Options) *house {
	t.Helper()
	f := webtest.Frame(t, &frame.Place{Slug: "measure", Name: "Measure", Page: `{{define "place"}}{{end}}`})
	now, slowed := webtest.Now(), time.Duration(0)
	f.Now = func() time.Time { return now }
	g, err := New(f, o)
	if err != nil {
		t.Fatal(err)
	}
	g.wait = func(_ context.Context, d time.Duration) { slowed += d }
	mux := http.NewServeMux()
	g.Routes(mux)
	mux.HandleFunc("/who", func(w http.ResponseWriter, r *http.Request) {
		p := frame.Who(r.Context())
		_, _ = io.WriteString(w, string(p.Role)+" "+p.Name)
	})
	server := httptest.NewServer(g.Wrap(mux, func(r *http.Request) bool { return r.URL.Path == signInPath }))
	t.Cleanup(server.Close)
	return &house{g, server.URL, &now, &slowed}
}

func (h *house) account(t testing.TB, name, role string) store.Account {
	t.Helper()
	a, err := Add(context.Background(), h.frame.Store, name, role, good)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// visitor is a browser with cookies of its own that follows no redirects.
func visitor(t testing.TB) *http.Client {
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

func (h *house) get(t testing.TB, c *http.Client, path string) (*http.Response, string) {
	t.Helper()
	r, err := c.Get(h.url + path)
	return read(t, r, err)
}

func (h *house) post(t testing.TB, c *http.Client, path string, fields ...string) (*http.Response, string) {
	t.Helper()
	form := url.Values{}
	for i := 0; i < len(fields); i += 2 {
		form.Set(fields[i], fields[i+1])
	}
	r, err := c.PostForm(h.url+path, form)
	return read(t, r, err)
}

func read(t testing.TB, r *http.Response, err error) (*http.Response, string) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r, string(body)
}

func (h *house) in(t testing.TB, name string) *http.Client {
	t.Helper()
	c := visitor(t)
	if r, body := h.post(t, c, "/signin", "name", name, "password", good); r.StatusCode != http.StatusSeeOther {
		t.Fatalf("signing in: %d %s", r.StatusCode, body)
	}
	return c
}

func (h *house) is(t testing.TB, c *http.Client, want string) {
	t.Helper()
	if r, body := h.get(t, c, "/who"); body != want && (want != "" || r.StatusCode != http.StatusSeeOther) {
		t.Errorf("who: %d %q, want %q", r.StatusCode, body, want)
	}
}

func TestWithoutAccountsTheOwnerIsAlone(t *testing.T) {
	h := served(t, Options{})
	h.is(t, visitor(t), "owner ")
	h.account(t, "Ines", "owner")
	h.is(t, visitor(t), "") // from now on everybody signs in
}

func TestOthersNeverGetInWithoutAnAccount(t *testing.T) {
	h := served(t, Options{MustSignIn: true})
	h.is(t, visitor(t), "")
	a := h.account(t, "Ines", "owner")
	h.is(t, h.in(t, "Ines"), "owner ines")
	if err := h.frame.Store.RemoveAccount(context.Background(), a.ID); err != nil {
		t.Fatal(err)
	}
	h.is(t, visitor(t), "")
}

func TestRolesComeFromTheAccount(t *testing.T) {
	h := served(t, Options{})
	h.account(t, "Ines", "owner")
	h.account(t, "Tam", "applicator")
	h.is(t, h.in(t, "TAM"), "applicator tam")
}

func TestSignInGivesAnotherTokenAndSignOutEndsIt(t *testing.T) {
	h := served(t, Options{})
	h.account(t, "Ines", "owner")
	c := h.in(t, "ines")
	at, _ := url.Parse(h.url)
	first := c.Jar.Cookies(at)[0].Value
	if r, _ := h.post(t, c, "/signin", "name", "ines", "password", good); r.StatusCode != http.StatusSeeOther {
		t.Fatal(r.Status)
	}
	if c.Jar.Cookies(at)[0].Value == first {
		t.Error("signing in again kept the token")
	}
	old := visitor(t)
	old.Jar.SetCookies(at, []*http.Cookie{{Name: "signed", Value: first, Path: "/"}})
	h.is(t, old, "")
	taken := visitor(t)
	taken.Jar.SetCookies(at, c.Jar.Cookies(at))
	h.is(t, taken, "owner ines")
	if r, _ := h.post(t, c, "/signout"); r.StatusCode != http.StatusSeeOther {
		t.Fatal(r.Status)
	}
	h.is(t, c, "")
	h.is(t, taken, "")
}

func TestATokenOfOnesOwnMakingIsNotTakenOver(t *testing.T) {
	h := served(t, Options{})
	h.account(t, "Ines", "owner")
	c := visitor(t)
	at, _ := url.Parse(h.url)
	c.Jar.SetCookies(at, []*http.Cookie{{Name: "signed", Value: "mine", Path: "/"}})
	h.post(t, c, "/signin", "name", "ines", "password", good)
	if got := c.Jar.Cookies(at)[0].Value; got == "mine" || len(got) < 43 {
		t.Errorf("token %q after signing in", got)
	}
}

func TestSessionsEndWhenIdleAndInAll(t *testing.T) {
	h := served(t, Options{})
	h.account(t, "Ines", "owner")
	c := h.in(t, "ines")
	*h.now = h.now.Add(idle - time.Minute)
	h.is(t, c, "owner ines")
	*h.now = h.now.Add(idle + time.Minute)
	h.is(t, c, "")
	c = h.in(t, "ines")
	for range 20 { // 20 times 8 h 24 min are the lifetime
		*h.now = h.now.Add(lifetime / 20)
		h.is(t, c, "owner ines")
	}
	*h.now = h.now.Add(time.Second)
	h.is(t, c, "")
}

func TestCookie(t *testing.T) {
	for _, secure := range []bool{false, true} {
		h := served(t, Options{Secure: secure})
		h.account(t, "Ines", "owner")
		r, _ := h.post(t, visitor(t), "/signin", "name", "ines", "password", good)
		if len(r.Cookies()) != 1 {
			t.Fatal(r.Cookies())
		}
		c := r.Cookies()[0]
		if !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" || c.Domain != "" || c.Secure != secure || strings.HasPrefix(c.Name, "__Host-") != secure {
			t.Errorf("secure %v: %s", secure, c.Raw)
		}
	}
}

func TestWrongNameAndWrongPasswordLookTheSame(t *testing.T) {
	h := served(t, Options{})
	h.account(t, "Ines", "owner")
	r1, one := h.post(t, visitor(t), "/signin", "name", "ines", "password", "wrong wrong wrong")
	r2, two := h.post(t, visitor(t), "/signin", "name", "inez", "password", "wrong wrong wrong")
	if r1.StatusCode != http.StatusUnauthorized || r1.StatusCode != r2.StatusCode || one != strings.ReplaceAll(two, "inez", "ines") {
		t.Errorf("%d %d\n%s\n%s", r1.StatusCode, r2.StatusCode, one, two)
	}
	if c, _, _, err := parsed(h.nobody); err != nil || c != today {
		t.Error("an unknown name is compared at another cost", c, err)
	}
}

func TestTooManyTriesFromOneAddress(t *testing.T) {
	h := served(t, Options{})
	h.account(t, "Ines", "owner")
	last := 0
	for i := range 12 {
		r, _ := h.post(t, visitor(t), "/signin", "name", strings.Repeat("x", i+1), "password", "wrong wrong wrong")
		last = r.StatusCode
		if want := map[bool]int{true: http.StatusUnauthorized, false: http.StatusTooManyRequests}[i < 10]; last != want {
			t.Errorf("try %d: %d, want %d", i+1, last, want)
		}
	}
	*h.now = h.now.Add(7 * time.Second)
	h.in(t, "ines")
}

func TestANameIsSlowedDownAndNeverLockedOut(t *testing.T) {
	h := served(t, Options{BehindProxy: true})
	h.account(t, "Ines", "owner")
	try := func(from, password string) int {
		r, err := http.NewRequest("POST", h.url+"/signin", strings.NewReader(url.Values{"name": {"ines"}, "password": {password}}.Encode()))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("X-Forwarded-For", "203.0.113.200, "+from)
		answer, err := visitor(t).Do(r)
		answer, _ = read(t, answer, err)
		return answer.StatusCode
	}
	for i := range 14 {
		if got := try("198.51.100."+string(rune('0'+i%10))+string(rune('0'+i/10)), "wrong wrong wrong"); got != http.StatusUnauthorized {
			t.Fatal(i, got)
		}
	}
	before := *h.waited
	if before == 0 {
		t.Error("nothing was slowed down")
	}
	if got := try("192.0.2.1", good); got != http.StatusSeeOther {
		t.Error("the right password was refused:", got)
	}
	if d := *h.waited - before; d > longestWait {
		t.Error("waited", d)
	}
}

func TestLimitsHoldBoundedMemory(t *testing.T) {
	l := newLimits(time.Hour, 1)
	now := webtest.Now()
	for i := range 3 * l.most {
		l.allow(time.Duration(i).String(), now)
	}
	if n := len(l.young) + len(l.old); n > 2*l.most {
		t.Error(n, "keys are held")
	}
	if l.allow(time.Duration(3*l.most-1).String(), now) {
		t.Error("a key that was just used is forgotten")
	}
}

func TestSenders(t *testing.T) {
	for _, c := range []struct {
		remote, forwarded string
		proxied           bool
		want              string
	}{
		{"192.0.2.7:1234", "", false, "192.0.2.7"},
		{"192.0.2.7:1234", "198.51.100.1", false, "192.0.2.7"}, // not to be believed without a proxy
		{"127.0.0.1:1234", "203.0.113.9, 198.51.100.1", true, "198.51.100.1"},
		{"[2001:db8:1:2:3:4:5:6]:80", "", false, "2001:db8:1:2::/64"},
		{"[::ffff:192.0.2.7]:80", "", false, "192.0.2.7"},
		{"@", "", false, "unknown"},
	} {
		r := httptest.NewRequest("GET", "/", nil)
		r.RemoteAddr = c.remote
		if c.forwarded != "" {
			r.Header.Set("X-Forwarded-For", c.forwarded)
		}
		if got := sender(r, c.proxied); got != c.want {
			t.Errorf("%s %s: %s, want %s", c.remote, c.forwarded, got, c.want)
		}
	}
}

func TestOnlyAddressesOfOurOwnAreGoneBackTo(t *testing.T) {
	for _, bad := range []string{"//evil.example/", "https://evil.example/", "javascript:alert(1)", `/\evil.example`, `\\evil.example`, "evil", "", "/a\r\nb", "/%0d", "http:/x"} {
		if got := local(bad); got != "/" && !strings.HasPrefix(got, "/%") {
			t.Errorf("%q leads to %q", bad, got)
		}
	}
	if got := local("/jobs/a/measure?wall=h%2Fn"); got != "/jobs/a/measure?wall=h%2Fn" {
		t.Error(got)
	}
}

func TestWhatIsSavedWhileSignedOutIsKeptInThePage(t *testing.T) {
	h := served(t, Options{MustSignIn: true})
	r, body := h.post(t, visitor(t), "/who")
	if r.StatusCode != http.StatusUnauthorized || !strings.Contains(body, "still in the page") {
		t.Errorf("%d %s", r.StatusCode, body)
	}
	r, _ = h.get(t, visitor(t), "/who?a=1")
	if got := r.Header.Get("Location"); got != "/signin?to=%2Fwho%3Fa%3D1" {
		t.Error(got)
	}
}
