// Package client is what a client sees: one revision of a job behind a link that cannot be
// guessed, runs out and can be taken back; questions, and acceptance with name, time and
// the exact revision. For the owner it is the place where links are made.
package client

import (
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"scumble/store"
	"scumble/web/frame"
)

//go:embed place.html
var placePage string

//go:embed client.html
var clientPage string

type client struct {
	*frame.Frame
	place *frame.Place
	page  *template.Template

	mu    sync.Mutex
	posts map[int64]*rate.Limiter // by link
	wrong *rate.Limiter           // addresses that open nothing, by all
}

// Place is the page of the owner.
func Place() *frame.Place {
	c := &client{posts: map[int64]*rate.Limiter{}, wrong: rate.NewLimiter(rate.Every(200*time.Millisecond), 40)}
	c.place = &frame.Place{Slug: "client", Name: "Client", Page: placePage, Priced: true, Show: c.show, Routes: c.routes}
	return c.place
}

func (c *client) routes(mux *http.ServeMux, f *frame.Frame) error {
	c.Frame = f
	var err error
	if c.page, err = f.Template(clientPage); err != nil {
		return err
	}
	mux.HandleFunc("POST /jobs/{job}/client/link", c.make)
	mux.HandleFunc("POST /jobs/{job}/client/revoke", c.revoke)
	mux.HandleFunc("POST /jobs/{job}/client/answer", c.answer)
	mux.HandleFunc("GET /client/{token}", c.open)
	mux.HandleFunc("GET /client/{token}/picture/{key}", c.picture)
	mux.HandleFunc("POST /client/{token}/ask", c.ask)
	mux.HandleFunc("POST /client/{token}/accept", c.accept)
	return nil
}

type view struct {
	Fresh  string // address of a link that was just made, shown once
	Links  []link
	Words  []said
	Wrong  string
	Days   string
	Accept string
}

type link struct {
	ID                         int64
	Revision                   int
	Made, Expires, Seen, State string
	Works                      bool
}

type said struct {
	ID                   int64
	Kind, Name, Text, At string
	Revision             int
	Link                 int64
}

func (c *client) show(s *frame.Sheet) (any, error) { return c.view(s, "") }

func (c *client) view(s *frame.Sheet, fresh string) (*view, error) {
	v := &view{Fresh: fresh, Days: "30"}
	links, err := c.Store.Links(s.Context(), s.Job.ID)
	if err != nil {
		return nil, err
	}
	for _, l := range links {
		one := link{ID: l.ID, Revision: l.Revision, Made: l.Made.Format("2 Jan 2006, 15:04"), Expires: l.Expires.Format("2 January 2006"), Works: l.Revoked.IsZero() && c.Now().Before(l.Expires)}
		one.Seen = "not opened yet"
		if l.Seen > 0 {
			one.Seen = fmt.Sprintf("opened %s, last on %s", times(l.Seen), l.LastSeen.Format("2 Jan, 15:04"))
		}
		switch {
		case !l.Revoked.IsZero():
			one.State = "taken back"
		case !one.Works:
			one.State = "run out"
		default:
			one.State = "works until " + one.Expires
		}
		v.Links = append(v.Links, one)
	}
	words, err := c.Store.Words(s.Context(), s.Job.ID)
	if err != nil {
		return nil, err
	}
	for _, w := range words {
		v.Words = append(v.Words, said{w.ID, w.Kind, w.Name, w.Text, w.At.Format("2 January 2006, 15:04"), w.Revision, w.Link})
		if w.Kind == "acceptance" {
			v.Accept = fmt.Sprintf("Accepted by %s on %s: revision %d.", w.Name, w.At.Format("2 January 2006, 15:04"), w.Revision)
		}
	}
	v.Wrong = waits(s)
	return v, nil
}

// waits says why no link can be made: a wall that does not fit would be missing, unseen,
// from the page the client accepts.
func waits(s *frame.Sheet) string {
	if !s.Ready() {
		return s.First("price")
	}
	return ""
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// form reads a small form of somebody who may see prices.
func (c *client) form(w http.ResponseWriter, r *http.Request) (*frame.Sheet, error) {
	r.Body = http.MaxBytesReader(w, r.Body, 1<<16)
	if err := r.ParseForm(); err != nil {
		return nil, &frame.Refused{Status: http.StatusBadRequest, What: "the form cannot be read", Do: "send it again"}
	}
	return c.Open(r, c.place)
}

// make makes a link to the newest revision and names it as sent.
func (c *client) make(w http.ResponseWriter, r *http.Request) {
	s, err := c.form(w, r)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	days, err := strconv.Atoi(strings.TrimSpace(r.PostForm.Get("days")))
	if err != nil || days < 1 || days > 366 {
		c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: "the link has to run out", Do: "write from 1 to 366 days"})
		return
	}
	if wait := waits(s); wait != "" {
		c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: "the client cannot be shown this yet", Do: wait})
		return
	}
	_, token, err := c.Store.MakeLink(r.Context(), s.Job.ID, s.Revision.Number, c.Now().AddDate(0, 0, days), s.Person.Name)
	if err == nil && s.Revision.Name == "" {
		err = c.Store.NameRevision(r.Context(), s.Job.ID, s.Revision.Number, "sent to client")
	}
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	v, err := c.view(s, address(r, token))
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	shown := *c.place
	shown.Show = func(*frame.Sheet) (any, error) { return v, nil }
	s.Place = &shown
	c.Show(w, r, s, http.StatusOK, nil)
}

// address is the whole address of a link, as the browser reached this page.
func address(r *http.Request, token string) string {
	scheme := "http"
	if r.TLS != nil {
		scheme = "https"
	}
	if o, err := url.Parse(r.Header.Get("Origin")); err == nil && o.Host == r.Host && o.Scheme != "" {
		scheme = o.Scheme
	}
	return (&url.URL{Scheme: scheme, Host: r.Host, Path: "/client/" + token}).String()
}

func (c *client) revoke(w http.ResponseWriter, r *http.Request) {
	s, err := c.form(w, r)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	id, err := strconv.ParseInt(r.PostForm.Get("link"), 10, 64)
	if err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: "the form names no link", Do: "load the page again"})
		return
	}
	if err := c.Store.RevokeLink(r.Context(), s.Job.ID, id); err != nil && !errors.Is(err, store.ErrNotFound) {
		c.Fail(w, r, err)
		return
	}
	http.Redirect(w, r, s.URL("client"), http.StatusSeeOther)
}

func (c *client) answer(w http.ResponseWriter, r *http.Request) {
	s, err := c.form(w, r)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	link, err := strconv.ParseInt(r.PostForm.Get("link"), 10, 64)
	revision, err2 := strconv.Atoi(r.PostForm.Get("revision"))
	text := strings.TrimSpace(r.PostForm.Get("text"))
	links, err3 := c.Store.Links(r.Context(), s.Job.ID)
	ours := false
	for _, l := range links {
		ours = ours || l.ID == link
	}
	if err != nil || err2 != nil || err3 != nil || !ours || text == "" || len(text) > mostText {
		c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: "there is no answer, or it is longer than 4000 letters", Do: "write it"})
		return
	}
	name := s.Person.Name
	if name == "" {
		name = s.Board.Job.Contractor
	}
	if _, err := c.Store.Say(r.Context(), store.Word{Link: link, Job: s.Job.ID, Revision: revision, Kind: "answer", Name: name, Text: text}); err != nil {
		c.Fail(w, r, err)
		return
	}
	http.Redirect(w, r, s.URL("client"), http.StatusSeeOther)
}
