package sheets

import (
	"slices"
	"strings"
	"sync"
	"testing"

	"scumble/catalog"
	"scumble/draw"
	"scumble/examples"
	"scumble/job"
	"scumble/plan"
	"scumble/unit"
)

// demoPlan is the plan of the demonstration job, made once for all tests.
var demoPlan = sync.OnceValues(func() (*plan.Plan, error) {
	c, err := catalog.Builtin()
	if err != nil {
		return nil, err
	}
	file, problems := job.Read(examples.BellwetherName, examples.Bellwether)
	if len(problems) == 0 {
		var p *plan.Plan
		if p, problems, err = plan.Run(file.Job, c); err == nil && len(problems) == 0 {
			return p, nil
		}
	}
	for _, p := range problems {
		err = &problemError{p.Path + ": " + p.What}
	}
	return nil, err
})

type problemError struct{ what string }

func (e *problemError) Error() string { return e.what }

// demoFonts are shared by the tests, as by the documents.
var demoFonts = draw.NewFonts()

// demoDesk is a desk with the demonstration job on it.
func demoDesk(t *testing.T, paper string) *desk {
	t.Helper()
	p, err := demoPlan()
	if err != nil {
		t.Fatal(err)
	}
	return &desk{plan: p, fonts: demoFonts, paper: paper}
}

// wordsOn lists the lettering of a page in the order it was drawn, each with its place.
func wordsOn(p draw.Page) []draw.Text { return lettering(p.Items) }

func lettering(items []draw.Item) []draw.Text {
	var out []draw.Text
	for _, item := range items {
		switch it := item.(type) {
		case draw.Text:
			out = append(out, it)
		case draw.Group:
			out = append(out, lettering(it.Items)...)
		}
	}
	return out
}

// saidOn is the lettering of pages as one string, so that sentences broken over
// lines are found.
func saidOn(pages ...draw.Page) string {
	var words []string
	for _, p := range pages {
		for _, w := range wordsOn(p) {
			words = append(words, w.Text)
		}
	}
	return plainSpaces(strings.Join(words, " "))
}

// plainSpaces makes all space single, and none after a hyphen, where lines break.
func plainSpaces(s string) string {
	return strings.ReplaceAll(strings.Join(strings.Fields(s), " "), "- ", "-")
}

func mustSay(t *testing.T, text string, wants ...string) {
	t.Helper()
	for _, want := range wants {
		if !strings.Contains(text, plainSpaces(want)) {
			t.Errorf("%q is not said", want)
		}
	}
}

// parts of the quote: pages for the client, pages for the contractor.
func quotePages(t *testing.T, d *desk) (client, working []draw.Page) {
	t.Helper()
	doc, err := d.quote()
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(doc.Pages, func(p draw.Page) bool { return strings.Contains(saidOn(p), "Working behind the quote") })
	if at < 1 {
		t.Fatal("the working has no pages of its own")
	}
	return doc.Pages[:at], doc.Pages[at:]
}

// amounts reads the money at the right edge of the page between two words.
func amounts(t *testing.T, d *desk, pages []draw.Page, from, to string) (sum unit.Money, count int) {
	t.Helper()
	wide, _ := d.upright().Size()
	right := wide - 18
	on := false
	for _, p := range pages {
		for _, w := range wordsOn(p) {
			switch {
			case w.Text == from:
				on = true
			case on && w.Text == to:
				return sum, count
			}
			if end := w.At.X + d.fonts.Width(w.Text, w.Style); !on || w.Align != draw.Left || end < right-0.1 || end > right+0.1 {
				continue
			}
			m, err := unit.ParseMoney(w.Text, 2)
			if err == nil {
				sum += m
				count++
			}
		}
	}
	t.Fatalf("%q to %q is not on these pages", from, to)
	return 0, 0
}

func TestQuoteLinesPrintedAddUpToThePriceAsked(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := demoDesk(t, paper)
		client, _ := quotePages(t, d)
		q := d.plan.Quote
		sum, count := amounts(t, d, client, "The price, line by line", "Before tax")
		if count != len(q.Lines) || sum != q.Asked {
			t.Errorf("%s: %d lines printed add up to %d, want %d lines and %d", paper, count, sum, len(q.Lines), q.Asked)
		}
		sum, count = amounts(t, d, client, "Payments", "To pay")
		if count != len(q.Stages) || sum != q.Total {
			t.Errorf("%s: %d payments printed add up to %d, want %d", paper, count, sum, q.Total)
		}
		if q.Asked+q.Tax != q.Total {
			t.Errorf("%d and %d tax are not %d", q.Asked, q.Tax, q.Total)
		}
	}
}

func TestQuoteTellsTheClientWhatItRestsOn(t *testing.T) {
	d := demoDesk(t, "A4")
	client, working := quotePages(t, d)
	j, q := d.plan.Job, d.plan.Quote
	text := saidOn(client...)
	mustSay(t, text, j.Client, j.Contractor, j.Reference, "15 February 2027", "30 April 2027", d.money(q.Total), d.money(q.Tax),
		q.Rule.Name, q.Rule.Edition, d.money(q.Net)+" is likely", d.money(q.EightInTen)+" is enough eight times in ten",
		"from 1 to 2 m away, in diffuse light", "agreed in writing", "6 boards are in the price", "A demonstration")
	for _, f := range d.plan.Method.Faces {
		mustSay(t, text, f.Finish.Name, f.Finish.Ground.Name, f.Finish.Glaze.Name)
	}
	for _, e := range j.Terms.Exclude {
		mustSay(t, text, e)
	}
	for _, a := range d.plan.Alternatives {
		mustSay(t, text, a.Name, d.money(a.Plan.Quote.Asked))
	}
	for _, inside := range []string{"Overhead", "Margin", d.money(q.Working.Margin), "Hours and cost"} {
		if strings.Contains(text, plainSpaces(inside)) {
			t.Errorf("the client is told %q", inside)
		}
	}
	for i, p := range working {
		if !strings.Contains(saidOn(p), "not for the client") {
			t.Errorf("page %d of the working does not say whom it is not for", i+1)
		}
	}
}

func TestWorkingShowsEveryFaceOnceWithItsOpenings(t *testing.T) {
	d := demoDesk(t, "A4")
	_, working := quotePages(t, d)
	q := d.plan.Quote
	text := saidOn(working...)
	mustSay(t, text, d.money(q.Working.Cost), d.money(q.Working.Overhead), d.money(q.Working.Margin), d.money(q.Working.Travel))
	seen := map[string]bool{}
	openings := 0
	for _, l := range q.Lines {
		if !l.Once {
			mustSay(t, text, l.Work, d.money(l.Labour), d.money(l.Material))
		}
		for _, m := range l.Measured {
			if !seen[m.Face] {
				openings += len(m.Deducted)
			}
			seen[m.Face] = true
		}
	}
	printed := 0
	for _, p := range working {
		for _, w := range wordsOn(p) {
			if strings.HasPrefix(w.Text, "– ") {
				printed++
			}
		}
	}
	if openings == 0 || printed != openings {
		t.Errorf("%d openings are shown, want %d", printed, openings)
	}
}

func TestQuoteStaysOnThePaper(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := demoDesk(t, paper)
		for _, make := range []func(*desk) (draw.Doc, error){(*desk).quote, (*desk).buying, (*desk).mixes, (*desk).handover} {
			doc, err := make(d)
			if err != nil {
				t.Fatal(err)
			}
			for i, p := range doc.Pages {
				for _, w := range wordsOn(p) {
					end := w.At.X
					if w.Align == draw.Left && w.Rotate == 0 {
						end += d.fonts.Width(w.Text, w.Style)
					}
					if w.At.X < 0 || end > p.W-5 || w.At.Y < 0 || w.At.Y > p.H-3 {
						t.Errorf("%s, %s, page %d: %q runs off the paper", doc.Title, paper, i+1, w.Text)
					}
				}
			}
		}
	}
}

func TestWordsOfTheQuote(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{listed(nil), ""}, {listed([]string{"A"}), "A"}, {listed([]string{"A", "B", "C"}), "A, B and C"},
		{wallsListed([]string{"Landing/Long", "Landing/Short, dado"}), "Long; below the dado: Short"},
		{capital("élan"), "Élan"}, {capital(""), ""}, {lowered("Oil glaze"), "oil glaze"}, {lowered("DIN 18363"), "DIN 18363"}, {lowered(""), ""},
		{squared("up to 2.5 m2."), "up to 2.5\u00a0m²."}, {counted(1, "day", "days"), "1 day"}, {counted(2, "day", "days"), "2 days"},
		{inOneLine("a", "", "b"), "a, b"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
