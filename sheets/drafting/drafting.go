// Package drafting is the hand in which every paper is drawn: inks and line
// weights, type sizes, page furniture, notices, dimensions, hatches and the
// small marks. It knows no job: callers hand it words and places.
package drafting

import (
	"scumble/draw"
	"scumble/unit"
)

// The inks. Glaze colours lie only in walls and chips; Blue means here, datum or
// being set out, Oxide means look at this, and both always come with a shape.
const (
	Ink   draw.Colour = 0x15191cff // words and edges
	Grey  draw.Colour = 0x50565bff // second words, 7 : 1 on white
	Line  draw.Colour = 0x757d83ff // extension lines, day lines
	Pale  draw.Colour = 0xcfd2d3ff // rules between rows
	Wash  draw.Colour = 0xeceeefff // the field of a night
	Blue  draw.Colour = 0x0b4a97ff
	Oxide draw.Colour = 0x9b2312ff
	Paper draw.Colour = 0xffffffff
	Bare  draw.Colour = 0xf7f7f5ff // a wall with no finish
)

// Line weights in mm. The weight says what a line means.
const (
	FloorWidth = 0.7  // the floor, a sum
	EdgeWidth  = 0.35 // an edge that exists
	FineWidth  = 0.18 // dimensions, skirting, marks
	RuleWidth  = 0.1  // between rows
)

// Floor is the stroke of a floor line and of the line above a sum.
func Floor() draw.Stroke { return draw.Ink(FloorWidth, Ink) }

// Edge is the stroke of an edge that exists: a wall, an opening, a bar of work.
func Edge() draw.Stroke { return draw.Ink(EdgeWidth, Ink) }

// Fine is the stroke of dimension lines, skirtings and marks.
func Fine() draw.Stroke { return draw.Ink(FineWidth, Ink) }

// Faint is the grey stroke of extension lines; never needed to understand.
func Faint() draw.Stroke { return draw.Ink(FineWidth, Line) }

// Chalk is the dashed stroke of what is set out and not yet painted.
func Chalk() draw.Stroke { return draw.Ink(0.25, Ink).Dashed(1.8, 0.8) }

// Plumb is the stroke of the datum and of the plumb line.
func Plumb() draw.Stroke { return draw.Ink(0.35, Blue) }

// Doubt is the dotted stroke of an edge or height that is only a limit.
func Doubt(c draw.Colour) draw.Stroke {
	s := draw.Ink(0.3, c).Dashed(0, 1.1)
	s.Cap = draw.RoundCap
	return s
}

// The sizes of type in points.
const (
	NoteSize   = 7.5
	SmallSize  = 8.5
	BodySize   = 9.5
	LeadSize   = 11.5
	TitleSize  = 18
	FigureSize = 26 // one figure a page
)

// Body is running text.
func Body() draw.Style { return draw.Style{Size: BodySize, Colour: Ink} }

// Small is text in tables and beside drawings.
func Small() draw.Style { return draw.Style{Size: SmallSize, Colour: Ink} }

// Note is the smallest text: sources, keys, conditions.
func Note() draw.Style { return draw.Style{Size: NoteSize, Colour: Grey} }

// Lead is the sentence under a title.
func Lead() draw.Style { return draw.Style{Size: LeadSize, Colour: Ink, Leading: 1.3} }

// Title heads a document or a wall.
func Title() draw.Style { return draw.Style{Size: TitleSize, Bold: true, Colour: Ink, Leading: 1.15} }

// Head heads a part of a page.
func Head() draw.Style { return draw.Style{Size: LeadSize, Bold: true, Colour: Ink, Leading: 1.2} }

// Letters is the lettering of drawings: 7.5 points, never less than 7.
func Letters() draw.Style { return draw.Style{Size: 7.5, Colour: Ink} }

// Big is the one large figure a page may carry.
func Big() draw.Style { return draw.Style{Size: FigureSize, Colour: Ink, Leading: 1.1} }

// Length prints a length in mm without its unit, or with feet and inches beside
// it when imperial is asked for: "4 200 (13 ft 9 3/8 in)".
func Length(l unit.Length, imperial bool) string {
	if imperial {
		return l.MM() + " (" + l.FeetInches() + ")"
	}
	return l.MM()
}

// Footing is the letter printed after a figure for what it rests on: P for
// "published", C for "common practice", M for "from memory", D for "demo".
func Footing(kind string) string {
	switch kind {
	case "published":
		return "P"
	case "common practice":
		return "C"
	case "from memory":
		return "M"
	case "demo":
		return "D"
	}
	return ""
}

// FootingKey explains the letters in one line.
const FootingKey = "Letters after a figure: P published in the source named; C common practice, no published source; " +
	"M from memory, check before relying on it; D invented for the demonstration."

// PaperNamed is the sheet a job asks for, "Letter" or anything else for A4, upright
// or turned.
func PaperNamed(name string, turned bool) draw.Paper {
	switch {
	case name == "Letter" && turned:
		return draw.LetterLandscape
	case name == "Letter":
		return draw.Letter
	case turned:
		return draw.A4Landscape
	}
	return draw.A4
}
