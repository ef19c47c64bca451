package draw

import "math"

// Paper is a size and turn of sheet.
type Paper uint8

// The papers documents are set on.
const (
	A4 Paper = iota
	A4Landscape
	Letter
	LetterLandscape
)

// Size is the width and height in mm: ISO 216 A4, and 8.5 by 11 inches.
func (p Paper) Size() (w, h float64) {
	switch p {
	case A4Landscape:
		return 297, 210
	case Letter:
		return 215.9, 279.4
	case LetterLandscape:
		return 279.4, 215.9
	}
	return 210, 297
}

// Margins are the blank edges of a page in mm.
type Margins struct{ Top, Right, Bottom, Left float64 }

// FlowOptions sets up the pages of a Flow.
type FlowOptions struct {
	Paper   Paper
	Margins Margins // all zero: 22 top, 18 right, 20 bottom, 22 left (a binding edge)
	// RTL makes Start mean right, mirrors tables and sets paragraphs right to left.
	RTL bool
	// Header and Footer draw into the top and bottom margin of page n of total.
	// The area is as wide as the body. Either may be nil.
	Header, Footer func(n, total int, area Box) []Item
}

// Flow fills pages from top to bottom. Add things in reading order, then call
// Pages. Spaces vanish at the top of a page and the larger of two neighbouring
// spaces counts.
type Flow struct {
	fonts   *Fonts
	options FlowOptions
	paperW  float64
	paperH  float64
	body    Box
	pieces  []piece
}

// piece is something that is never cut.
type piece struct {
	height   float64
	space    bool    // nothing but distance
	keepNext bool    // stays on the page of the next piece
	newPage  bool    // starts a page
	head     []piece // drawn again above it where it starts a page
	title    string  // bookmark of the page it stands on
	draw     func(Box) []Item
}

// NewFlow starts a document.
func NewFlow(f *Fonts, o FlowOptions) *Flow {
	w, h := o.Paper.Size()
	if o.Margins == (Margins{}) {
		o.Margins = Margins{Top: 22, Right: 18, Bottom: 20, Left: 22}
		if o.RTL {
			o.Margins.Left, o.Margins.Right = o.Margins.Right, o.Margins.Left
		}
	}
	m := o.Margins
	return &Flow{fonts: f, options: o, paperW: w, paperH: h, body: Box{m.Left, m.Top, w - m.Left - m.Right, h - m.Top - m.Bottom}}
}

// NewColumn starts a column of text and tables that is not broken into pages:
// a legend or a note beside a drawing. Place it with Draw.
func NewColumn(f *Fonts, width float64, rtl bool) *Flow {
	return &Flow{fonts: f, options: FlowOptions{RTL: rtl}, body: Box{W: width, H: math.Inf(1)}}
}

// Body is the part of every page that Flow fills; for a column, only its width counts.
func (fl *Flow) Body() Box { return fl.body }

// Space leaves room in mm.
func (fl *Flow) Space(mm float64) {
	if n := len(fl.pieces); n > 0 && fl.pieces[n-1].space {
		fl.pieces[n-1].height = max(mm, fl.pieces[n-1].height)
		return
	}
	keep := len(fl.pieces) > 0 && fl.pieces[len(fl.pieces)-1].keepNext
	fl.pieces = append(fl.pieces, piece{height: mm, space: true, keepNext: keep})
}

// NewPage starts a new page before the next thing.
func (fl *Flow) NewPage() { fl.pieces = append(fl.pieces, piece{space: true, newPage: true}) }

// Block adds something drawn by a function into a box as wide as the body and
// height mm high. It is kept whole; higher than the body it runs into the margin.
func (fl *Flow) Block(height float64, draw func(Box) []Item) {
	fl.pieces = append(fl.pieces, piece{height: height, draw: draw})
}

// Rule draws a level line across the body.
func (fl *Flow) Rule(s Stroke) {
	fl.Block(s.Width, func(b Box) []Item {
		return []Item{Line(b.X, b.Y+b.H/2, b.X+b.W, b.Y+b.H/2, s)}
	})
}

// Heading sets a heading that stays with what follows, and names the page in
// the bookmarks if it is the first on it.
func (fl *Flow) Heading(text string, s Style) {
	fl.Space(s.LineHeight() * 0.9)
	first := len(fl.pieces)
	fl.lines("", text, s, Start, 0)
	for i := first; i < len(fl.pieces); i++ {
		fl.pieces[i].keepNext = true
	}
	fl.pieces[first].title = text
	fl.Space(s.LineHeight() * 0.25)
}

// Paragraph sets text over the width of the body.
func (fl *Flow) Paragraph(text string, s Style) { fl.Aligned(text, s, Start) }

// Aligned sets a paragraph to the left, the middle or the right.
func (fl *Flow) Aligned(text string, s Style, align Align) {
	fl.Space(s.LineHeight() * 0.35)
	fl.lines("", text, s, align, 0)
	fl.Space(s.LineHeight() * 0.35)
}

// Hanging sets a paragraph indented by indent mm with a mark, a number or a
// bullet, in the indent.
func (fl *Flow) Hanging(mark, text string, s Style, indent float64) {
	fl.Space(s.LineHeight() * 0.2)
	fl.lines(mark, text, s, Start, indent)
	fl.Space(s.LineHeight() * 0.2)
}

// lines adds a paragraph line by line. A paragraph of up to three lines stays
// whole; of a longer one neither the first nor the last line stands alone.
func (fl *Flow) lines(mark, text string, s Style, align Align, indent float64) {
	if fl.options.RTL && s.Direction == Auto {
		s.Direction = RightToLeft
	}
	block := fl.fonts.Lines(text, s, fl.body.W-indent)
	n := len(block.Lines)
	for i := range block.Lines {
		line := Block{Lines: block.Lines[i : i+1], style: s}
		p := piece{height: s.LineHeight(), keepNext: i < n-1 && (n <= 3 || i == 0 || i == n-2)}
		var marked Block
		if i == 0 && mark != "" {
			marked = Block{Lines: []TextLine{fl.fonts.Line(mark, s)}, style: s}
		}
		p.draw = func(b Box) []Item {
			x := b.X + indent
			if fl.options.RTL {
				x = b.X
			}
			return append(marked.Draw(b.X, b.Y, b.W, fl.start()), line.Draw(x, b.Y, b.W-indent, align)...)
		}
		fl.pieces = append(fl.pieces, p)
	}
}

// start is the side reading starts from.
func (fl *Flow) start() Align {
	if fl.options.RTL {
		return Right
	}
	return Left
}

// Keep holds everything added by the function together on one page, if it fits
// on one at all.
func (fl *Flow) Keep(add func()) {
	first := len(fl.pieces)
	add()
	for i := first; i < len(fl.pieces)-1; i++ {
		fl.pieces[i].keepNext = true
	}
}

// Height is how high all that was added is when set in one column, in mm.
func (fl *Flow) Height() float64 {
	h := 0.0
	for _, p := range fl.trimmed() {
		h += p.height
	}
	return h
}

// Draw sets everything in one column with its top left corner at (x, y).
func (fl *Flow) Draw(x, y float64) []Item {
	var items []Item
	for _, p := range fl.trimmed() {
		if p.draw != nil {
			items = append(items, p.draw(Box{x, y, fl.body.W, p.height})...)
		}
		y += p.height
	}
	return items
}

// trimmed leaves out the spaces before the first and after the last thing.
func (fl *Flow) trimmed() []piece {
	ps := fl.pieces
	for len(ps) > 0 && ps[0].space {
		ps = ps[1:]
	}
	for len(ps) > 0 && ps[len(ps)-1].space {
		ps = ps[:len(ps)-1]
	}
	return ps
}

// Pages breaks what was added into pages and draws their headers and footers.
func (fl *Flow) Pages() []Page {
	p := paginator{flow: fl, y: fl.body.Y}
	p.newPage()
	for rest := fl.trimmed(); len(rest) > 0; {
		n := chain(rest)
		p.place(rest[:n])
		rest = rest[n:]
	}
	m := fl.options.Margins
	top := Box{fl.body.X, 0, fl.body.W, m.Top}
	bottom := Box{fl.body.X, fl.paperH - m.Bottom, fl.body.W, m.Bottom}
	for i := range p.pages {
		var edge []Item
		if fl.options.Header != nil {
			edge = append(edge, fl.options.Header(i+1, len(p.pages), top)...)
		}
		if fl.options.Footer != nil {
			edge = append(edge, fl.options.Footer(i+1, len(p.pages), bottom)...)
		}
		p.pages[i].Items = append(edge, p.pages[i].Items...)
	}
	return p.pages
}

// chain counts the pieces that must stand on one page with the first.
func chain(ps []piece) int {
	n := 1
	for n < len(ps) && ps[n-1].keepNext && !ps[n].newPage {
		n++
	}
	return n
}

// paginator fills pages one after another.
type paginator struct {
	flow  *Flow
	pages []Page
	y     float64
	fresh bool // nothing stands on the page yet
}

func (p *paginator) newPage() {
	p.pages = append(p.pages, Page{W: p.flow.paperW, H: p.flow.paperH})
	p.y, p.fresh = p.flow.body.Y, true
}

// place puts a chain on this page or the next; one too long for a page is
// taken apart.
func (p *paginator) place(ps []piece) {
	if ps[0].newPage {
		if !p.fresh {
			p.newPage()
		}
		ps = ps[1:]
	}
	if len(ps) == 0 {
		return
	}
	if !p.fits(ps) && !p.fresh {
		whole := heights(ps[firstSolid(ps):]) <= p.flow.body.H
		if whole || len(ps) == 1 || !p.fits(ps[:1]) {
			p.newPage()
		}
	}
	for i := range ps {
		if !p.fresh && !p.fits(ps[i:i+1]) && !ps[i].space {
			p.newPage()
		}
		p.put(ps[i])
	}
}

const sliver = 1e-6 // mm: sums of heights are not exact

func (p *paginator) fits(ps []piece) bool {
	return p.y+heights(ps) <= p.flow.body.Y+p.flow.body.H+sliver
}

// put draws a piece where the page has got to.
func (p *paginator) put(ps piece) {
	if p.fresh && ps.space {
		return
	}
	page := &p.pages[len(p.pages)-1]
	if p.fresh {
		for _, h := range ps.head {
			p.fresh = false
			p.put(h)
		}
	}
	if page.Title == "" {
		page.Title = ps.title
	}
	if ps.draw != nil {
		page.Items = append(page.Items, ps.draw(Box{p.flow.body.X, p.y, p.flow.body.W, ps.height})...)
	}
	p.y += ps.height
	p.fresh = false
}

func heights(ps []piece) float64 {
	h := 0.0
	for _, p := range ps {
		h += p.height
	}
	return h
}

func firstSolid(ps []piece) int {
	for i, p := range ps {
		if !p.space {
			return i
		}
	}
	return len(ps)
}
