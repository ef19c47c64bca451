// Package sheets turns a Plan into the document pack: the papers a crew works
// from, a client signs and a house keeps. It computes nothing about the job.
package sheets

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"

	"scumble/draw"
	"scumble/plan"
	"scumble/sheets/client"
	"scumble/sheets/desk"
	"scumble/sheets/mixing"
	"scumble/sheets/programme"
	"scumble/sheets/site"
	"scumble/sheets/wall"
)

// File is one document of the pack.
type File = desk.File

// Options say how papers are made.
type Options struct {
	// Paper is A4, Letter or "" for what the job says.
	Paper string
	// Progress, when given, is told how many steps are done, of how many, and which
	// picture or paper was done last: first of none, at the end of all. Steps take about
	// the same time, so that a larger picture or paper counts for several and a small
	// file for none. It is not called twice at once, nor after the papers are handed over.
	Progress func(done, all int, what string)
}

// Listed is a paper the pack holds.
type Listed struct {
	Name  string // path within the pack, slashes
	What  string // one line for the list of papers; empty for files named by another line
	Pages bool   // it is a PDF whose pages can be shown
}

// ErrNoPaper is the error for a name that is not in the pack.
var ErrNoPaper = errors.New("the pack holds no paper of this name")

// paper is a document of the pack and how it is made: drawn on pages, or written.
type paper struct {
	name, what string
	priced     bool // prices or costs stand in it
	draw       func(*desk.Desk) (draw.Doc, error)
	write      func(*desk.Desk) ([]byte, error)
	pictures   func(*desk.Desk) []desk.Picture // that it shows; nil for none
	steps      int                             // of Progress, without its pictures
}

// steps are those of the pictures. Here and with the papers they are the times of the
// demonstration in units of 12 ms, as measured on two cores; only their proportion counts.
var steps = map[desk.Kind]int{desk.OfWall: 5, desk.Daylit: 4, desk.Lamplit: 2, desk.Sample: 1, desk.OfBoard: 2}

// documents lists the pack in the order a job uses it.
var documents = []paper{
	{name: "quote.pdf", steps: 3, what: "what the client agrees to and pays", priced: true, draw: client.Quote, pictures: friezeAndSamples},
	{name: "colours.pdf", steps: 4, what: "each finish by day and by lamp, in patches and figures", draw: client.Colours, pictures: func(d *desk.Desk) []desk.Picture {
		return d.InMethod(desk.Daylit, desk.Lamplit)
	}},
	{name: "boards.pdf", steps: 3, what: "sample boards to make, and what they told", draw: client.Boards, pictures: func(d *desk.Desk) []desk.Picture {
		return d.InMethod(desk.OfBoard)
	}},
	{name: "setting-out.pdf", steps: 40, what: "every wall to scale, marks and alternatives", draw: wall.SettingOut},
	{name: "method.pdf", steps: 70, what: "a sheet for each wall: steps, days, mixes, faults", draw: wall.Method, pictures: (*desk.Desk).OnWalls},
	{name: "mixes.pdf", steps: 14, what: "what to mix, and labels for the buckets", draw: mixing.Mixes},
	{name: "buying.pdf", steps: 2, what: "what to buy and why", priced: true, draw: mixing.Buying},
	{name: "buying.csv", what: "the same for a spreadsheet", priced: true, write: mixing.BuyingTable},
	{name: "programme.pdf", steps: 28, what: "the chart, and a sheet for each person and day", draw: programme.Programme},
	{name: "programme.ics", what: "the same for a calendar", write: programme.Calendar},
	{name: "safety.pdf", steps: 4, what: "cautions where the hand is, and what they defer to", draw: site.Safety},
	{name: "inspection.pdf", steps: 10, what: "what to check before each coat and at the end", draw: site.Inspection},
	{name: "handover.pdf", steps: 2, what: "recipes, batches, care and touching up", draw: client.Handover, pictures: friezeAndSamples},
	{name: "plan.json", steps: 2, what: "the whole plan, for other programs", priced: true, write: planJSON},
}

func friezeAndSamples(d *desk.Desk) []desk.Picture {
	return append(d.OnWalls(), d.InMethod(desk.Sample)...)
}

// contents are all documents of a plan: those of every job, and the drawings of its walls.
func contents(p *plan.Plan) []paper {
	all := slices.Clone(documents)
	for i, w := range wall.Drawings(p) {
		what := ""
		if i == 0 {
			what = "this and every other wall, as a picture and for a drawing program"
		}
		all = append(all, paper{name: w.Name, what: what, write: w.Make})
	}
	return all
}

// List is what the pack of a plan holds, without making any of it.
func List(p *plan.Plan) []Listed {
	var list []Listed
	for _, doc := range contents(p) {
		list = append(list, Listed{Name: doc.name, What: doc.what, Pages: doc.draw != nil})
	}
	return list
}

// Priced reports whether a paper holds prices or costs, so that it is not for
// everybody. A name that is not in the pack counts as priced.
func Priced(name string) bool {
	for _, doc := range documents {
		if doc.name == name {
			return doc.priced
		}
	}
	return !strings.HasPrefix(name, "walls/")
}

// Pack makes every paper of a plan. Two runs give the same bytes. The error is that
// of ctx once it has ended, else says which paper cannot be made.
func Pack(ctx context.Context, p *plan.Plan, o Options) ([]File, error) {
	docs := contents(p)
	files := make([]File, len(docs))
	err := produce(ctx, p, o, docs, func(d *desk.Desk, i int) error {
		content, err := docs[i].content(d)
		files[i] = File{Name: docs[i].name, What: docs[i].what, Content: content}
		return err
	})
	if err != nil {
		return nil, err
	}
	return files, nil
}

// One makes a single paper, with the bytes it has in the pack.
func One(ctx context.Context, p *plan.Plan, name string, o Options) (File, error) {
	doc, err := named(p, name)
	if err != nil {
		return File{}, err
	}
	var content []byte
	err = produce(ctx, p, o, []paper{doc}, func(d *desk.Desk, _ int) (err error) {
		content, err = doc.content(d)
		return err
	})
	if err != nil {
		return File{}, err
	}
	return File{Name: doc.name, What: doc.what, Content: content}, nil
}

// Pages are the pages of a paper, to be shown as pictures; nil for a file that has none.
func Pages(ctx context.Context, p *plan.Plan, name string, o Options) ([]draw.Page, error) {
	doc, err := named(p, name)
	if err != nil || doc.draw == nil {
		return nil, err
	}
	var pages []draw.Page
	err = produce(ctx, p, o, []paper{doc}, func(d *desk.Desk, _ int) error {
		drawn, err := doc.draw(d)
		pages = drawn.Pages
		return err
	})
	if err != nil {
		return nil, err
	}
	return pages, nil
}

func named(p *plan.Plan, name string) (paper, error) {
	docs := contents(p)
	at := slices.IndexFunc(docs, func(doc paper) bool { return doc.name == name })
	if at < 0 {
		return paper{}, fmt.Errorf("%s: %w", name, ErrNoPaper)
	}
	return docs[at], nil
}

// content is the file of a paper.
func (doc *paper) content(d *desk.Desk) ([]byte, error) {
	if doc.draw == nil {
		return doc.write(d)
	}
	return desk.PDF(doc.draw)(d)
}

// produce paints the pictures of some papers, each once, and then makes the papers.
// It does not wait for what is under way when ctx ends: a piece of work takes a
// fraction of a second, and nobody sees its outcome.
func produce(ctx context.Context, p *plan.Plan, o Options, docs []paper, make func(d *desk.Desk, i int) error) error {
	if o.Paper == "" {
		o.Paper = p.Job.Paper
	}
	d := &desk.Desk{Plan: p, Fonts: draw.NewFonts(), Paper: o.Paper, Context: ctx}
	var pictures []desk.Picture
	seen := map[desk.Picture]bool{}
	for _, doc := range docs {
		if doc.pictures == nil {
			continue
		}
		for _, picture := range doc.pictures(d) {
			if !seen[picture] {
				seen[picture] = true
				pictures = append(pictures, picture)
			}
		}
	}
	t := &tally{tell: o.Progress}
	for _, picture := range pictures {
		t.all += steps[picture.Kind]
	}
	for _, doc := range docs {
		t.all += doc.steps
	}
	t.say("")
	defer t.stop()
	err := sideBySide(ctx, len(pictures), func(i int) error {
		d.Paint(pictures[i])
		t.did(ctx, steps[pictures[i].Kind], pictures[i].Words())
		return nil
	})
	if err != nil {
		return err
	}
	return sideBySide(ctx, len(docs), func(i int) error {
		if err := make(d, i); err != nil {
			return fmt.Errorf("%s: %w", docs[i].name, err)
		}
		t.did(ctx, docs[i].steps, docs[i].name)
		return nil
	})
}

// sideBySide does n pieces of work on all cores, beginning with the first. It returns
// the error of the first that has one, or at once that of ctx when it ends.
func sideBySide(ctx context.Context, n int, do func(i int) error) error {
	errs := make([]error, n)
	next := make(chan int, n)
	for i := range n {
		next <- i
	}
	close(next)
	var workers sync.WaitGroup
	for range min(n, max(1, runtime.GOMAXPROCS(0))) {
		workers.Go(func() {
			for i := range next {
				if ctx.Err() != nil {
					return
				}
				errs[i] = do(i)
			}
		})
	}
	all := make(chan struct{})
	go func() {
		workers.Wait()
		close(all)
	}()
	select {
	case <-all:
	case <-ctx.Done():
	}
	if err := ctx.Err(); err != nil {
		return err // errs may still be written to
	}
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// tally counts what is done.
type tally struct {
	lock      sync.Mutex
	tell      func(done, all int, what string)
	done, all int
}

func (t *tally) say(what string) {
	if t.tell != nil {
		t.tell(t.done, t.all, what)
	}
}

// stop ends the telling: nobody is told after the papers have been handed over.
func (t *tally) stop() {
	t.lock.Lock()
	defer t.lock.Unlock()
	t.tell = nil
}

// did counts a piece of work; not what broke off because nobody wants it.
func (t *tally) did(ctx context.Context, steps int, what string) {
	t.lock.Lock()
	defer t.lock.Unlock()
	if ctx.Err() == nil {
		t.done += steps
		t.say(what)
	}
}
