package desk

import (
	"bytes"
	"context"
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

// Desk is what every document is made at: the plan, the fonts, the paper.
type Desk struct {
	Plan  *plan.Plan
	Fonts *draw.Fonts
	Paper string // A4 | Letter
	// Context ends the painting of pictures; papers made after its end are of no use.
	// nil paints to the end.
	Context context.Context

	album album // pictures, painted when a paper first shows them
}

// PDF writes what a document function draws.
func PDF(make func(*Desk) (draw.Doc, error)) func(*Desk) ([]byte, error) {
	return func(d *Desk) ([]byte, error) {
		doc, err := make(d)
		if err != nil {
			return nil, err
		}
		var b bytes.Buffer
		err = d.Fonts.WritePDF(&b, doc)
		return b.Bytes(), err
	}
}

// Book starts a document with the job's own words on every page.
func (d *Desk) Book(document string) *drafting.Book {
	j := d.Plan.Job
	return drafting.NewBook(d.Fonts, drafting.Sheet{
		Job: j.Name, Place: j.Place, Document: document, Contractor: j.Contractor,
		Reference: j.Reference, Date: Day(j.Date), Demo: j.Demo,
	})
}

// Upright is the job's paper standing.
func (d *Desk) Upright() draw.Paper { return drafting.PaperNamed(d.Paper, false) }

// Turned is the job's paper lying on its long side.
func (d *Desk) Turned() draw.Paper { return drafting.PaperNamed(d.Paper, true) }

// Money prints an amount in the job's currency without naming it.
func (d *Desk) Money(m unit.Money) string { return m.Format(job.Decimals(d.Plan.Job.Currency)) }

// Day prints a date of the job file as it is said: 8 March 2027.
func Day(date job.Date) string {
	t, err := time.Parse(time.DateOnly, string(date))
	if err != nil {
		return string(date)
	}
	return t.Format("2 January 2006")
}

// Finish is the agreed finish with an id, or nil.
func (d *Desk) Finish(id string) *job.Finish {
	for i := range d.Plan.Job.Finishes {
		if d.Plan.Job.Finishes[i].ID == id {
			return &d.Plan.Job.Finishes[i]
		}
	}
	return nil
}
