package mixing

import (
	"fmt"
	"slices"
	"strings"

	"rsc.io/qr"

	"scumble/draw"
	"scumble/method"
	"scumble/quantity"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/sheets/pattern"
	"scumble/unit"
)

// Labels are printed two by four; the grid runs closer to the edge of the paper
// than other pages do.
const (
	labelColumns, labelRows = 2, 4
	labelEdge               = 8.0 // mm from the left and right edge of the paper
)

// addLabels sets the labels on sheets with marks to cut along.
func addLabels(d *desk.Desk, fl *draw.Flow, labels []label) {
	body, paper := drafting.PageBody(d.Upright()), d.Upright()
	wide, _ := paper.Size()
	w := (wide - 2*labelEdge) / labelColumns
	h := body.H / labelRows
	for sheet := range slices.Chunk(labels, labelColumns*labelRows) {
		fl.Block(body.H, func(b draw.Box) []draw.Item {
			items := cutMarks(labelEdge, b.Y, w, h)
			for i, l := range sheet {
				cell := draw.Box{X: labelEdge + float64(i%labelColumns)*w, Y: b.Y + float64(i/labelColumns)*h, W: w, H: h}
				items = append(items, l.draw(d.Fonts, cell)...)
			}
			return items
		})
	}
}

// cutMarks are a cross wherever four labels meet, and its half at the edges.
func cutMarks(x, y, w, h float64) []draw.Item {
	const long = 2.5
	var items []draw.Item
	for c := 0; c <= labelColumns; c++ {
		for r := 0; r <= labelRows; r++ {
			px, py := x+float64(c)*w, y+float64(r)*h
			items = append(items, draw.Line(px-long, py, px+long, py, drafting.Fine()), draw.Line(px, py-long, px, py+long, drafting.Fine()))
		}
	}
	return items
}

// label is what goes on one bucket or pot.
type label struct {
	mix   *quantity.Mix
	kind  string // whole batch | pot for one wall
	name  string // product, or the wall a pot is for
	says  []said
	cares string // cautions in short
	text  string // in the code
	code  *qr.Code
}

// said is a line of a label.
type said struct {
	text string
	bold bool
}

// labels makes one label for each batch and, where a glaze serves several steps,
// one for each pot that is filled from it.
func labels(d *desk.Desk) ([]label, error) {
	var out []label
	for _, m := range mixesInOrder(d) {
		uses := usesOf(d, m)
		out = append(out, batchLabel(d, m, uses))
		for _, u := range uses {
			if len(uses) > 1 && u.step != nil && u.step.Kind == method.Glaze {
				out = append(out, potLabel(d, m, u))
			}
		}
	}
	for i := range out {
		code, err := qr.Encode(out[i].text, qr.M)
		if err != nil {
			return nil, fmt.Errorf("code of mix %s: %w", out[i].mix.ID, err)
		}
		out[i].code = code
	}
	return out, nil
}

// longestCode is how many bytes a code may hold and still be read from a splashed
// label: its squares stay close to half a millimetre wide.
const longestCode = 150

// batchLabel is the label of a whole batch.
func batchLabel(d *desk.Desk, m *quantity.Mix, uses []drawn) label {
	l := label{mix: m, kind: "whole batch", name: m.Product.Name, cares: shortCautions(d, m)}
	l.says = []said{{"Ready " + desk.Litres(m.Ready.Likely) + fmt.Sprintf(", from %s to %s", m.Ready.Low.Fixed(2), m.Ready.High.Fixed(2)), false}}
	if desk.Thinned(m) {
		l.says = append(l.says,
			said{fmt.Sprintf("%s or %s of product", desk.Litres(m.Stock), weight(m.StockMass)), true},
			said{fmt.Sprintf("+ %s or %s of %s", desk.Litres(m.Thin), weight(m.ThinMass), desk.ThinnerName(m)), true},
			said{desk.PartsWords(m) + " of product, by volume", false})
	} else {
		l.says = append(l.says, said{fmt.Sprintf("%s or %s", desk.Litres(m.Stock), weight(m.StockMass)), true}, said{desk.PartsWords(m), false})
	}
	l.says = append(l.says, said{stepsWords(m, uses) + ". " + desk.WallsWords(m), false})
	l.text = fmt.Sprintf("scumble job=%s batch=%s %s", d.Plan.Job.Reference, m.ID, useText(m))
	if len(l.text) > longestCode {
		l.text = fmt.Sprintf("scumble job=%s batch=%s use=%s", d.Plan.Job.Reference, m.ID, desk.Counted(len(m.Uses), "step", "steps"))
	}
	return l
}

// useText names the walls and steps a batch is for, as step IDs.
func useText(m *quantity.Mix) string {
	var ids []string
	for _, u := range m.Uses {
		ids = append(ids, u.Step)
	}
	return "use=" + strings.Join(ids, ";")
}

// potLabel is the label of what is filled off for one wall and step.
func potLabel(d *desk.Desk, m *quantity.Mix, u drawn) label {
	l := label{mix: m, kind: "pot for one wall", name: strings.Replace(u.use.Face, "/", ", ", 1), cares: shortCautions(d, m)}
	l.says = []said{{desk.TitleWithout(u.step.Title, m), true}, {m.Product.Name + ", on " + u.use.Area.String(), false}, {"To lay " + u.use.Laid.Words(2, "L"), false}}
	if t := d.Tasks()[u.use.Step]; t != nil {
		l.says = append(l.says, said{desk.Moment(t.Start, t.End), false})
	}
	l.says = append(l.says, said{"From bucket " + m.ID + ", ready mixed; nothing is added.", false})
	l.text = fmt.Sprintf("scumble job=%s batch=%s use=%s", d.Plan.Job.Reference, m.ID, u.use.Step)
	return l
}

// weight prints a mass with its unit, to the gram.
func weight(m unit.Mass) string {
	if text := grams(m); strings.Contains(text, "kg") {
		return text
	}
	return grams(m) + "\u00a0g"
}

// shortCautions are the titles of the cautions of a mix, holds and cautions only.
func shortCautions(d *desk.Desk, m *quantity.Mix) string {
	var titles []string
	for _, c := range d.CautionsIn(m) {
		if c.Shape != "note" {
			titles = append(titles, c.Title)
		}
	}
	if len(titles) == 0 {
		return ""
	}
	return strings.Join(titles, ". ") + "."
}

// draw sets a label in its cell: the mix large, its colour, the code at the right,
// amounts and walls, lines to fill in, cautions at the foot. The words take the
// largest size at which they fit.
func (l *label) draw(f *draw.Fonts, cell draw.Box) []draw.Item {
	in := cell.Inset(4.5)
	items := qrSquares(l.code, draw.Box{X: in.X + in.W - codeSide, Y: in.Y, W: codeSide, H: codeSide})
	big := draw.Style{Size: 28, Bold: true, Colour: drafting.Ink}
	items = append(items, draw.Label(in.X, in.Y+8.2, l.mix.ID, big, draw.Left))
	if l.mix.Colour.Name != "" {
		x := in.X + f.Width(l.mix.ID, big) + 3
		items = append(items, drafting.Chip(draw.Box{X: x, Y: in.Y + 0.8, W: in.X + in.W - codeSide - 4 - x, H: 7.4}, pattern.Colour(l.mix.Colour))...)
	}
	foot, top := l.foot(f, in)
	var words []draw.Item
	for size := 9.5; size >= 7; size -= 0.5 {
		var bottom float64
		if words, bottom = l.words(f, in, size); bottom <= top {
			break
		}
	}
	return append(append(items, words...), foot...)
}

const codeSide = 28.0

// words sets what a label says at a size in points, beside the code and, below it,
// over the whole width. bottom is how far down they come.
func (l *label) words(f *draw.Fonts, in draw.Box, size float64) (items []draw.Item, bottom float64) {
	y := in.Y + 10
	put := func(text string, s draw.Style) {
		width := in.W
		if y < in.Y+codeSide-1 {
			width -= codeSide + 4
		}
		block := f.Lines(text, s, width)
		items = append(items, block.Draw(in.X, y, width, draw.Left)...)
		y += block.Height
	}
	style := draw.Style{Size: size, Colour: drafting.Ink, Leading: 1.25}
	put(desk.InOneLine(l.mix.Colour.Name, l.kind), drafting.Letters().Coloured(drafting.Grey))
	put(l.name, style.InBold())
	for _, s := range l.says {
		style.Bold = s.bold
		put(s.text, style)
	}
	return items, y
}

// foot is what is filled in by hand, over the cautions. top is where it begins.
func (l *label) foot(f *draw.Fonts, in draw.Box) (items []draw.Item, top float64) {
	bottom := in.Y + in.H
	if l.cares != "" {
		width := in.W - 5
		style := draw.Style{Size: 7, Colour: drafting.Ink, Leading: 1.2}
		block := f.Lines(l.cares, style, width)
		bottom -= block.Height
		items = append(items, drafting.CautionShape.Mark(in.X+1.7, bottom+1.7, 3.2)...)
		items = append(items, block.Draw(in.X+5, bottom, width, draw.Left)...)
		bottom -= 1
	}
	y := bottom - 1
	x := in.X
	for _, line := range []struct {
		name string
		wide float64
	}{{"batch", 0.42}, {"by", 0.2}, {"keep until", 0.38}} {
		w := in.W * line.wide
		items = append(items, draw.Label(x, y, line.name, drafting.Letters().Coloured(drafting.Grey), draw.Left),
			drafting.WriteOn(x+f.Width(line.name, drafting.Letters())+1, x+w-1.5, y+0.3))
		x += w
	}
	return items, y - 3.6
}

// qrSquares draws a code in a box, with its quiet zone of four squares inside.
func qrSquares(code *qr.Code, b draw.Box) []draw.Item {
	const quiet = 4
	s := b.W / float64(code.Size+2*quiet)
	var o draw.Outline
	for y := range code.Size {
		for x := 0; x < code.Size; x++ {
			from := x
			for x < code.Size && code.Black(x, y) {
				x++
			}
			if x > from {
				left, top := b.X+float64(from+quiet)*s, b.Y+float64(y+quiet)*s
				right := b.X + float64(x+quiet)*s
				o = o.Move(left, top).Line(right, top).Line(right, top+s).Line(left, top+s).Close()
			}
		}
	}
	return []draw.Item{draw.Path{Outline: o, Fill: draw.Black}}
}
