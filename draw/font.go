package draw

import (
	"embed"
	"sync"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/shaping"

	"scumble/draw/typeface"
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
	faces   [2 * len(families)]*typeface.Face // regular, then bold
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

// open returns a face by number, reading it the first time.
func (f *Fonts) open(number int) *typeface.Face {
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
	fc, err := typeface.Open(number, name, data)
	if err != nil {
		panic("draw: embedded font: " + err.Error())
	}
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
		if _, ok := fc.Shape.NominalGlyph(r); ok {
			return fc.Shape
		}
	}
	return w.fonts.open(w.first).Shape
}

// faceOf finds the opened face a shaped run was set in.
func (f *Fonts) faceOf(shape *font.Face) *typeface.Face {
	for _, fc := range f.faces {
		if fc != nil && fc.Shape == shape {
			return fc
		}
	}
	return f.open(0)
}
