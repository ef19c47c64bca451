package sheets

import (
	"bytes"
	"context"
	"errors"
	"path"
	"strings"
	"testing"

	"scumble/job"
	"scumble/plan"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
)

// tiny is the plan of one finish on one narrow wall.
func tiny(t *testing.T) *plan.Plan {
	return smallDesk(t, func(j *job.Job) {
		j.Finishes, j.Alternatives = j.Finishes[:1], nil
		j.Finishes[0].Boards = nil
		j.Rooms[0].Walls = j.Rooms[0].Walls[:1]
		j.Rooms[0].Walls[0].Length = job.Length{Text: "700 mm", Value: 700}
		j.Crew.Travel.Cost = job.Money{Text: "41.37", Value: 4137}
		j.Terms.Rate, j.Crew.People[0].Rate = job.Money{Text: "83.19", Value: 8319}, job.Money{}
	}).Plan
}

// The list tells what the pack holds, and a paper made by itself has the bytes it has
// in the pack.
func TestOneIsAsInThePack(t *testing.T) {
	p := tiny(t)
	files, err := Pack(t.Context(), p, Options{Paper: "Letter"})
	if err != nil {
		t.Fatal(err)
	}
	list := List(p)
	if len(list) != len(files) {
		t.Fatalf("%d papers are listed, %d are in the pack", len(list), len(files))
	}
	for i, l := range list {
		one, err := One(t.Context(), p, l.Name, Options{Paper: "Letter"})
		if err != nil || l.Name != files[i].Name || one.Name != l.Name || l.What != files[i].What || one.What != l.What || !bytes.Equal(one.Content, files[i].Content) {
			t.Errorf("%s is not the %s of the pack: %v", l.Name, files[i].Name, err)
		}
		pages, err := Pages(t.Context(), p, l.Name, Options{})
		if err != nil || l.Pages != (len(pages) > 0) || l.Pages != (path.Ext(l.Name) == ".pdf") {
			t.Errorf("%s has %d pages, listed %v: %v", l.Name, len(pages), l.Pages, err)
		}
	}
	if _, err := One(t.Context(), p, "diary.pdf", Options{}); !errors.Is(err, ErrNoPaper) {
		t.Errorf("a paper that is not there: %v", err)
	}
	if _, err := Pages(t.Context(), p, "diary.pdf", Options{}); !errors.Is(err, ErrNoPaper) {
		t.Errorf("pages of a paper that is not there: %v", err)
	}
}

// A paper shows the pictures it names beforehand, and needs each of them: once they
// are painted it can be made though painting has ended, and without any one of them
// it comes out different.
func TestPapersNameTheirPictures(t *testing.T) {
	p := tiny(t)
	for _, doc := range documents {
		whole, err := One(t.Context(), p, doc.name, Options{})
		if err != nil {
			t.Fatal(err)
		}
		without := func(left int) []byte {
			ctx, end := context.WithCancel(t.Context())
			d := &desk.Desk{Plan: p, Fonts: papertest.DemoFonts, Paper: p.Job.Paper, Context: ctx}
			if doc.pictures != nil {
				for i, picture := range doc.pictures(d) {
					if i != left {
						d.Paint(picture)
					}
				}
			}
			end()
			content, err := doc.content(d)
			if err != nil {
				t.Fatal(err)
			}
			return content
		}
		if !bytes.Equal(without(-1), whole.Content) {
			t.Errorf("%s paints more than it names", doc.name)
		}
		if doc.pictures == nil {
			continue
		}
		for i, picture := range doc.pictures(&desk.Desk{Plan: p}) {
			if bytes.Equal(without(i), whole.Content) {
				t.Errorf("%s is the same without %q", doc.name, picture.Words())
			}
		}
	}
}

// Progress goes up to the whole, which is known from the start, and names every picture
// and paper once.
func TestProgressCountsPicturesAndPapers(t *testing.T) {
	p := tiny(t)
	d := &desk.Desk{Plan: p}
	last, whole, named := -1, 0, map[string]bool{}
	all := 1 + len(List(p)) + len(d.OnWalls()) + len(d.InMethod(desk.Daylit, desk.Lamplit, desk.Sample, desk.OfBoard))
	_, err := Pack(t.Context(), p, Options{Progress: func(done, of int, what string) {
		if done < last || done > of || whole > 0 && of != whole || last < 0 && done != 0 || named[what] {
			t.Errorf("%d of %d (%s) after %d of %d", done, of, what, last, whole)
		}
		last, whole, named[what] = done, of, true
	}})
	if err != nil || last != whole || len(named) != all {
		t.Errorf("%d of %d in %d reports, want %d: %v", last, whole, len(named), all, err)
	}
}

// Whenever the pack is no longer wanted, there is none, and nothing is reported of it
// any more.
func TestPackCanBeCancelled(t *testing.T) {
	p := tiny(t)
	for _, share := range []int{0, 1, 12, 25, 60, 90} { // of all steps, %
		ctx, end := context.WithCancel(t.Context())
		after := -1 // reports since the end
		files, err := Pack(ctx, p, Options{Progress: func(done, all int, _ string) {
			if done*100 >= share*all {
				end()
				after++
			}
		}})
		if files != nil || !errors.Is(err, context.Canceled) || after != 0 {
			t.Errorf("ended at %d %%: %d files, %d reports after it, %v", share, len(files), after, err)
		}
		end()
	}
	ended, end := context.WithCancel(t.Context())
	end()
	if _, err := One(ended, p, "quote.pdf", Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("a paper nobody wants: %v", err)
	}
}

// Papers that are for everybody name neither the currency nor a sum of the quote; the
// others do.
func TestPricedPapersAreKnown(t *testing.T) {
	p := tiny(t)
	d := &desk.Desk{Plan: p}
	sums := []string{p.Job.Currency, d.Money(p.Quote.Total), d.Money(p.Quote.Asked), d.Money(p.Quote.Working.Labour), d.Money(p.Quote.Working.Cost), "41.37", "83.19"}
	for _, l := range List(p) {
		pages, err := Pages(t.Context(), p, l.Name, Options{})
		if err != nil {
			t.Fatal(err)
		}
		text := papertest.SaidOn(pages...)
		if !l.Pages {
			file, err := One(t.Context(), p, l.Name, Options{})
			if err != nil {
				t.Fatal(err)
			}
			text = string(file.Content)
		}
		found := ""
		for _, sum := range sums {
			if strings.Contains(text, sum) {
				found = sum
			}
		}
		if Priced(l.Name) != (found != "") {
			t.Errorf("%s is priced: %v; it says %q", l.Name, Priced(l.Name), found)
		}
	}
	if !Priced("diary.pdf") {
		t.Error("a paper nobody knows passes for one without prices")
	}
}
