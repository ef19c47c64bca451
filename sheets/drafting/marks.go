package drafting

import "scumble/draw"

// PlumbBob draws the line from top to bottom with its bob on the end: here, now,
// the one in use. One a drawing.
func PlumbBob(x, top, bottom float64) []draw.Item {
	bob := draw.Polygon([]draw.Point{
		draw.Pt(x-1.3, bottom-3.4), draw.Pt(x+1.3, bottom-3.4), draw.Pt(x+1.3, bottom-1.7), draw.Pt(x, bottom), draw.Pt(x-1.3, bottom-1.7)})
	return []draw.Item{draw.Line(x, top, x, bottom-3, Plumb()), bob.Filled(Blue)}
}

// Datum is the dot all marks of a wall are measured from.
func Datum(x, y float64) draw.Item { return draw.Circle(x, y, 1).Filled(Blue) }

// BreakMark is the zigzag that says a line is drawn shorter than it is, half
// high mm above and below y.
func BreakMark(x, y, high float64) draw.Item {
	h := high / 2
	return draw.Polyline([]draw.Point{draw.Pt(x, y-h), draw.Pt(x, y-h/3), draw.Pt(x-h/2, y), draw.Pt(x+h/2, y), draw.Pt(x, y+h/3), draw.Pt(x, y+h)}, Fine())
}

// Chip shows colours of a finish side by side in a thin frame.
func Chip(b draw.Box, colours ...draw.Colour) []draw.Item {
	var items []draw.Item
	for i, c := range colours {
		w := b.W / float64(len(colours))
		items = append(items, draw.Rect(b.X+float64(i)*w, b.Y, w, b.H).Filled(c))
	}
	return append(items, draw.Rect(b.X, b.Y, b.W, b.H).Stroked(Fine()))
}

// Slanted is a bar whose ends are ranges: its foot runs from the earliest start
// to the earliest end, its head from the latest start to the latest end.
func Slanted(footFrom, footTo, headFrom, headTo, top, bottom float64) draw.Outline {
	return draw.Polygon([]draw.Point{
		draw.Pt(footFrom, bottom), draw.Pt(footTo, bottom), draw.Pt(headTo, top), draw.Pt(headFrom, top)}).Outline
}

// Hatch is what a piece of time or wall is in.
type Hatch uint8

// The hatches: a window that is open is blank, drying an open hatch, wet a dense
// one, spoilt crossed.
const (
	Blank Hatch = iota
	Drying
	Wet
	Spoilt
)

// Fill hatches a region and draws its edge.
func (h Hatch) Fill(region draw.Outline) []draw.Item {
	line := draw.Ink(0.15, Ink)
	items := []draw.Item{draw.Path{Outline: region, Fill: Paper}}
	switch h {
	case Drying:
		items = append(items, draw.Hatch(region, 1.5, 45, line))
	case Wet:
		items = append(items, draw.Hatch(region, 0.7, 45, line))
	case Spoilt:
		items = append(items, draw.Hatch(region, 1.3, 45, line), draw.Hatch(region, 1.3, 135, line))
	}
	return append(items, draw.Path{Outline: region, Stroke: draw.Ink(FineWidth, Ink)})
}

// Work is a bar of work: outlined, filled with a colour of the job or with paper.
func Work(region draw.Outline, fill draw.Colour) draw.Item {
	if fill == 0 {
		fill = Paper
	}
	return draw.Path{Outline: region, Fill: fill, Stroke: draw.Ink(0.3, Ink)}
}

// Night is a band of hours in which nobody works: a wash with a solid bar on top.
func Night(b draw.Box) []draw.Item {
	return []draw.Item{
		draw.Rect(b.X, b.Y, b.W, b.H).Filled(Wash),
		draw.Rect(b.X, b.Y, b.W, 0.9).Filled(Line)}
}

// Window is the bracket under which the next coat must fall.
func Window(from, to, y float64) draw.Item {
	return draw.Polyline([]draw.Point{draw.Pt(from, y-1.1), draw.Pt(from, y), draw.Pt(to, y), draw.Pt(to, y-1.1)}, draw.Ink(0.3, Ink))
}

// State is how far a wall has come.
type State uint8

// The states in order; StateLook marks any of them for attention.
const (
	StateMeasured State = iota
	StateChosen
	StateSetOut
	StateInWork
	StateDrying
	StateDone
	StateLook
)

// Mark draws the sign of a state in a box 3.4 mm wide and 2.4 high with its top
// left corner at (x, y).
func (s State) Mark(x, y float64) []draw.Item {
	const w, h = 3.4, 2.4
	box, edge := draw.Rect(x, y, w, h), draw.Ink(0.25, Ink)
	switch s {
	case StateChosen:
		return []draw.Item{box.Stroked(edge.Dashed(0.6, 0.4)), draw.Rect(x+w/2-0.45, y+h/2-0.45, 0.9, 0.9).Filled(Ink)}
	case StateSetOut:
		items := []draw.Item{box.Stroked(edge)}
		for i := 1; i < 4; i++ {
			items = append(items, draw.Line(x+w*float64(i)/4, y, x+w*float64(i)/4, y+h, Fine()))
		}
		return items
	case StateInWork:
		half := draw.Polygon([]draw.Point{draw.Pt(x, y), draw.Pt(x+1.7, y), draw.Pt(x+1.2, y+0.6), draw.Pt(x+1.9, y+1.2),
			draw.Pt(x+1.2, y+1.8), draw.Pt(x+1.7, y+h), draw.Pt(x, y+h)})
		return []draw.Item{half.Filled(Ink), box.Stroked(edge)}
	case StateDrying:
		return []draw.Item{draw.Hatch(box.Outline, 0.8, 45, Fine()), box.Stroked(edge)}
	case StateDone:
		return []draw.Item{box.Filled(Ink), draw.Polyline([]draw.Point{
			draw.Pt(x+0.8, y+1.2), draw.Pt(x+1.4, y+1.8), draw.Pt(x+2.7, y+0.6)}, draw.Ink(0.4, Paper))}
	case StateLook:
		return CautionShape.Mark(x+w/2, y+h/2, h)
	}
	return []draw.Item{box.Stroked(edge)}
}

// TickBox is an empty box to be ticked by hand, size mm across.
func TickBox(x, y, size float64) draw.Item {
	return draw.Rect(x, y, size, size).Stroked(draw.Ink(0.25, Ink))
}

// WriteOn is a line to write on.
func WriteOn(x1, x2, y float64) draw.Item { return draw.Line(x1, y, x2, y, draw.Ink(FineWidth, Line)) }
