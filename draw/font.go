package draw

import (
	"bytes"
	"embed"
	"sync"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/shaping"
)

//go:embed font/*.ttf font/OFL.txt
var fontFiles embed.FS

// Licence is the text of the SIL Open Font License with the copyright lines of
// the embedded fonts, to be shown with the program's other notices.
func Licence() string {
	text, _ := fontFiles.ReadFile("font/OFL.txt") // embedded: cannot fail
	return string(text)
}

// families are asked in this order for every character. Noto Sans holds Latin,
// Greek, Cyrillic and Devanagari.
var families = [...]string{"NotoSans", "NotoSansArabic", "NotoSansTamil"}

// Fonts measures and sets text and writes pages. Make one with NewFonts and
// share it: it is safe for use by several goroutines and remembers the shape
// of words it has seen.
type Fonts struct {
	mu      sync.Mutex
	faces   [2 * len(families)]*face // regular, then bold
	shaper  shaping.HarfbuzzShaper
	split   shaping.Segmenter
	wrapper shaping.LineWrapper
	shaped  map[shapeKey][]paragraph
	wrapped map[wrapKey][]shapedLine
}

// NewFonts returns the embedded fonts. No font is read before it is needed.
func NewFonts() *Fonts {
	return &Fonts{shaped: map[shapeKey][]paragraph{}, wrapped: map[wrapKey][]shapedLine{}}
}

// face is one opened font file.
type face struct {
	number   int // place in Fonts.faces
	name     string
	shape    *font.Face
	tables   *opentype.Loader
	outlines map[font.GID]Outline
}

// open returns a face by number, reading it the first time.
func (f *Fonts) open(number int) *face {
	if fc := f.faces[number]; fc != nil {
		return fc
	}
	name := families[number%len(families)] + "-Regular"
	if number >= len(families) {
		name = families[number%len(families)] + "-Bold"
	}
	data, err := fontFiles.ReadFile("font/" + name + ".ttf")
	if err != nil {
		panic("draw: embedded font missing: " + err.Error()) // a broken build, not an input
	}
	loader, err := opentype.NewLoader(bytes.NewReader(data))
	if err != nil {
		panic("draw: embedded font: " + err.Error())
	}
	parsed, err := font.NewFont(loader)
	if err != nil {
		panic("draw: embedded font: " + err.Error())
	}
	fc := &face{number, name, font.NewFace(parsed), loader, map[font.GID]Outline{}}
	f.faces[number] = fc
	return fc
}

// weight chooses a face for each character among the regular or the bold fonts.
type weight struct {
	fonts *Fonts
	first int
}

func (f *Fonts) weight(bold bool) weight {
	if bold {
		return weight{f, len(families)}
	}
	return weight{f, 0}
}

// ResolveFace implements shaping.Fontmap. A character no font has is left to the
// first, which draws its "missing" box.
func (w weight) ResolveFace(r rune) *font.Face {
	for i := range families {
		fc := w.fonts.open(w.first + i)
		if _, ok := fc.shape.NominalGlyph(r); ok {
			return fc.shape
		}
	}
	return w.fonts.open(w.first).shape
}

// faceOf finds the opened face a shaped run was set in.
func (f *Fonts) faceOf(shape *font.Face) *face {
	for _, fc := range f.faces {
		if fc != nil && fc.shape == shape {
			return fc
		}
	}
	return f.open(0)
}

// outline is a glyph's shape in em units, y down, baseline at 0.
// Its contours are filled by the non-zero rule.
func (fc *face) outline(id font.GID) Outline {
	if o, ok := fc.outlines[id]; ok {
		return o
	}
	data, _ := fc.shape.GlyphDataOutline(id)
	k := 1 / float64(fc.shape.Upem())
	var o Outline
	for _, s := range data.Segments {
		var p [3]Point
		for i := range p {
			p[i] = Pt(float64(s.Args[i].X)*k, -float64(s.Args[i].Y)*k)
		}
		switch s.Op {
		case opentype.SegmentOpMoveTo:
			if len(o) > 0 {
				o = o.Close()
			}
			o = append(o, Segment{MoveTo, p})
		case opentype.SegmentOpLineTo:
			o = append(o, Segment{LineTo, p})
		case opentype.SegmentOpQuadTo:
			o = append(o, Segment{QuadTo, p})
		case opentype.SegmentOpCubeTo:
			o = append(o, Segment{CubeTo, p})
		}
	}
	if len(o) > 0 {
		o = o.Close()
	}
	fc.outlines[id] = o
	return o
}

// table is a raw table of the font file, nil when it has none.
func (fc *face) table(tag string) []byte {
	b, err := fc.tables.RawTable(opentype.MustNewTag(tag))
	if err != nil {
		return nil
	}
	return b
}
