// Package account is signing in: passwords, sessions, who may see what, and the page
// where the owner looks after accounts.
package account

import (
	"context"
	"errors"
	"html/template"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/alexedwards/scs/v2"

	"scumble/store"
	"scumble/web/frame"
)

// How long a session lasts: since its last use, and in all.
const (
	idle     = 12 * time.Hour
	lifetime = 7 * 24 * time.Hour
)

// touched is how often a session in use is written down again.
const touched = 10 * time.Minute

// Options say how the pages are served.
type Options struct {
	// Secure is true where browsers come over TLS.
	Secure bool
	// BehindProxy is true where a proxy says who asks.
	BehindProxy bool
	// MustSignIn is true where others can reach the pages: then somebody without an
	// account gets in nowhere, even when there are no accounts at all.
	MustSignIn bool
}

// Gate lets people in.
type Gate struct {
	frame    *frame.Frame
	options  Options
	sessions *scs.SessionManager
	address  *limits
	name     *limits
	// turns bounds how many passwords are hashed at once, and with that the memory.
	turns chan struct{}
	// nobody is the hash an unknown name is compared with, so that it takes as long.
	nobody string
	wait   func(context.Context, time.Duration)
	page   *template.Template
}

// hashesAtOnce take 38 MiB together.
const hashesAtOnce = 2

// clocked keeps sessions by the clock of the store: scs goes by a clock of its own,
// which may tell another zone.
type clocked struct {
	*store.Sessions
	now func() time.Time
}

func (c clocked) CommitCtx(ctx context.Context, token string, data []byte, _ time.Time) error {
	return c.Sessions.CommitCtx(ctx, token, data, c.now().Add(idle))
}

func (c clocked) Commit(token string, data []byte, _ time.Time) error {
	return c.CommitCtx(context.Background(), token, data, time.Time{})
}

// What a session remembers: whose it is, the epoch of the account, and when it began
// and was last seen, in seconds of the clock of the store.
const (
	whoseKey = "account"
	epochKey = "epoch"
	sinceKey = "since"
	seenKey  = "seen"
)

// New makes a gate. Its pages are added by Routes.
func New(f *frame.Frame, o Options) (*Gate, error) {
	nobody, err := Hash("nobody has this password")
	if err != nil {
		return nil, err
	}
	g := &Gate{frame: f, options: o, sessions: scs.New(), address: newLimits(6*time.Second, 10), name: newLimits(2*time.Second, 10),
		turns: make(chan struct{}, hashesAtOnce), nobody: nobody, wait: waited}
	s := g.sessions
	s.Store = clocked{f.Store.Sessions(), f.Now}
	s.Lifetime = lifetime
	s.Cookie.Name, s.Cookie.Secure = "signed", o.Secure
	if o.Secure {
		s.Cookie.Name = "__Host-signed"
	}
	s.Cookie.HttpOnly, s.Cookie.SameSite, s.Cookie.Path = true, http.SameSiteLaxMode, "/"
	s.ErrorFunc = f.Fail
	g.page, err = f.Template(page)
	return g, err
}

func waited(ctx context.Context, d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
	case <-ctx.Done():
	}
}

// Wrap lets those through who have signed in and notes who they are. What is public is
// for everybody, and for nobody in particular.
func (g *Gate) Wrap(next http.Handler, public func(*http.Request) bool) http.Handler {
	inside := g.sessions.LoadAndSave(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		p, ok, err := g.person(r.Context())
		switch {
		case err != nil:
			g.frame.Fail(w, r, err)
		case ok || public(r):
			next.ServeHTTP(w, r.WithContext(frame.As(r.Context(), p)))
		default:
			g.turnAway(w, r)
		}
	}))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if public(r) && !strings.HasPrefix(r.URL.Path, signInPath) {
			next.ServeHTTP(w, r)
			return
		}
		inside.ServeHTTP(w, r)
	})
}

// person is who asks. Without accounts, on a computer of one's own, that is its owner.
func (g *Gate) person(ctx context.Context) (frame.Person, bool, error) {
	a, ok, err := g.account(ctx)
	if err != nil {
		return frame.Person{}, false, err
	}
	if ok {
		return frame.Person{Name: a.Name, Role: frame.Role(a.Role)}, true, nil
	}
	alone, err := g.alone(ctx)
	if err != nil || !alone {
		return frame.Person{}, false, err
	}
	return frame.Person{Role: frame.Owner}, true, nil
}

// alone reports that nobody has to sign in.
func (g *Gate) alone(ctx context.Context) (bool, error) {
	if g.options.MustSignIn {
		return false, nil
	}
	all, err := g.frame.Store.Accounts(ctx)
	return len(all) == 0, err
}

// account is the account of a session that still holds.
func (g *Gate) account(ctx context.Context) (store.Account, bool, error) {
	id := g.sessions.GetInt64(ctx, whoseKey)
	if id == 0 {
		return store.Account{}, false, nil
	}
	now, seen := g.frame.Now().Unix(), g.sessions.GetInt64(ctx, seenKey)
	if now-g.sessions.GetInt64(ctx, sinceKey) > int64(lifetime/time.Second) || now-seen > int64(idle/time.Second) {
		return store.Account{}, false, g.sessions.Destroy(ctx)
	}
	a, err := g.frame.Store.AccountByID(ctx, id)
	if errors.Is(err, store.ErrNotFound) || err == nil && a.Epoch != g.sessions.GetInt(ctx, epochKey) {
		return store.Account{}, false, g.sessions.Destroy(ctx)
	}
	if err != nil {
		return store.Account{}, false, err
	}
	if now-seen > int64(touched/time.Second) {
		g.sessions.Put(ctx, seenKey, now)
	}
	return a, true, nil
}

// begin opens a session under a new token.
func (g *Gate) begin(ctx context.Context, a store.Account) error {
	if err := g.sessions.RenewToken(ctx); err != nil {
		return err
	}
	now := g.frame.Now().Unix()
	g.sessions.Put(ctx, whoseKey, a.ID)
	g.sessions.Put(ctx, epochKey, a.Epoch)
	g.sessions.Put(ctx, sinceKey, now)
	g.sessions.Put(ctx, seenKey, now)
	return nil
}

// turnAway sends somebody to sign in. What was being saved is not thrown away: the page
// that holds it stays.
func (g *Gate) turnAway(w http.ResponseWriter, r *http.Request) {
	switch {
	case r.Method != http.MethodGet && r.Method != http.MethodHead || strings.HasPrefix(r.URL.Path, "/api/"):
		g.frame.Fail(w, r, &frame.Refused{Status: http.StatusUnauthorized, What: "you are signed out",
			Do: "what you typed is still in the page before this one: sign in in another window, then go back and save again"})
	case r.Header.Get("HX-Request") != "":
		w.Header().Set("HX-Redirect", signInPath)
		w.WriteHeader(http.StatusUnauthorized)
	default:
		http.Redirect(w, r, signInPath+"?to="+url.QueryEscape(local(r.URL.RequestURI())), http.StatusSeeOther)
	}
}

// local is an address on these pages, "/" for any other.
func local(address string) string {
	u, err := url.Parse(address)
	if err != nil || u.Scheme != "" || u.Host != "" || u.User != nil || !strings.HasPrefix(u.Path, "/") || strings.HasPrefix(u.Path, "//") || strings.ContainsAny(address, "\\\r\n") {
		return "/"
	}
	return u.RequestURI()
}
