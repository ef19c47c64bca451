package drafting

import "scumble/draw"

// Fact is a name and what stands for it.
type Fact struct{ Name, Value string }

// AddFacts sets names and values side by side, names in grey. name is the width
// of the column of names in mm.
func AddFacts(fl *draw.Flow, name float64, facts ...Fact) {
	t := draw.Table{
		Columns: []draw.Column{{Width: name}, {Flex: 1}},
		Style:   Small(), NoHead: true, Pad: 0.6, RowRule: draw.Ink(RuleWidth, Pale),
	}
	for _, f := range facts {
		if f.Value != "" {
			t.Rows = append(t.Rows, draw.Row{Cells: []draw.Cell{{Text: f.Name, Colour: Grey}, {Text: f.Value}}})
		}
	}
	if len(t.Rows) > 0 {
		fl.Table(t)
	}
}

// AddNarrowFacts sets facts in a narrow column: each value with its name in grey
// beneath it.
func AddNarrowFacts(fl *draw.Flow, facts ...Fact) {
	t := draw.Table{
		Columns: []draw.Column{{Flex: 1}},
		Style:   Small().Sized(8), NoHead: true, Pad: 0.6, RowRule: draw.Ink(RuleWidth, Pale),
	}
	for _, f := range facts {
		if f.Value != "" {
			t.Rows = append(t.Rows, draw.Row{Cells: []draw.Cell{{Text: f.Value, Note: f.Name}}})
		}
	}
	if len(t.Rows) > 0 {
		fl.Table(t)
	}
}

// Table is a table in the house style: an edge under the head, pale rules between
// rows, the floor line above a sum.
func Table(columns []draw.Column, rows ...draw.Row) draw.Table {
	return draw.Table{
		Columns: columns, Rows: rows, Style: Small(),
		HeadRule: Edge(), RowRule: draw.Ink(RuleWidth, 0xabb0b4ff), SumRule: Floor(),
	}
}

// Words is a column of words that takes its share of the width.
func Words(title string, flex float64) draw.Column { return draw.Column{Title: title, Flex: flex} }

// Figures is a column of figures, right-aligned, with its unit in the head.
func Figures(title, unit string) draw.Column {
	return draw.Column{Title: title, Unit: unit, Align: draw.Right}
}

// Row is a plain row of cells.
func Row(cells ...string) draw.Row { return draw.Row{Cells: draw.Cells(cells...)} }

// GroupRow heads the rows that follow.
func GroupRow(title string) draw.Row {
	return draw.Row{Kind: draw.GroupRow, Cells: draw.Cells(title)}
}

// SumRow stands under the floor line.
func SumRow(cells ...string) draw.Row {
	return draw.Row{Kind: draw.SumRow, Cells: draw.Cells(cells...)}
}

// Side is one column of AddSides: its width in mm (0 shares what is left) and
// what fills it.
type Side struct {
	Width float64
	Fill  func(*draw.Flow)
}

// AddSides sets columns side by side, gap mm apart, kept whole on one page.
func AddSides(f *draw.Fonts, fl *draw.Flow, gap float64, sides ...Side) {
	room := fl.Body().W - gap*float64(len(sides)-1)
	free := 0.0
	for _, s := range sides {
		if room -= s.Width; s.Width == 0 {
			free++
		}
	}
	columns := make([]*draw.Flow, len(sides))
	height := 0.0
	for i, s := range sides {
		w := s.Width
		if w == 0 {
			w = room / free
		}
		columns[i] = draw.NewColumn(f, w, false)
		s.Fill(columns[i])
		height = max(height, columns[i].Height())
	}
	fl.Block(height, func(b draw.Box) []draw.Item {
		var items []draw.Item
		x := b.X
		for _, c := range columns {
			items = append(items, c.Draw(x, b.Y)...)
			x += c.Body().W + gap
		}
		return items
	})
}
