package drafting

import "scumble/draw"

// Shape is how urgent a notice is: told by its outline, never by colour alone.
type Shape uint8

// The three notices: worth knowing; wrong, where and what to do; nobody goes on
// until it is checked.
const (
	NoteShape Shape = iota
	CautionShape
	HoldShape
)

// ShapeNamed reads "note", "caution" or "hold"; anything else is a note.
func ShapeNamed(name string) Shape {
	switch name {
	case "caution":
		return CautionShape
	case "hold":
		return HoldShape
	}
	return NoteShape
}

// Notice is one notice.
type Notice struct {
	Shape  Shape
	Title  string // a short claim, bold
	Text   string
	Defers string // whose word comes first, for example the product's own sheet
	Source string // where it was read, or that it is common practice
}

// AddNotice sets a notice across the flow, kept whole. A hold is a filled block,
// a caution stands in an oxide frame, a note in a fine one.
func AddNotice(f *draw.Fonts, fl *draw.Flow, n Notice) {
	const pad, mark = 2.4, 6.2
	words, grey, frame, fill := Ink, Grey, draw.Ink(FineWidth, Line), draw.Colour(0)
	switch n.Shape {
	case CautionShape:
		frame = draw.Ink(EdgeWidth, Oxide)
	case HoldShape:
		words, grey, frame, fill = Paper, 0xd8dadbff, draw.Ink(EdgeWidth, Ink), Ink
	}
	column := draw.NewColumn(f, fl.Body().W-2*pad-mark-2.6, false)
	tight := func(text string, s draw.Style) {
		if text != "" {
			column.Paragraph(text, s)
		}
	}
	tight(n.Title, Body().InBold().Coloured(words))
	tight(n.Text, Body().Coloured(words))
	tight(n.Defers, Small().Coloured(words))
	tight(n.Source, Note().Coloured(grey))
	height := max(column.Height(), mark) + 2*pad
	fl.Space(2)
	fl.Block(height, func(b draw.Box) []draw.Item {
		items := []draw.Item{draw.Rect(b.X, b.Y, b.W, b.H).Filled(fill).Stroked(frame)}
		items = append(items, n.Shape.mark(b.X+pad+mark/2, b.Y+pad+mark/2, mark, n.Shape == HoldShape)...)
		return append(items, column.Draw(b.X+pad+mark+2.6, b.Y+pad)...)
	})
	fl.Space(2)
}

// Mark draws the sign of a notice, size mm across, about (x, y), for margins,
// tables and drawings.
func (s Shape) Mark(x, y, size float64) []draw.Item { return s.mark(x, y, size, false) }

func (s Shape) mark(x, y, size float64, onInk bool) []draw.Item {
	r := size / 2
	letter := draw.Style{Size: size * 1.75, Bold: true, Colour: Paper}
	switch s {
	case CautionShape:
		p := draw.Polygon([]draw.Point{draw.Pt(x, y-r), draw.Pt(x+r*1.1, y+r*0.85), draw.Pt(x-r*1.1, y+r*0.85)}).Filled(Oxide)
		return []draw.Item{p,
			draw.Line(x, y-r*0.35, x, y+r*0.25, draw.Ink(size*0.12, Paper)),
			draw.Circle(x, y+r*0.52, size*0.07).Filled(Paper)}
	case HoldShape:
		fill, bar := Ink, Paper
		if onInk {
			fill, bar = Paper, Ink
		}
		return []draw.Item{octagon(x, y, r).Filled(fill), draw.Line(x-r*0.5, y, x+r*0.5, y, draw.Ink(size*0.16, bar))}
	}
	letter.Colour = Ink
	return []draw.Item{draw.Circle(x, y, r-0.1).Stroked(draw.Ink(0.25, Ink)),
		draw.Label(x, y+letter.CapHeight()/2, "i", letter, draw.Centre)}
}

func octagon(x, y, r float64) draw.Path {
	c := 0.4142 * r // tan 22.5 degrees
	return draw.Polygon([]draw.Point{
		draw.Pt(x-c, y-r), draw.Pt(x+c, y-r), draw.Pt(x+r, y-c), draw.Pt(x+r, y+c),
		draw.Pt(x+c, y+r), draw.Pt(x-c, y+r), draw.Pt(x-r, y+c), draw.Pt(x-r, y-c)})
}
