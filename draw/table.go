package draw

import (
	"math"
	"slices"
)

// Column describes one column of a Table.
type Column struct {
	// Title heads the column; Unit stands beneath it in regular grey, so that
	// the figures need none.
	Title, Unit string
	// Width is fixed, in mm. Otherwise a column with Flex takes that share of
	// what is left, and one without is as wide as its longest cell.
	Width, Flex float64
	// Align is Start for words and Right for figures (all digits are equally wide).
	Align Align
}

// RowKind says what part a row plays.
type RowKind uint8

// A plain row; a heading over the rows that follow, never left alone at the foot
// of a page; a sum under a heavy rule, never without the row before it.
const (
	PlainRow RowKind = iota
	GroupRow
	SumRow
)

// Cell is one field of a table.
type Cell struct {
	Text string
	// Note stands beneath the text, smaller and grey.
	Note   string
	Bold   bool
	Colour Colour
	// Align, unless Start, goes before that of the column.
	Align Align
	// Span is the number of columns covered; zero means one.
	Span int
	// Draw, if set, paints a picture at least Height mm high above the text.
	Draw   func(Box) []Item
	Height float64
}

// Cells makes plain cells of strings.
func Cells(texts ...string) []Cell {
	cells := make([]Cell, len(texts))
	for i, t := range texts {
		cells[i].Text = t
	}
	return cells
}

// Row is one row of a table.
type Row struct {
	Kind  RowKind
	Cells []Cell
}

// Table is set over the width of the body. Its head is repeated on every page.
type Table struct {
	Columns []Column
	Rows    []Row
	// Style is that of the cells; its zero Size means 8.5 points.
	Style Style
	// Gap is the room between columns (zero: 4 mm), Pad that above and below
	// the text of a row (zero: 1 mm).
	Gap, Pad float64
	// The rules under the head, between rows and above a sum; a zero width
	// takes 0.35 mm black, 0.1 mm grey and 0.7 mm black.
	HeadRule, RowRule, SumRule Stroke
	// NoHead leaves out the column titles.
	NoHead bool
}

const (
	noteShare          = 0.86       // size of a note beside its text
	quietInk    Colour = 0x5c5c5cff // 6.7 : 1 on white
	ruleGrey    Colour = 0xb0b0b0ff
	minColumnMM        = 4.0
)

// withDefaults fills in what was left zero.
func (t Table) withDefaults() Table {
	if !(t.Style.Size > 0) {
		t.Style.Size = 8.5
	}
	if !(t.Gap > 0) {
		t.Gap = 4
	}
	if !(t.Pad > 0) {
		t.Pad = 1
	}
	for _, r := range []struct {
		rule *Stroke
		or   Stroke
	}{{&t.HeadRule, Ink(0.35, Black)}, {&t.RowRule, Ink(0.1, ruleGrey)}, {&t.SumRule, Ink(0.7, Black)}} {
		if !(r.rule.Width > 0) {
			*r.rule = r.or
		}
	}
	return t
}

// tableLayout is a table whose column places are known.
type tableLayout struct {
	Table
	flow *Flow
	x, w []float64 // of each column, from the left of the body
	all  float64   // width of the whole table
	left float64   // of the whole table
}

// Table adds a table, with a little space above and below.
func (fl *Flow) Table(t Table) {
	if len(t.Columns) == 0 {
		return
	}
	l := tableLayout{Table: t.withDefaults(), flow: fl}
	l.placeColumns()
	apart := l.Style.LineHeight() * 0.5
	fl.Space(apart)
	defer fl.Space(apart)
	var head []piece
	if !t.NoHead {
		head = []piece{l.headPiece()}
		fl.pieces = append(fl.pieces, head...)
	}
	room := fl.body.H - heights(head)
	for i, row := range t.Rows {
		next := PlainRow
		if i+1 < len(t.Rows) {
			next = t.Rows[i+1].Kind
		}
		for _, p := range l.rowPieces(row, next, room) {
			p.head = head
			p.keepNext = p.keepNext || row.Kind == GroupRow && i+1 < len(t.Rows) || next == SumRow
			fl.pieces = append(fl.pieces, p)
		}
	}
}

// placeColumns shares out the width of the body.
func (l *tableLayout) placeColumns() {
	n := len(l.Columns)
	room := max(l.flow.body.W-l.Gap*float64(n-1), minColumnMM*float64(n))
	l.w = make([]float64, n)
	flex, used := 0.0, 0.0
	for i, c := range l.Columns {
		switch {
		case c.Width > 0:
			l.w[i] = c.Width
		case c.Flex > 0:
			flex += c.Flex
		default:
			l.w[i] = l.natural(i)
		}
		used += l.w[i]
	}
	for i, c := range l.Columns {
		if c.Width <= 0 && c.Flex > 0 {
			l.w[i] = max((room-used)*c.Flex/flex, minColumnMM)
		}
	}
	if total := sum(l.w); total > room { // too much asked for: everybody gives
		for i := range l.w {
			l.w[i] *= room / total
		}
	}
	l.all = sum(l.w) + l.Gap*float64(n-1)
	if l.flow.options.RTL {
		l.left = l.flow.body.W - l.all
	}
	l.x = make([]float64, n)
	at := 0.0
	for i, w := range l.w {
		l.x[i] = l.left + at
		if l.flow.options.RTL {
			l.x[i] = l.left + l.all - at - w
		}
		at += w + l.Gap
	}
}

func sum(xs []float64) float64 {
	s := 0.0
	for _, x := range xs {
		s += x
	}
	return s
}

// natural is the width of the longest thing in a column.
func (l *tableLayout) natural(column int) float64 {
	f, c := l.flow.fonts, l.Columns[column]
	w := minColumnMM
	if !l.NoHead {
		w = max(w, f.Width(c.Title, l.headStyle()), f.Width(c.Unit, l.unitStyle()))
	}
	for _, row := range l.Rows {
		at := 0
		for _, cell := range row.Cells {
			span := max(1, cell.Span)
			if at == column && span == 1 && row.Kind != GroupRow {
				w = max(w, f.Lines(cell.Text, l.cellStyle(row, cell), math.Inf(1)).Width,
					f.Lines(cell.Note, l.noteStyle(), math.Inf(1)).Width)
			}
			at += span
		}
	}
	return w + 0.01 // so that rounding does not break the longest line
}

func (l *tableLayout) headStyle() Style { return l.Style.InBold().Sized(l.Style.Size * noteShare) }

func (l *tableLayout) unitStyle() Style {
	return l.Style.Sized(l.Style.Size * noteShare).Coloured(quietInk)
}

func (l *tableLayout) noteStyle() Style { return l.unitStyle() }

func (l *tableLayout) cellStyle(row Row, c Cell) Style {
	s := l.Style
	s.Bold = s.Bold || c.Bold || row.Kind != PlainRow
	if c.Colour.visible() {
		s.Colour = c.Colour
	}
	return s
}

// align resolves Start by the side the document reads from.
func (l *tableLayout) align(column int) Align {
	if a := l.Columns[column].Align; a != Start {
		return a
	}
	return l.flow.start()
}

// headPiece is the row of column titles, standing on its rule.
func (l *tableLayout) headPiece() piece {
	blocks := make([][2]Block, len(l.Columns))
	height := 0.0
	for i, c := range l.Columns {
		if c.Title != "" {
			blocks[i][0] = l.flow.fonts.Lines(c.Title, l.headStyle(), l.w[i])
		}
		if c.Unit != "" {
			blocks[i][1] = l.flow.fonts.Lines(c.Unit, l.unitStyle(), l.w[i])
		}
		height = max(height, blocks[i][0].Height+blocks[i][1].Height)
	}
	height += l.Pad
	return piece{height: height + l.HeadRule.Width/2, keepNext: true, draw: func(b Box) []Item {
		items := []Item{l.rule(b, b.Y+height, l.HeadRule)}
		for i, pair := range blocks {
			y := b.Y + height - l.Pad/2 - pair[0].Height - pair[1].Height
			items = append(items, pair[0].Draw(b.X+l.x[i], y, l.w[i], l.align(i))...)
			items = append(items, pair[1].Draw(b.X+l.x[i], y+pair[0].Height, l.w[i], l.align(i))...)
		}
		return items
	}}
}

func (l *tableLayout) rule(b Box, y float64, s Stroke) Path {
	return Line(b.X+l.left, y, b.X+l.left+l.all, y, s)
}

// field is a laid out cell.
type field struct {
	cell       Cell
	x, w       float64
	align      Align
	text, note Block
}

func (d field) height() float64 { return d.cell.Height + d.text.Height + d.note.Height }

func (d field) draw(b Box) []Item {
	x, y := b.X+d.x, b.Y
	var items []Item
	if d.cell.Draw != nil {
		h := d.cell.Height
		if len(d.text.Lines)+len(d.note.Lines) == 0 {
			h = b.H
		}
		items = d.cell.Draw(Box{x, y, d.w, h})
	}
	y += d.cell.Height
	items = append(items, d.text.Draw(x, y, d.w, d.align)...)
	return append(items, d.note.Draw(x, y+d.text.Height, d.w, d.align)...)
}

// fields lays out the cells of a row.
func (l *tableLayout) fields(row Row) []field {
	var out []field
	at := 0
	for _, c := range row.Cells {
		if at >= len(l.Columns) {
			break
		}
		span, align := min(max(1, c.Span), len(l.Columns)-at), l.align(at)
		if row.Kind == GroupRow && len(row.Cells) == 1 {
			span = len(l.Columns)
		}
		if c.Align != Start {
			align = c.Align
		}
		last := at + span - 1
		d := field{cell: c, x: min(l.x[at], l.x[last]), align: align}
		d.w = max(l.x[at]+l.w[at], l.x[last]+l.w[last]) - d.x
		if c.Text != "" || c.Draw == nil {
			d.text = l.flow.fonts.Lines(c.Text, l.cellStyle(row, c), d.w)
		}
		if c.Note != "" {
			d.note = l.flow.fonts.Lines(c.Note, l.noteStyle(), d.w)
		}
		out = append(out, d)
		at += span
	}
	return out
}

// rowPieces is the row as one piece, or, where it is higher than a page, as
// several that share its lines.
func (l *tableLayout) rowPieces(row Row, next RowKind, room float64) []piece {
	fields := l.fields(row)
	height := 0.0
	for _, d := range fields {
		height = max(height, d.height())
	}
	above, below := l.Pad, l.Pad
	switch row.Kind {
	case GroupRow:
		above += 1.5 * l.Pad
	case SumRow:
		above += l.SumRule.Width
	}
	if above+height+below <= room {
		return []piece{l.rowPiece(row.Kind, next, fields, above, height, below)}
	}
	perPage := max(1, int((room-above-below)/l.Style.LineHeight()))
	var out []piece
	for first := true; ; first = false {
		part, rest, h := cut(fields, perPage)
		more := slices.ContainsFunc(rest, func(d field) bool { return len(d.text.Lines)+len(d.note.Lines) > 0 })
		if !more {
			return append(out, l.rowPiece(PlainRow, next, part, above, h, below))
		}
		kind := PlainRow
		if first {
			kind = row.Kind
		}
		out = append(out, l.rowPiece(kind, SumRow, part, above, h, below))
		fields = rest
	}
}

// rowPiece draws fields and the rules that belong to them: a heavy one above a
// sum, a light one beneath any row that no sum follows.
func (l *tableLayout) rowPiece(kind, next RowKind, fields []field, above, height, below float64) piece {
	return piece{height: above + height + below, draw: func(b Box) []Item {
		var items []Item
		if kind == SumRow {
			items = append(items, l.rule(b, b.Y+l.SumRule.Width/2, l.SumRule))
		} else if next != SumRow {
			items = append(items, l.rule(b, b.Y+b.H, l.RowRule))
		}
		for _, d := range fields {
			items = append(items, d.draw(Box{b.X, b.Y + above, b.W, height})...)
		}
		return items
	}}
}

// cut takes the first n lines off every field.
func cut(fields []field, n int) (part, rest []field, height float64) {
	for _, d := range fields {
		p, r := d, d
		p.text, r.text = d.text.cut(n)
		p.note, r.note = d.note.cut(n - len(p.text.Lines))
		r.cell.Draw, r.cell.Height = nil, 0
		part, rest = append(part, p), append(rest, r)
		height = max(height, p.height())
	}
	return part, rest, height
}

// cut divides the block after n lines.
func (b Block) cut(n int) (head, tail Block) {
	n = min(max(n, 0), len(b.Lines))
	head, tail = b, b
	head.Lines, tail.Lines = b.Lines[:n], b.Lines[n:]
	head.Height = float64(n) * b.style.LineHeight()
	tail.Height = float64(len(tail.Lines)) * b.style.LineHeight()
	return head, tail
}
