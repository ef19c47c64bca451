// Package frame is what every page of the browser hangs in: it opens jobs on the
// board, lays the page round a place of work, takes edits and saves them as
// revisions. The places themselves are packages of their own beside it.
package frame

import (
	"context"
	"errors"
	"html/template"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"scumble/catalog"
	"scumble/job"
	"scumble/schedule"
	"scumble/store"
	"scumble/web/asset"
	"scumble/web/board"
	"scumble/web/work"
)

// Frame holds what all places share.
type Frame struct {
	Store   *store.Store
	Catalog *catalog.Catalog
	Assets  *asset.Files
	Work    *work.Bench
	// Now is the wall clock of the place of work.
	Now func() time.Time
	// Effort is how long to look for a better programme; without placements it is schedule.Full.
	Effort schedule.Effort
	// Build names the program that computes pictures, so that none made by another is shown.
	Build    string
	places   []*Place
	shown    map[string]*template.Template
	boards   *boards
	shownIn  *shownIn
	painting chan struct{} // the turn of a thumbnail to be painted
	// searching is the bench of searches for programmes. It is another than that of the papers,
	// which wait for them.
	searching *work.Bench
}

// Place is one page of a job: Measure, Choose, Set out...
type Place struct {
	Slug, Name string
	// Page is the template of the place; it defines "place" and may use all that
	// layout.html and parts.html define.
	Page string
	// Walled places show one wall and carry the wall picker.
	Walled bool
	// Priced places are for those who may see money.
	Priced bool
	// Keeps names what else of its address stays when a page is laid anew.
	Keeps []string
	// Show works out what the template is given as .Data.
	Show func(*Sheet) (any, error)
	// Routes adds what the place answers beside its page; nil when that is nothing.
	Routes func(*http.ServeMux, *Frame) error
}

// Role is what a person may see and do.
type Role string

// The roles. An applicator sees no prices; the link of a client has pages of its own.
const (
	Owner      Role = "owner"
	Applicator Role = "applicator"
)

// Person is who asks.
type Person struct {
	Name string // "" where nobody has to sign in
	Role Role
}

type personKey struct{}

// As notes who asks in a context.
func As(ctx context.Context, p Person) context.Context {
	return context.WithValue(ctx, personKey{}, p)
}

// Who is the person that asks; without a note of one, nobody in particular who may do nothing.
func Who(ctx context.Context) Person {
	p, _ := ctx.Value(personKey{}).(Person)
	return p
}

// MaySeePrices reports whether somebody may see money.
func (p Person) MaySeePrices() bool { return p.Role == Owner }

// Bench is whose the long tasks of somebody are. With another sight of prices it is
// another, so that who no longer sees them finds no priced papers begun before.
func (p Person) Bench() string {
	if p.MaySeePrices() {
		return p.Name + "\x00prices"
	}
	return p.Name
}

// New makes a frame for places, in the order they are shown.
func New(f Frame, places []*Place) (*Frame, error) {
	f.places = places
	f.boards, f.shownIn = newBoards(f.Catalog), &shownIn{}
	f.painting = make(chan struct{}, 1)
	f.searching = work.NewBench(searches())
	f.shown = map[string]*template.Template{}
	for _, p := range places {
		t, err := f.Template(p.Page)
		if err != nil {
			return nil, err
		}
		f.shown[p.Slug] = t
	}
	return &f, nil
}

// Routes adds the pages of all places, what they answer beside, and the edits to a mux.
func (f *Frame) Routes(mux *http.ServeMux) error {
	mux.HandleFunc("GET /jobs/{job}", func(w http.ResponseWriter, r *http.Request) {
		http.Redirect(w, r, "/jobs/"+url.PathEscape(r.PathValue("job"))+"/measure", http.StatusSeeOther)
	})
	for _, p := range f.places {
		mux.HandleFunc("GET /jobs/{job}/"+p.Slug, func(w http.ResponseWriter, r *http.Request) {
			sheet, err := f.Open(r, p)
			if err != nil {
				f.Fail(w, r, err)
				return
			}
			f.Show(w, r, sheet, http.StatusOK, nil)
		})
	}
	mux.HandleFunc("POST /jobs/{job}/edit", f.Edit)
	mux.HandleFunc("POST /jobs/{job}/undo", f.step(f.Store.Undo))
	mux.HandleFunc("POST /jobs/{job}/redo", f.step(f.Store.Redo))
	mux.HandleFunc("GET /jobs/{job}/picture/{key}", f.picture)
	mux.HandleFunc("GET /jobs/{job}/look", f.watch)
	mux.HandleFunc("POST /theme", f.theme)
	mux.HandleFunc("GET /about", f.about)
	for _, p := range f.places {
		if p.Routes != nil {
			if err := p.Routes(mux, f); err != nil {
				return err
			}
		}
	}
	return nil
}

// ErrForbidden is for pages that a person may not see.
var ErrForbidden = errors.New("this page shows prices; the owner of the program can give you sight of them")

// Open opens the job that a request is about at a place.
func (f *Frame) Open(r *http.Request, p *Place) (*Sheet, error) {
	who := Who(r.Context())
	if p.Priced && !who.MaySeePrices() {
		return nil, ErrForbidden
	}
	j, err := f.Store.Job(r.Context(), r.PathValue("job"))
	if err != nil {
		return nil, err
	}
	head, err := f.Store.Head(r.Context(), j.ID)
	if err != nil {
		return nil, err
	}
	if r.URL.Query().Get("look") == "long" {
		if _, err := f.Long(r.Context(), head.Text); err != nil {
			return nil, err
		}
	}
	return f.sheet(r.Context(), j, head, p, r.URL.Query(), who)
}

// Board lays out a text, or finds it laid out already, with the best programme found so far.
func (f *Frame) Board(text []byte) *board.Board { return f.boards.of(text) }

// Pressed is when the form of a request was sent off by hand: before now, where it waited for a
// connection.
func (f *Frame) Pressed(r *http.Request) time.Time {
	waited, err := strconv.Atoi(r.Header.Get("Waited"))
	if err != nil || waited < 0 || waited > 24*60*60 {
		waited = 0
	}
	return f.Now().Add(-time.Duration(waited) * time.Second)
}

// Edited answers a form that changed a job by other means than Edit: with the page it came from.
func (f *Frame) Edited(w http.ResponseWriter, r *http.Request, clash *Clash, problems []job.Problem, err error) {
	switch {
	case err != nil:
	case clash != nil:
		err = &Refused{http.StatusConflict, "somebody changed the same while you were working", "load the page again"}
	case len(problems) > 0:
		err = &Refused{http.StatusUnprocessableEntity, problems[0].What, problems[0].Do}
	}
	if err != nil {
		f.Fail(w, r, err)
		return
	}
	_, _, back := f.back(r)
	http.Redirect(w, r, back, http.StatusSeeOther)
}

// Base is the revision a form belongs to.
func (f *Frame) Base(w http.ResponseWriter, r *http.Request) (store.Revision, error) {
	r.Body = http.MaxBytesReader(w, r.Body, largestForm)
	number, err := strconv.Atoi(r.PostFormValue("revision"))
	if err != nil {
		return store.Revision{}, &Refused{http.StatusBadRequest, "the form does not say which revision it belongs to", "load the page again"}
	}
	return f.Store.Revision(r.Context(), r.PathValue("job"), number)
}

// Place finds a place by its slug; the first one when there is none.
func (f *Frame) Place(slug string) *Place {
	for _, p := range f.places {
		if p.Slug == slug {
			return p
		}
	}
	return f.places[0]
}

// back reads the address to go back to, which must be one of a job's places.
func (f *Frame) back(r *http.Request) (place *Place, query url.Values, address string) {
	job := url.PathEscape(r.PathValue("job"))
	u, err := url.Parse(r.PostFormValue("back"))
	if err != nil || u.Host != "" || u.Scheme != "" {
		u = &url.URL{}
	}
	place = f.Place(strings.TrimPrefix(u.Path, "/jobs/"+job+"/"))
	query = u.Query()
	address = "/jobs/" + job + "/" + place.Slug
	if u.RawQuery != "" {
		address += "?" + query.Encode()
	}
	return place, query, address
}
