// Package sheets turns a Plan into the document pack: the papers a crew works
// from, a client signs and a house keeps. It computes nothing about the job.
package sheets

import (
	"bytes"
	"fmt"
	"runtime"
	"sync"
	"time"

	"scumble/draw"
	"scumble/job"
	"scumble/plan"
	"scumble/sheets/drafting"
	"scumble/unit"
)

// File is one document of the pack.
type File struct {
	Name    string // path within the pack, slashes
	What    string // one line for the list of papers; empty for files named by another line
	Content []byte
}

// desk is what every document is made at: the plan, the fonts, the paper.
type desk struct {
	plan  *plan.Plan
	fonts *draw.Fonts
	paper string // A4 | Letter
}

// documents lists the pack in the order a job uses it.
var documents = []struct {
	name, what string
	make       func(*desk) ([]byte, error)
}{
	{"quote.pdf", "what the client agrees to and pays", pdf((*desk).quote)},
	{"setting-out.pdf", "every wall to scale, marks and alternatives", pdf((*desk).settingOut)},
	{"method.pdf", "a sheet for each wall: steps, days, mixes, faults", pdf((*desk).method)},
	{"mixes.pdf", "what to mix, and labels for the buckets", pdf((*desk).mixes)},
	{"buying.pdf", "what to buy and why", pdf((*desk).buying)},
	{"buying.csv", "the same for a spreadsheet", (*desk).buyingTable},
	{"programme.pdf", "the chart, and a sheet for each person and day", pdf((*desk).programme)},
	{"programme.ics", "the same for a calendar", (*desk).calendar},
	{"safety.pdf", "cautions where the hand is, and what they defer to", pdf((*desk).safety)},
	{"inspection.pdf", "what to check before each coat and at the end", pdf((*desk).inspection)},
	{"handover.pdf", "recipes, batches, care and touching up", pdf((*desk).handover)},
	{"plan.json", "the whole plan, for other programs", (*desk).json},
}

// Pack makes every paper of a plan. paper is A4, Letter or "" for what the job
// says. Two runs give the same bytes.
func Pack(p *plan.Plan, paper string) ([]File, error) {
	if paper == "" {
		paper = p.Job.Paper
	}
	d := &desk{plan: p, fonts: draw.NewFonts(), paper: paper}
	files := make([]File, len(documents))
	errs := make([]error, len(documents))
	var all sync.WaitGroup
	turn := make(chan struct{}, max(1, runtime.GOMAXPROCS(0)))
	for i, doc := range documents {
		all.Go(func() {
			turn <- struct{}{}
			defer func() { <-turn }()
			content, err := doc.make(d)
			files[i], errs[i] = File{doc.name, doc.what, content}, err
		})
	}
	all.Wait()
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("%s: %w", documents[i].name, err)
		}
	}
	walls, err := d.walls()
	return append(files, walls...), err
}

// pdf writes what a document function draws.
func pdf(make func(*desk) (draw.Doc, error)) func(*desk) ([]byte, error) {
	return func(d *desk) ([]byte, error) {
		doc, err := make(d)
		if err != nil {
			return nil, err
		}
		var b bytes.Buffer
		err = d.fonts.WritePDF(&b, doc)
		return b.Bytes(), err
	}
}

// book starts a document with the job's own words on every page.
func (d *desk) book(document string) *drafting.Book {
	j := d.plan.Job
	return drafting.NewBook(d.fonts, drafting.Sheet{
		Job: j.Name, Place: j.Place, Document: document, Contractor: j.Contractor,
		Reference: j.Reference, Date: day(j.Date), Demo: j.Demo,
	})
}

// upright and turned are the two ways the job's paper lies.
func (d *desk) upright() draw.Paper { return drafting.PaperNamed(d.paper, false) }
func (d *desk) turned() draw.Paper  { return drafting.PaperNamed(d.paper, true) }

// money prints an amount in the job's currency without naming it.
func (d *desk) money(m unit.Money) string { return m.Format(job.Decimals(d.plan.Job.Currency)) }

// day prints a date of the job file as it is said: 8 March 2027.
func day(date job.Date) string {
	t, err := time.Parse(time.DateOnly, string(date))
	if err != nil {
		return string(date)
	}
	return t.Format("2 January 2006")
}

// finish is the agreed finish with an id, or nil.
func (d *desk) finish(id string) *job.Finish {
	for i := range d.plan.Job.Finishes {
		if d.plan.Job.Finishes[i].ID == id {
			return &d.plan.Job.Finishes[i]
		}
	}
	return nil
}
