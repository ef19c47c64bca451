package drafting

import (
	"strconv"

	"scumble/draw"
)

// Sheet is what every page of a document says about itself.
type Sheet struct {
	Job, Place string
	Document   string // "Setting out"
	Contractor string
	Reference  string
	Date       string // as printed
	Lang       string // BCP 47; "" = "en"
	Demo       bool   // place, people and prices are invented, and the page says so
}

// Margins are those of every page, in mm; the left one leaves room to bind. A
// turned sheet keeps less above and below, for the drawing.
func Margins(paper draw.Paper) draw.Margins {
	if paper == draw.A4Landscape || paper == draw.LetterLandscape {
		return draw.Margins{Top: 17, Right: 16, Bottom: 14, Left: 20}
	}
	return draw.Margins{Top: 21, Right: 18, Bottom: 18, Left: 22}
}

// Book gathers the parts of a document and numbers its pages through. Each part
// starts a page and may lie on another turn of sheet.
type Book struct {
	fonts *draw.Fonts
	sheet Sheet
	parts []part
}

type part struct {
	where string
	paper draw.Paper
	flow  *draw.Flow
}

// NewBook starts a document.
func NewBook(f *draw.Fonts, s Sheet) *Book { return &Book{fonts: f, sheet: s} }

// Part starts a new part on a fresh page and returns the flow that fills it.
// where is said in the header of its pages, for example "Breakfast room, North";
// it may be empty.
func (b *Book) Part(where string, paper draw.Paper) *draw.Flow {
	flow := draw.NewFlow(b.fonts, draw.FlowOptions{Paper: paper, Margins: Margins(paper)})
	b.parts = append(b.parts, part{where, paper, flow})
	return flow
}

// PageBody is the part of a page that a flow on this paper fills.
func PageBody(paper draw.Paper) draw.Box {
	w, h := paper.Size()
	m := Margins(paper)
	return draw.Box{X: m.Left, Y: m.Top, W: w - m.Left - m.Right, H: h - m.Top - m.Bottom}
}

// Doc breaks all parts into pages and draws headers and footers. subject is kept
// in the document's properties.
func (b *Book) Doc(subject string) draw.Doc {
	s := b.sheet
	if s.Lang == "" {
		s.Lang = "en"
	}
	doc := draw.Doc{Title: s.Document + ": " + s.Job, Subject: subject, Author: s.Contractor, Lang: s.Lang}
	var of []part
	for _, p := range b.parts {
		for _, page := range p.flow.Pages() {
			doc.Pages = append(doc.Pages, page)
			of = append(of, p)
		}
	}
	for i := range doc.Pages {
		edge := append(b.header(of[i]), b.footer(of[i], i+1, len(doc.Pages))...)
		doc.Pages[i].Items = append(edge, doc.Pages[i].Items...)
	}
	return doc
}

// header says which job, which paper and which wall, above a fine line.
func (b *Book) header(p part) []draw.Item {
	body := PageBody(p.paper)
	base := body.Y - 6.2
	bold, plain := Small().InBold(), Small().Coloured(Grey)
	items := []draw.Item{draw.Line(body.X, base+2, body.X+body.W, base+2, draw.Ink(FineWidth, Line))}
	right := b.sheet.Document
	if p.where != "" {
		right += ":"
		end := body.X + body.W - b.fonts.Width(p.where, bold)
		items = append(items, draw.Label(body.X+body.W, base, p.where, bold, draw.Right),
			draw.Label(end-1.2, base, right, plain, draw.Right))
	} else {
		items = append(items, draw.Label(body.X+body.W, base, right, bold, draw.Right))
	}
	items = append(items, draw.Label(body.X, base, b.sheet.Job, bold, draw.Left))
	return append(items, draw.Label(body.X+b.fonts.Width(b.sheet.Job, bold)+2, base, b.sheet.Place, plain, draw.Left))
}

// footer says who made the paper, when, and which page of how many it is.
func (b *Book) footer(p part, n, total int) []draw.Item {
	body := PageBody(p.paper)
	base := body.Y + body.H + 6.5
	said := joined(b.sheet.Contractor, b.sheet.Reference, b.sheet.Date)
	const invented = "Demonstration: place, people and prices are invented."
	turned := body.W > body.H
	if b.sheet.Demo && turned { // wide enough for one line, too low for two
		said += ". " + invented
	}
	page := "page " + strconv.Itoa(n) + " of " + strconv.Itoa(total)
	items := []draw.Item{
		draw.Label(body.X, base, said, Note(), draw.Left),
		draw.Label(body.X+body.W, base, page, Note().Coloured(Ink), draw.Right),
		draw.Label(body.X+body.W-b.fonts.Width(page, Note())-4, base, "scumble", Note(), draw.Right),
	}
	if b.sheet.Demo && !turned {
		items = append(items, draw.Label(body.X, base+3.6, invented, Note(), draw.Left))
	}
	return items
}

// joined puts what is not empty into one line.
func joined(parts ...string) string {
	line := ""
	for _, p := range parts {
		if p != "" && line != "" {
			line += ", "
		}
		line += p
	}
	return line
}

// AddTitle sets the title block of a page: the title, and beneath it a sentence
// that says what it is; either may be empty.
func AddTitle(fl *draw.Flow, title, said string) {
	if title != "" {
		fl.Heading(title, Title())
	}
	if said != "" {
		fl.Paragraph(said, Lead().Coloured(Grey).Sized(10.5))
	}
	fl.Space(3)
}

// AddTitleLine sets the title of a page with what it says beside it on one line,
// or beneath it where the line is too short.
func AddTitleLine(f *draw.Fonts, fl *draw.Flow, title, said string) {
	beside := Lead().Coloured(Grey).Sized(10.5)
	at := f.Width(title, Title()) + 5
	if at+f.Width(said, beside) > fl.Body().W {
		AddTitle(fl, title, said)
		return
	}
	fl.Heading(title, Title())
	line := f.Lines(title, Title(), fl.Body().W)
	up := line.Height - line.Baseline() + Title().LineHeight()*0.25 // Heading leaves a quarter line
	fl.Block(0, func(b draw.Box) []draw.Item {
		return []draw.Item{draw.Label(b.X+at, b.Y-up, said, beside, draw.Left)}
	})
	fl.Space(3)
}

// AddHead sets the heading of a part of a page.
func AddHead(fl *draw.Flow, text string) { fl.Heading(text, Head()) }

// AddBody sets a paragraph of running text.
func AddBody(fl *draw.Flow, text string) { fl.Paragraph(text, Body()) }

// AddNote sets a paragraph of small grey text.
func AddNote(fl *draw.Flow, text string) { fl.Paragraph(text, Note()) }

// AddRule sets the floor line across the body.
func AddRule(fl *draw.Flow) { fl.Rule(Floor()) }
