package account

import (
	_ "embed"
	"errors"
	"net/http"
	"strings"
	"unicode/utf8"

	"scumble/store"
	"scumble/web/frame"
)

//go:embed account.html
var page string

const (
	signInPath = "/signin"
	listPath   = "/accounts"
)

// largestForm is the size of a form in bytes up to which it is read.
const largestForm = 16 << 10

// longestName of an account in characters.
const longestName = 60

// Routes adds signing in and out and the page of the accounts.
func (g *Gate) Routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+signInPath, g.showSignIn)
	mux.HandleFunc("POST "+signInPath, g.signIn)
	mux.HandleFunc("POST /signout", g.signOut)
	mux.HandleFunc("GET "+listPath, func(w http.ResponseWriter, r *http.Request) { g.list(w, r, http.StatusOK, nil) })
	mux.HandleFunc("POST "+listPath, g.add)
	mux.HandleFunc("POST "+listPath+"/{account}/{deed}", g.change)
}

// view is what a page of this place is given.
type view struct {
	Title, Theme, To, Name string
	Person                 frame.Person
	Notices                []frame.Notice
	// of the list
	Alone    bool // nobody signs in yet
	Owner    bool
	Accounts []line
	Shortest int
	Longest  int
}

type line struct {
	ID                  int64
	Name, Role, Created string
	Here                bool // who looks
}

func (g *Gate) showSignIn(w http.ResponseWriter, r *http.Request) {
	if _, ok, err := g.person(r.Context()); err != nil || ok {
		if err != nil {
			g.frame.Fail(w, r, err)
			return
		}
		http.Redirect(w, r, local(r.URL.Query().Get("to")), http.StatusSeeOther)
		return
	}
	g.askIn(w, r, http.StatusOK, view{To: local(r.URL.Query().Get("to"))})
}

func (g *Gate) askIn(w http.ResponseWriter, r *http.Request, status int, v view) {
	v.Title, v.Theme = "Sign in", frame.Theme(r)
	g.frame.Write(w, g.page, "signin", status, v)
}

func (g *Gate) signIn(w http.ResponseWriter, r *http.Request) {
	if !g.read(w, r) {
		return
	}
	v := view{To: local(r.PostForm.Get("to")), Name: strings.TrimSpace(r.PostForm.Get("name"))}
	a, err := g.check(r, v.Name, r.PostForm.Get("password"))
	var refused *frame.Refused
	switch {
	case errors.As(err, &refused):
		v.Notices = []frame.Notice{{Kind: "caution", What: frame.Sentence(refused.What), Do: frame.Sentence(refused.Do)}}
		if refused.Status == http.StatusTooManyRequests {
			w.Header().Set("Retry-After", "60")
		}
		g.askIn(w, r, refused.Status, v)
		return
	case err == nil:
		err = g.begin(r.Context(), a)
	}
	if err != nil {
		g.frame.Fail(w, r, err)
		return
	}
	http.Redirect(w, r, v.To, http.StatusSeeOther)
}

var (
	errNoMatch = &frame.Refused{Status: http.StatusUnauthorized, What: "the name and the password do not belong together", Do: "type both again"}
	errTooMany = &frame.Refused{Status: http.StatusTooManyRequests, What: "there were too many tries from this address", Do: "wait a minute and try again"}
)

// check finds the account of a name and a password. Whether it is the name or the
// password that is wrong shows neither in the answer nor in the work done.
func (g *Gate) check(r *http.Request, name, password string) (store.Account, error) {
	ctx := r.Context()
	if !g.address.allow(sender(r, g.options.BehindProxy), g.frame.Now()) {
		return store.Account{}, errTooMany
	}
	if utf8.RuneCountInString(name) > longestName || utf8.RuneCountInString(password) > longest {
		return store.Account{}, errNoMatch
	}
	if d := g.name.delay(strings.ToLower(name), g.frame.Now()); d > 0 {
		g.wait(ctx, d)
	}
	select {
	case g.turns <- struct{}{}:
		defer func() { <-g.turns }()
	case <-ctx.Done():
		return store.Account{}, ctx.Err()
	}
	a, err := g.frame.Store.Account(ctx, name)
	hash := a.Hash
	if errors.Is(err, store.ErrNotFound) {
		hash = g.nobody
	} else if err != nil {
		return a, err
	}
	ok, stale := matches(hash, password)
	if !ok || err != nil {
		return store.Account{}, errNoMatch
	}
	if stale {
		if hash, err := Hash(password); err == nil {
			_ = g.frame.Store.Rehash(ctx, a.ID, hash) // the old hash goes on working
		}
	}
	return a, nil
}

func (g *Gate) signOut(w http.ResponseWriter, r *http.Request) {
	if err := g.sessions.Destroy(r.Context()); err != nil {
		g.frame.Fail(w, r, err)
		return
	}
	w.Header().Set("Clear-Site-Data", `"cache"`)
	http.Redirect(w, r, signInPath, http.StatusSeeOther)
}

// read reads a form; false when it was refused.
func (g *Gate) read(w http.ResponseWriter, r *http.Request) bool {
	r.Body = http.MaxBytesReader(w, r.Body, largestForm)
	if err := r.ParseForm(); err != nil {
		g.frame.Fail(w, r, &frame.Refused{Status: http.StatusBadRequest, What: "the form cannot be read", Do: "send it again"})
		return false
	}
	return true
}
