// Package typeface is one opened TrueType font: the outlines of its glyphs, a
// smaller file with only some of them, and the runs of shaped glyphs that the
// back ends of draw set.
package typeface

import (
	"bytes"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"

	"scumble/draw/outline"
)

// Face is one opened font. It remembers outlines it has given and so serves one
// goroutine at a time.
type Face struct {
	Number   int    // tells the faces of a document apart
	Name     string // as a PDF gives it
	Shape    *font.Face
	tables   *opentype.Loader
	outlines map[font.GID]outline.Outline
}

// Open reads a font file.
func Open(number int, name string, file []byte) (*Face, error) {
	loader, err := opentype.NewLoader(bytes.NewReader(file))
	if err != nil {
		return nil, err
	}
	parsed, err := font.NewFont(loader)
	if err != nil {
		return nil, err
	}
	return &Face{number, name, font.NewFace(parsed), loader, map[font.GID]outline.Outline{}}, nil
}

// Run is a piece of a line in one face and one direction, glyphs from left to
// right. All measures are in em from the left end of the line; y grows down.
type Run struct {
	Face   *Face
	RTL    bool
	Glyphs []Glyph
}

// Glyph is one placed sign of a Run.
type Glyph struct {
	ID      font.GID
	X, Y    float64 // where it is drawn
	Pen     float64 // where its advance starts
	Advance float64
	// Text is what it stands for. The first glyph, in visual order, of a cluster
	// has the text of the whole cluster and Starts it.
	Text   string
	Starts bool
}

// Outline is a glyph's shape in em units, y down, baseline at 0.
// Its contours are filled by the non-zero rule.
func (f *Face) Outline(id font.GID) outline.Outline {
	if o, ok := f.outlines[id]; ok {
		return o
	}
	data, _ := f.Shape.GlyphDataOutline(id)
	k := 1 / float64(f.Shape.Upem())
	var o outline.Outline
	for _, s := range data.Segments {
		var p [3]outline.Point
		for i := range p {
			p[i] = outline.Point{X: float64(s.Args[i].X) * k, Y: -float64(s.Args[i].Y) * k}
		}
		if s.Op == opentype.SegmentOpMoveTo && len(o) > 0 {
			o = o.Close()
		}
		o = append(o, outline.Segment{Op: outline.Op(s.Op), P: p}) // the library numbers them alike
	}
	if len(o) > 0 {
		o = o.Close()
	}
	f.outlines[id] = o
	return o
}

// Table is a raw table of the font file, nil when it has none.
func (f *Face) Table(tag string) []byte {
	b, err := f.tables.RawTable(opentype.MustNewTag(tag))
	if err != nil {
		return nil
	}
	return b
}
