// Package papers is the place of the documents: each is seen before it is taken, and the
// whole pack is made while one looks on.
package papers

import (
	"bytes"
	"context"
	_ "embed"
	"errors"
	"fmt"
	"image/png"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"scumble/draw"
	"scumble/plan"
	"scumble/sheets"
	"scumble/web/frame"
	"scumble/web/work"
)

//go:embed papers.html
var page string

type papers struct {
	*frame.Frame
	place *frame.Place
	fonts *draw.Fonts
}

// Place is the page.
func Place() *frame.Place {
	p := &papers{fonts: draw.NewFonts()}
	p.place = &frame.Place{Slug: "papers", Name: "Papers", Page: page, Show: p.show, Routes: p.routes}
	return p.place
}

func (p *papers) routes(mux *http.ServeMux, f *frame.Frame) error {
	p.Frame = f
	mux.HandleFunc("GET /jobs/{job}/papers/file", p.file)
	mux.HandleFunc("GET /jobs/{job}/papers/page", p.page)
	mux.HandleFunc("POST /jobs/{job}/papers/pack", p.pack)
	mux.HandleFunc("GET /jobs/{job}/papers/pack/{task}", p.progress)
	mux.HandleFunc("GET /jobs/{job}/papers/pack/{task}/stream", p.stream)
	mux.HandleFunc("GET /jobs/{job}/papers/pack/{task}/file", p.result)
	mux.HandleFunc("POST /jobs/{job}/papers/pack/{task}/cancel", p.cancel)
	return nil
}

type view struct {
	Why    string
	Groups []group
	Here   *listed
	Pages  []onePage
	Sheet  frame.Field
	Task   *task
	More   string
}

type group struct {
	Name   string
	Papers []listed
}

type listed struct {
	Name, What, Href, File string
	Pages, Here            bool
}

type onePage struct {
	Number, Of int
	Src        string
}

type task struct {
	Title, What, State, Stream, Done, Cancel string
	Now, All                                 int
	Over                                     bool
	Wrong                                    string
}

// readers are who a paper is for, in the order they are listed.
var readers = []struct {
	name  string
	files []string
}{
	{"For the client", []string{"quote.pdf", "colours.pdf", "boards.pdf", "handover.pdf"}},
	{"For the wall", []string{"setting-out.pdf", "method.pdf", "inspection.pdf", "safety.pdf"}},
	{"For the bucket and the shop", []string{"mixes.pdf", "buying.pdf", "buying.csv"}},
	{"For the days", []string{"programme.pdf", "programme.ics"}},
	{"For other programs", []string{"plan.json"}},
}

// mostPages of one paper are shown at once.
const mostPages = 12

func (p *papers) show(s *frame.Sheet) (any, error) {
	v := &view{Sheet: frame.FieldOf(s.Board, "paper", "Size of the paper", "").From(frame.Choice{Words: "A4"}, frame.Choice{Value: "Letter", Words: "Letter"})}
	if !s.Ready() {
		v.Why = "The papers are made of a whole plan. " + s.First("price")
		return v, nil
	}
	name := s.Query.Get("name")
	list := sheets.List(s.Board.Plan) // the same, however long was looked
	for _, r := range readers {
		g := group{Name: r.name}
		for _, l := range list {
			if slices.Contains(r.files, l.Name) {
				g.add(p.listed(s, l, name))
			}
		}
		if len(g.Papers) > 0 {
			v.Groups = append(v.Groups, g)
		}
	}
	walls := group{Name: "Walls, as drawings"}
	for _, l := range list {
		if strings.HasPrefix(l.Name, "walls/") {
			walls.add(p.listed(s, l, name))
		}
	}
	v.Groups = append(v.Groups, walls)
	for g := range v.Groups {
		for i := range v.Groups[g].Papers {
			if one := &v.Groups[g].Papers[i]; one.Here {
				v.Here = one
			}
		}
	}
	if v.Here != nil && v.Here.Pages {
		whole, err := p.whole(s.Context(), s)
		if err != nil {
			return nil, err
		}
		pages, err := sheets.Pages(s.Context(), whole, name, sheets.Options{})
		if err != nil {
			return nil, err
		}
		from, _ := strconv.Atoi(s.Query.Get("from"))
		from = max(0, min(from, len(pages)-1))
		for i := from; i < min(len(pages), from+mostPages); i++ {
			v.Pages = append(v.Pages, onePage{i + 1, len(pages), fmt.Sprintf("/jobs/%s/papers/page?%s", s.Job.ID,
				url.Values{"name": {name}, "page": {strconv.Itoa(i)}, "revision": {strconv.Itoa(s.Revision.Number)}}.Encode())})
		}
		if from+mostPages < len(pages) {
			v.More = v.Here.Href + fmt.Sprintf("&from=%d", from+mostPages)
		}
	}
	return v, nil
}

func (g *group) add(l listed, ok bool) {
	if ok {
		g.Papers = append(g.Papers, l)
	}
}

func (p *papers) listed(s *frame.Sheet, l sheets.Listed, here string) (listed, bool) {
	if sheets.Priced(l.Name) && !s.Person.MaySeePrices() {
		return listed{}, false
	}
	mark := "?"
	if s.Wall != nil {
		mark = "&"
	}
	what := l.What
	if what == "" {
		what = strings.TrimPrefix(l.Name, "walls/")
	}
	return listed{l.Name, frame.Sentence(what), s.URL("papers") + mark + url.Values{"name": {l.Name}}.Encode(), s.Paper(l.Name), l.Pages, l.Name == here}, true
}

// ready is a job whose papers can be made, at a revision or the newest, and the key of what is
// made of it.
func (p *papers) ready(r *http.Request) (*frame.Sheet, string, error) {
	s, err := p.Open(r, p.place)
	if err != nil {
		return nil, "", err
	}
	if n, err := strconv.Atoi(r.URL.Query().Get("revision")); err == nil && n != s.Revision.Number {
		v, err := p.Store.Revision(r.Context(), s.Job.ID, n)
		if err != nil {
			return nil, "", err
		}
		if s, err = p.SheetOf(r.Context(), s.Job, v, p.place, ""); err != nil {
			return nil, "", err
		}
	}
	if !s.Ready() {
		return nil, "", &frame.Refused{Status: http.StatusUnprocessableEntity, What: "the papers are made of a whole plan, and something is still to be mended", Do: s.First("price")}
	}
	return s, p.TextKey(s.Text), nil
}

// whole is the plan papers are made of; who asks first waits until it was looked for at length.
func (p *papers) whole(ctx context.Context, s *frame.Sheet) (*plan.Plan, error) {
	long, err := p.Long(ctx, s.Text)
	if err != nil {
		return nil, err
	}
	return long.Whole(), nil
}

func (p *papers) allowed(s *frame.Sheet, name string) error {
	if sheets.Priced(name) && !s.Person.MaySeePrices() {
		return frame.ErrForbidden
	}
	return nil
}

// file gives one paper.
func (p *papers) file(w http.ResponseWriter, r *http.Request) {
	s, text, err := p.ready(r)
	name := r.URL.Query().Get("name")
	if err == nil {
		err = p.allowed(s, name)
	}
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	content, err := p.Kept(r.Context(), text+"/"+name, sheets.Kind(name), func() ([]byte, error) {
		whole, err := p.whole(r.Context(), s)
		if err != nil {
			return nil, err
		}
		f, err := sheets.One(r.Context(), whole, name, sheets.Options{})
		return f.Content, err
	})
	if errors.Is(err, sheets.ErrNoPaper) {
		err = &frame.Refused{Status: http.StatusNotFound, What: "there is no paper of this name", Do: "take one from the list"}
	}
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	send(w, s.Job.Name, name, sheets.Kind(name), content)
}

func send(w http.ResponseWriter, job, name, kind string, content []byte) {
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", frame.Attachment(job, name))
	_, _ = w.Write(content)
}

// page gives one page of a paper as a picture.
func (p *papers) page(w http.ResponseWriter, r *http.Request) {
	s, text, err := p.ready(r)
	name := r.URL.Query().Get("name")
	if err == nil {
		err = p.allowed(s, name)
	}
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	number, err := strconv.Atoi(r.URL.Query().Get("page"))
	if err != nil {
		number = -1
	}
	content, err := p.Kept(r.Context(), text+"/"+name+"#"+strconv.Itoa(number), "image/png", func() ([]byte, error) {
		return p.painted(r.Context(), s, name, number)
	})
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "image/png")
	w.Header().Set("Cache-Control", "private, max-age=3600")
	_, _ = w.Write(content)
}

// shownAt is px to the mm of paper: an A4 sheet is 840 px wide.
const shownAt = 4

func (p *papers) painted(ctx context.Context, s *frame.Sheet, name string, number int) ([]byte, error) {
	whole, err := p.whole(ctx, s)
	if err != nil {
		return nil, err
	}
	pages, err := sheets.Pages(ctx, whole, name, sheets.Options{})
	if errors.Is(err, sheets.ErrNoPaper) || err == nil && (number < 0 || number >= len(pages)) {
		return nil, &frame.Refused{Status: http.StatusNotFound, What: "there is no such page", Do: "take a paper from the list"}
	}
	if err != nil {
		return nil, err
	}
	picture, err := p.fonts.PNG(pages[number], shownAt)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&out, picture)
	return out.Bytes(), err
}

// pack begins to make the whole pack.
func (p *papers) pack(w http.ResponseWriter, r *http.Request) {
	s, text, err := p.ready(r)
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	prices := s.Person.MaySeePrices()
	t := p.Work.Start(fmt.Sprintf("pack %s %v", text, prices), s.Person.Bench(), "All papers of "+s.Job.Name, func(ctx context.Context, report func(done, all int, what string)) (work.Result, error) {
		report(0, 0, "looking for the best programme")
		whole, err := p.whole(ctx, s)
		if err != nil {
			return work.Result{}, err
		}
		content, err := sheets.Archive(ctx, whole, prices, sheets.Options{Progress: report})
		return work.Result{Name: "papers.zip", Kind: sheets.Kind(".zip"), Content: content}, err
	})
	http.Redirect(w, r, "/jobs/"+s.Job.ID+"/papers/pack/"+t.ID, http.StatusSeeOther)
}

// task finds a piece of work of the person who asks.
func (p *papers) task(r *http.Request) (*work.Task, error) {
	t, ok := p.Work.Task(r.PathValue("task"), frame.Who(r.Context()).Bench())
	if !ok {
		return nil, &frame.Refused{Status: http.StatusNotFound, What: "this work is not there any more", Do: "begin it again under Papers"}
	}
	return t, nil
}

// progress shows how far the pack is; without script the page loads itself again.
func (p *papers) progress(w http.ResponseWriter, r *http.Request) {
	t, err := p.task(r)
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	s, err := p.Open(r, p.place)
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	here := "/jobs/" + s.Job.ID + "/papers/pack/" + t.ID
	now := t.State()
	v := &view{Task: &task{Title: t.Title, What: now.What, State: string(now.State), Stream: here + "/stream", Done: here, Cancel: here + "/cancel", Now: now.Done, All: now.All, Over: now.State.Over()}}
	switch now.State {
	case work.Done:
		v.Task.Done = here + "/file"
	case work.Failed:
		v.Task.Wrong = frame.Sentence(now.Err.Error())
	case work.Cancelled:
		v.Task.Wrong = "It was stopped. Nothing else changed."
	default:
		w.Header().Set("Refresh", "3")
	}
	shown := *p.place
	shown.Show = func(*frame.Sheet) (any, error) { return v, nil }
	s.Place = &shown
	p.Show(w, r, s, http.StatusOK, nil)
}

func (p *papers) stream(w http.ResponseWriter, r *http.Request) {
	t, err := p.task(r)
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	p.Work.Stream(w, r, t)
}

func (p *papers) cancel(w http.ResponseWriter, r *http.Request) {
	t, err := p.task(r)
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	t.Cancel()
	http.Redirect(w, r, "/jobs/"+r.PathValue("job")+"/papers", http.StatusSeeOther)
}

func (p *papers) result(w http.ResponseWriter, r *http.Request) {
	t, err := p.task(r)
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	j, err := p.Store.Job(r.Context(), r.PathValue("job"))
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	result, err := t.Result()
	if err != nil {
		p.Fail(w, r, &frame.Refused{Status: http.StatusConflict, What: err.Error(), Do: "wait until it is done"})
		return
	}
	send(w, j.Name, result.Name, result.Kind, result.Content)
}
