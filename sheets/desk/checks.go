package desk

import (
	"math"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"scumble/catalog"
	"scumble/draw"
	"scumble/sheets/drafting"
)

// Small begins words that stand within a sentence.
func Small(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	return strings.TrimPrefix(string(unicode.ToLower(first)), string(utf8.RuneError)) + text[size:]
}

// BetweenWords say when something is dry: one moment, or the earliest and the latest.
func BetweenWords(a, b time.Time) string {
	if a.Equal(b) {
		return "from " + HourOf(a)
	}
	to := HourOf(b)
	if SameDay(a, b) {
		to = b.Format("15:04")
	}
	return "between " + HourOf(a) + " and " + to
}

// AddCheck is a box to tick with what it is for.
func (d *Desk) AddCheck(fl *draw.Flow, words string, style draw.Style, size float64) {
	drafting.AddSides(d.Fonts, fl, 1.8,
		drafting.Side{Width: size, Fill: func(side *draw.Flow) {
			side.Block(size+0.6, func(b draw.Box) []draw.Item { return []draw.Item{drafting.TickBox(b.X, b.Y+0.5, size)} })
		}},
		drafting.Side{Fill: func(side *draw.Flow) { side.Paragraph(words, style) }})
}

// CautionPitch is the distance of lines of caution signs, in mm.
const CautionPitch = 3.7

// CautionSigns are the signs and titles of cautions, to be set in lines.
func CautionSigns(cautions []*catalog.Caution) []Sign {
	var signs []Sign
	for _, c := range cautions {
		shape := drafting.ShapeNamed(c.Shape)
		signs = append(signs, Sign{c.Title, 2.8, func(x, y float64) []draw.Item { return shape.Mark(x+1.4, y-1, 2.8) }})
	}
	return signs
}

// AddMarked sets words beside the sign of a notice.
func (d *Desk) AddMarked(fl *draw.Flow, shape drafting.Shape, words string, style draw.Style) {
	drafting.AddSides(d.Fonts, fl, 1.6,
		drafting.Side{Width: 3, Fill: func(side *draw.Flow) {
			side.Block(3.4, func(b draw.Box) []draw.Item { return shape.Mark(b.X+1.5, b.Y+1.9, 3) })
		}},
		drafting.Side{Fill: func(side *draw.Flow) { side.Paragraph(words, style) }})
}

// AddCautionColumns sets cautions whole but close, in two columns of even height:
// title and text, and in small whose word comes first where that is asked for.
func (d *Desk) AddCautionColumns(fl *draw.Flow, cautions []*catalog.Caution, defers bool) {
	const gap = 6
	text := draw.Style{Size: 8, Colour: drafting.Ink, Leading: 1.17}
	fill := func(part []*catalog.Caution) func(*draw.Flow) {
		return func(side *draw.Flow) {
			for _, c := range part {
				d.AddMarked(side, drafting.ShapeNamed(c.Shape), c.Title+". "+c.Text, text)
				if defers && c.Defers != "" {
					side.Hanging("", c.Defers, drafting.Note(), 4.6)
				}
			}
		}
	}
	height := func(part []*catalog.Caution) float64 {
		column := draw.NewColumn(d.Fonts, (fl.Body().W-gap)/2, false)
		fill(part)(column)
		return column.Height()
	}
	half, least := 0, math.Inf(1)
	for at := range len(cautions) + 1 {
		if h := max(height(cautions[:at]), height(cautions[at:])); h < least {
			half, least = at, h
		}
	}
	drafting.AddSides(d.Fonts, fl, gap, drafting.Side{Fill: fill(cautions[:half])}, drafting.Side{Fill: fill(cautions[half:])})
}

// AddSourcedCautions sets cautions in columns, and beneath them what they rest on.
func (d *Desk) AddSourcedCautions(fl *draw.Flow, cautions []*catalog.Caution) {
	if len(cautions) == 0 {
		return
	}
	cautions = ByShape(cautions)
	d.AddCautionColumns(fl, cautions, true)
	var read []string
	for _, c := range cautions {
		if source := strings.TrimSuffix(d.Notice(c).Source, "."); !slices.Contains(read, source) {
			read = append(read, source)
		}
	}
	drafting.AddNote(fl, "Sources: "+strings.Join(read, "; ")+".")
}

// HourOf says a moment: Mon 8 Mar, 08:00.
func HourOf(t time.Time) string { return t.Format("Mon 2 Jan, 15:04") }

// SameDay reports whether two moments lie on one day.
func SameDay(a, b time.Time) bool {
	return a.Truncate(24 * time.Hour).Equal(b.Truncate(24 * time.Hour))
}
