package client

import (
	"slices"
	"strings"
	"testing"

	"scumble/draw"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
	"scumble/unit"
)

// parts of the quote: pages for the client, pages for the contractor.
func quotePages(t *testing.T, d *desk.Desk) (client, working []draw.Page) {
	t.Helper()
	doc, err := Quote(d)
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(doc.Pages, func(p draw.Page) bool { return strings.Contains(papertest.SaidOn(p), "Working behind the quote") })
	if at < 1 {
		t.Fatal("the working has no pages of its own")
	}
	return doc.Pages[:at], doc.Pages[at:]
}

// amounts reads the money at the right edge of the page between two words.
func amounts(t *testing.T, d *desk.Desk, pages []draw.Page, from, to string) (sum unit.Money, count int) {
	t.Helper()
	wide, _ := d.Upright().Size()
	right := wide - 18
	on := false
	for _, p := range pages {
		for _, w := range papertest.WordsOn(p) {
			switch {
			case w.Text == from:
				on = true
			case on && w.Text == to:
				return sum, count
			}
			if end := w.At.X + d.Fonts.Width(w.Text, w.Style); !on || w.Align != draw.Left || end < right-0.1 || end > right+0.1 {
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
		d := papertest.DemoDesk(t, paper)
		client, _ := quotePages(t, d)
		q := d.Plan.Quote
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
	d := papertest.DemoDesk(t, "A4")
	client, working := quotePages(t, d)
	j, q := d.Plan.Job, d.Plan.Quote
	text := papertest.SaidOn(client...)
	papertest.MustSay(t, text, j.Client, j.Contractor, j.Reference, "15 February 2027", "30 April 2027", d.Money(q.Total), d.Money(q.Tax),
		q.Rule.Name, q.Rule.Edition, d.Money(q.Net)+" is likely", d.Money(q.EightInTen)+" is enough eight times in ten",
		"from 1 to 2 m away, in diffuse light", "agreed in writing", "6 boards are in the price", "A demonstration")
	for _, f := range d.Plan.Method.Faces {
		papertest.MustSay(t, text, f.Finish.Name, f.Finish.Ground.Name, f.Finish.Glaze.Name)
	}
	for _, e := range j.Terms.Exclude {
		papertest.MustSay(t, text, e)
	}
	for _, a := range d.Plan.Alternatives {
		papertest.MustSay(t, text, a.Name, d.Money(a.Plan.Quote.Asked))
	}
	for _, inside := range []string{"Overhead", "Margin", d.Money(q.Working.Margin), "Hours and cost"} {
		if strings.Contains(text, papertest.PlainSpaces(inside)) {
			t.Errorf("the client is told %q", inside)
		}
	}
	for i, p := range working {
		if !strings.Contains(papertest.SaidOn(p), "not for the client") {
			t.Errorf("page %d of the working does not say whom it is not for", i+1)
		}
	}
}

// Nobody signs a page that says nothing else.
func TestSignaturesStandWithWhatIsSigned(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.DemoDesk(t, paper)
		for with, make := range map[string]func(*desk.Desk) (draw.Doc, error){"How the work is judged": Quote, "To whoever decorates here next": Handover} {
			doc, err := make(d)
			if err != nil {
				t.Fatal(err)
			}
			signed := 0
			for _, p := range doc.Pages {
				if text := papertest.SaidOn(p); strings.Contains(text, "signature") {
					signed++
					papertest.MustSay(t, text, with)
				}
			}
			if signed != 1 {
				t.Errorf("%s, %s: signed on %d pages", doc.Title, paper, signed)
			}
		}
	}
}

func TestWorkingShowsEveryFaceOnceWithItsOpenings(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	_, working := quotePages(t, d)
	q := d.Plan.Quote
	text := papertest.SaidOn(working...)
	papertest.MustSay(t, text, d.Money(q.Working.Cost), d.Money(q.Working.Overhead), d.Money(q.Working.Margin), d.Money(q.Working.Travel))
	seen := map[string]bool{}
	openings := 0
	for _, l := range q.Lines {
		if !l.Once {
			papertest.MustSay(t, text, l.Work, d.Money(l.Labour), d.Money(l.Material))
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
		for _, w := range papertest.WordsOn(p) {
			if strings.HasPrefix(w.Text, "– ") {
				printed++
			}
		}
	}
	if openings == 0 || printed != openings {
		t.Errorf("%d openings are shown, want %d", printed, openings)
	}
}

func TestWordsOfTheQuote(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{desk.Listed(nil), ""}, {desk.Listed([]string{"A"}), "A"}, {desk.Listed([]string{"A", "B", "C"}), "A, B and C"},
		{desk.WallsListed([]string{"Landing/Long", "Landing/Short, dado"}), "Long; below the dado: Short"},
		{desk.Capital("élan"), "Élan"}, {desk.Capital(""), ""}, {desk.Lowered("Oil glaze"), "oil glaze"}, {desk.Lowered("DIN 18363"), "DIN 18363"}, {desk.Lowered(""), ""},
		{desk.Squared("up to 2.5 m2."), "up to 2.5\u00a0m²."}, {desk.Counted(1, "day", "days"), "1 day"}, {desk.Counted(2, "day", "days"), "2 days"},
		{desk.InOneLine("a", "", "b"), "a, b"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
