package draw

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/shaping"
	"golang.org/x/image/math/fixed"

	"scumble/draw/typeface"
)

// PointMM is one typographic point in millimetres.
const PointMM = 25.4 / 72

// Direction is the direction of a paragraph.
type Direction uint8

// Auto goes by the first letter of the paragraph that has a direction.
const (
	Auto Direction = iota
	LeftToRight
	RightToLeft
)

// Style is how text is set. The zero value is black regular text of 9 points.
type Style struct {
	// Size is in points.
	Size   float64
	Bold   bool
	Colour Colour
	// Lang is a BCP 47 tag; it selects local letter forms.
	Lang      string
	Direction Direction
	// Fractions draws 3/8 as a true fraction, for feet and inches.
	Fractions bool
	// Leading is the distance between baselines as a multiple of Size; zero means 1.36.
	Leading float64
}

// Sized is the style at another size in points.
func (s Style) Sized(points float64) Style { s.Size = points; return s }

// InBold is the style in bold.
func (s Style) InBold() Style { s.Bold = true; return s }

// Coloured is the style in another colour.
func (s Style) Coloured(c Colour) Style { s.Colour = c; return s }

const (
	defaultSize    = 9.0
	defaultLeading = 1.36 // Noto Sans asks for 1.362 (hhea ascent 1069, descent 293 of 1000)
	ascentShare    = 1.069 / 1.362
	minSize        = 0.1
	maxSize        = 10000.0
)

// em is the size in mm.
func (s Style) em() float64 {
	if !(s.Size > 0) {
		return defaultSize * PointMM
	}
	return min(max(s.Size, minSize), maxSize) * PointMM
}

// LineHeight is the distance between baselines in mm.
func (s Style) LineHeight() float64 {
	if !(s.Leading > 0) {
		return s.em() * defaultLeading
	}
	return s.em() * min(s.Leading, 100)
}

// CapHeight is the height of a capital letter or figure in mm, for centring
// lettering on a line.
func (s Style) CapHeight() float64 { return s.em() * 0.714 } // Noto Sans OS/2 sCapHeight 714

func (s Style) ink() Colour {
	if s.Colour == 0 {
		return Black
	}
	return s.Colour
}

// TextLine is one line of laid out text.
type TextLine struct {
	Text  string
	Width float64 // mm
	RTL   bool    // its paragraph runs right to left
	runs  []typeface.Run
}

// Block is text broken into lines.
type Block struct {
	Lines []TextLine
	// Width is that of the longest line, Height that of all lines, in mm.
	Width, Height float64
	style         Style
}

// shapedLine is a line whatever its size and colour.
type shapedLine struct {
	text  string
	width float64 // em
	rtl   bool
	runs  []typeface.Run
}

type shapeKey struct {
	text, lang      string
	direction       Direction
	bold, fractions bool
}

type wrapKey struct {
	shapeKey
	width fixed.Int26_6
}

// paragraph is shaped text before it is broken into lines.
type paragraph struct {
	runes []rune
	dir   di.Direction
	runs  []shaping.Output
}

const (
	shapeSize = 256 << 6 // 26.6: the size text is shaped at; measures keep 1/16384 em
	noLimit   = fixed.Int26_6(1 << 30)
	// maxParagraph keeps the 26.6 advances of one paragraph from overflowing.
	maxParagraph = 20000
	maxCache     = 8192
)

// Width is the length in mm of text set on one line; line breaks in it count as spaces.
func (f *Fonts) Width(text string, s Style) float64 { return f.Line(text, s).Width }

// Line lays text out on one line; line breaks in it count as spaces.
func (f *Fonts) Line(text string, s Style) TextLine {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.line(text, s)
}

func (f *Fonts) line(text string, s Style) TextLine {
	flat := strings.Map(func(r rune) rune {
		if breaksLine(r) {
			return ' '
		}
		return r
	}, text)
	lines := f.wrap(flat, s, noLimit)
	if len(lines) == 0 {
		return TextLine{}
	}
	return lines[0].sized(s)
}

func (l shapedLine) sized(s Style) TextLine {
	return TextLine{Text: l.text, Width: l.width * s.em(), RTL: l.rtl, runs: l.runs}
}

// Lines breaks text into lines no longer than width mm, at the places Unicode
// allows (UAX 14); only a word that is longer than a whole line is cut.
// A newline starts a new paragraph.
func (f *Fonts) Lines(text string, s Style, width float64) Block {
	f.mu.Lock()
	defer f.mu.Unlock()
	limit := noLimit
	if w := width / s.em() * shapeSize; w < float64(noLimit) {
		limit = fixed.Int26_6(max(w, 1)) // NaN and negative widths break at every chance
	}
	b := Block{style: s}
	for _, l := range f.wrap(text, s, limit) {
		b.Lines = append(b.Lines, l.sized(s))
		b.Width = max(b.Width, l.width*s.em())
	}
	b.Height = float64(len(b.Lines)) * s.LineHeight()
	return b
}

// Draw returns the block's lines with the top of the block at (x, y) and each
// line aligned in a column w mm wide.
func (b Block) Draw(x, y, w float64, align Align) []Item {
	items := make([]Item, 0, len(b.Lines))
	for i := range b.Lines {
		l := &b.Lines[i]
		at := Pt(x+align.offset(w-l.Width, l.RTL), y+float64(i)*b.style.LineHeight()+b.Baseline())
		items = append(items, Text{At: at, Text: l.Text, Style: b.style, Align: Left, line: l})
	}
	return items
}

// Baseline is the distance in mm from the top of the block to its first baseline.
func (b Block) Baseline() float64 { return b.style.LineHeight() * ascentShare }

// offset is where to start in the room left over.
func (a Align) offset(room float64, rtl bool) float64 {
	switch {
	case a == Centre:
		return room / 2
	case a == Right, a == Start && rtl:
		return room
	}
	return 0
}

// wrap shapes and breaks text, remembering the result.
func (f *Fonts) wrap(text string, s Style, width fixed.Int26_6) []shapedLine {
	key := wrapKey{shapeKey{text, s.Lang, s.Direction, s.Bold, s.Fractions}, width}
	if lines, ok := f.wrapped[key]; ok {
		return lines
	}
	var lines []shapedLine
	for _, p := range f.shape(key.shapeKey) {
		lines = append(lines, f.breakLines(p, width)...)
	}
	if len(f.wrapped) >= maxCache {
		clear(f.wrapped)
	}
	f.wrapped[key] = lines
	return lines
}

// shape turns text into paragraphs of positioned glyphs at shapeSize.
func (f *Fonts) shape(key shapeKey) []paragraph {
	if ps, ok := f.shaped[key]; ok {
		return ps
	}
	var ps []paragraph
	for _, runes := range paragraphs(key.text) {
		ps = append(ps, f.shapeParagraph(runes, key))
	}
	if len(f.shaped) >= maxCache {
		clear(f.shaped)
	}
	f.shaped[key] = ps
	return ps
}

func (f *Fonts) shapeParagraph(runes []rune, key shapeKey) paragraph {
	natural := firstStrong(runes)
	p := paragraph{dir: natural}
	switch {
	case key.direction == LeftToRight && natural != di.DirectionLTR:
		p.dir, runes = di.DirectionLTR, append([]rune{'\u200e'}, runes...)
	case key.direction == RightToLeft && natural != di.DirectionRTL:
		p.dir, runes = di.DirectionRTL, append([]rune{'\u200f'}, runes...)
	}
	p.runes = runes
	in := shaping.Input{
		Text: runes, RunEnd: len(runes), Direction: p.dir, Size: shapeSize,
		Language: language.NewLanguage(cmp.Or(key.lang, "en")), Face: f.weight(key.bold).ResolveFace(' '),
	}
	if key.fractions {
		in.FontFeatures = []shaping.FontFeature{{Tag: opentype.MustNewTag("frac"), Value: 1}}
	}
	for _, part := range f.split.Split(in, f.weight(key.bold)) {
		p.runs = append(p.runs, f.shaper.Shape(part))
	}
	return p
}

// breakLines cuts a shaped paragraph into lines.
func (f *Fonts) breakLines(p paragraph, width fixed.Int26_6) []shapedLine {
	if len(p.runes) == 0 {
		return []shapedLine{{rtl: p.dir == di.DirectionRTL}}
	}
	runs := make([]shaping.Output, len(p.runs))
	for i, r := range p.runs {
		r.Glyphs = slices.Clone(r.Glyphs) // the wrapper writes into them
		runs[i] = r
	}
	config := shaping.WrapConfig{Direction: p.dir, BreakPolicy: shaping.WhenNecessary}
	wrapped, _ := f.wrapper.WrapParagraphF(config, width, p.runes, shaping.NewSliceIterator(runs))
	lines := make([]shapedLine, len(wrapped))
	for i, l := range wrapped {
		lines[i] = f.place(l, p)
	}
	return lines
}

// place puts the runs of one line in visual order and its glyphs on the baseline.
func (f *Fonts) place(line shaping.Line, p paragraph) shapedLine {
	out := shapedLine{rtl: p.dir == di.DirectionRTL}
	first, last := len(p.runes), 0
	for _, r := range line {
		first, last = min(first, r.Runes.Offset), max(last, r.Runes.Offset+r.Runes.Count)
	}
	if first < last {
		out.text = strings.TrimRight(string(p.runes[first:last]), " ")
	}
	visual := slices.Clone(line)
	slices.SortStableFunc(visual, func(a, b shaping.Output) int { return int(a.VisualIndex - b.VisualIndex) })
	const em = 1.0 / shapeSize
	pen := 0.0
	for _, r := range visual {
		placed := typeface.Run{Face: f.faceOf(r.Face), RTL: r.Direction == di.DirectionRTL}
		cluster := -1
		for _, g := range r.Glyphs {
			pg := typeface.Glyph{
				ID: g.GlyphID, Pen: pen, Advance: float64(g.Advance) * em,
				X: pen + float64(g.XOffset)*em, Y: -float64(g.YOffset) * em,
			}
			if i := g.TextIndex(); i != cluster {
				cluster, pg.Starts = i, true
				pg.Text = string(p.runes[i:min(i+g.RunesCount(), len(p.runes))])
			}
			pen += pg.Advance
			placed.Glyphs = append(placed.Glyphs, pg)
		}
		out.runs = append(out.runs, placed)
	}
	out.width = pen
	return out
}

// paragraphs splits text at line breaks, turns other control characters into
// spaces and cuts paragraphs that would overflow the arithmetic.
func paragraphs(text string) [][]rune {
	text = strings.ReplaceAll(text, "\r\n", "\n")
	var out [][]rune
	current := []rune{}
	for _, r := range text {
		switch {
		case breaksLine(r):
			out, current = append(out, current), []rune{}
			continue
		case unicode.IsControl(r):
			r = ' '
		}
		if len(current) == maxParagraph {
			out, current = append(out, current), []rune{}
		}
		current = append(current, r)
	}
	return append(out, current)
}

func breaksLine(r rune) bool {
	switch r {
	case '\n', '\v', '\f', '\r', '\u0085', '\u2028', '\u2029':
		return true
	}
	return false
}

// firstStrong finds the paragraph direction by rules P2 and P3 of UAX 9.
func firstStrong(runes []rune) di.Direction {
	depth := 0
	for _, r := range runes {
		switch {
		case r >= '\u2066' && r <= '\u2068': // isolates hide what they hold
			depth++
		case r == '\u2069':
			depth = max(0, depth-1)
		case depth > 0:
		case r == '\u200f' || r == '\u061c':
			return di.DirectionRTL
		case r == '\u200e':
			return di.DirectionLTR
		case unicode.IsLetter(r):
			if unicode.In(r, unicode.Arabic, unicode.Hebrew, unicode.Syriac, unicode.Thaana, unicode.Nko) {
				return di.DirectionRTL
			}
			return di.DirectionLTR
		}
	}
	return di.DirectionLTR
}

// lineOf is the laid out line of a Text item.
func (f *Fonts) lineOf(t Text) TextLine {
	if t.line != nil {
		return *t.line
	}
	return f.line(t.Text, t.Style)
}

// place maps the em units of a line, from the left end of its baseline, to the page.
func (t Text) place(l TextLine) Transform {
	em := t.Style.em()
	shift := -t.Align.offset(l.Width, false)
	return Transform{A: em, D: em, E: shift}.Then(Rotate(t.Rotate)).Then(Shift(t.At.X, t.At.Y))
}

// haloStroke is the stroke behind the letters, in em units.
func (t Text) haloStroke() Stroke {
	c := t.HaloColour
	if c == 0 {
		c = White
	}
	return Stroke{Width: 2 * t.Halo / t.Style.em(), Colour: c, Join: RoundJoin, Cap: RoundCap}
}
