package pdffile

import (
	"fmt"
	"image/color"
	"math"
	"strings"
	"unicode"

	"scumble/draw/outline"
	"scumble/draw/typeface"
)

// Text shows a line of text that can be searched and copied. place maps em to
// the page; em is the size in mm.
func (c *Content) Text(runs []typeface.Run, place outline.Transform, em float64, ink color.NRGBA) {
	c.set(ink, color.NRGBA{}, true, false)
	c.op("BT")
	c.glyphs(runs, place, em, true)
	c.op("ET")
}

// Halo draws along the edges of the letters; it is not text to be read again.
func (c *Content) Halo(runs []typeface.Run, place outline.Transform, em float64, pen outline.Pen, ink color.NRGBA) {
	c.set(color.NRGBA{}, ink, false, true)
	c.setLine(pen)
	c.op("/Artifact BMC BT 1 Tr")
	c.glyphs(runs, place, em, false)
	c.op("0 Tr ET EMC")
}

func (c *Content) glyphs(runs []typeface.Run, m outline.Transform, em float64, readable bool) {
	for _, r := range runs {
		if len(r.Glyphs) == 0 {
			continue
		}
		at := m.Apply(outline.Point{X: r.Glyphs[0].Pen})
		c.op("/F%d %s Tf %s %s %s %s %s %s Tm", r.Face.Number, num(em),
			num(m.A/em), num(m.B/em), num(-m.C/em), num(-m.D/em), num(at.X), num(at.Y))
		s := showing{c: c, subset: c.file.subset(r.Face), em: em, pen: r.Glyphs[0].Pen}
		if readable {
			s.words(r)
		} else {
			s.show(r.Glyphs, make([]string, len(r.Glyphs)))
		}
	}
}

// showing sets the glyphs of one run.
type showing struct {
	c      *Content
	subset *subset
	em     float64
	pen    float64 // where the reader's pen is, in em
	rise   float64 // in em
}

// words shows a run word by word. Each cluster's text goes with its widest glyph.
// In left-to-right scripts a word that has clusters of several glyphs (conjuncts,
// moved vowel signs) also carries its text beside it, as readers would otherwise
// take the silent glyphs for gaps. In right-to-left text the extra glyphs are
// marks without width, and readers turn such side texts the wrong way round.
func (s *showing) words(r typeface.Run) {
	texts := spoken(r.Glyphs)
	for i := 0; i < len(r.Glyphs); {
		space := isSpace(r.Glyphs[i])
		plain := true
		j := i
		for ; j < len(r.Glyphs) && (!r.Glyphs[j].Starts || isSpace(r.Glyphs[j]) == space); j++ {
			plain = plain && r.Glyphs[j].Starts
		}
		if plain || r.RTL {
			s.show(r.Glyphs[i:j], texts[i:j])
		} else {
			s.c.op("/Span<</ActualText<FEFF%s>>>BDC", utf16Hex(strings.Join(texts[i:j], "")))
			s.show(r.Glyphs[i:j], texts[i:j])
			s.c.op("EMC")
		}
		i = j
	}
}

// spoken gives each cluster's text to its widest glyph, the first of equals.
func spoken(glyphs []typeface.Glyph) []string {
	texts := make([]string, len(glyphs))
	for i := 0; i < len(glyphs); {
		widest, j := i, i+1
		for ; j < len(glyphs) && !glyphs[j].Starts; j++ {
			if glyphs[j].Advance > glyphs[widest].Advance {
				widest = j
			}
		}
		texts[widest] = strings.Map(func(r rune) rune {
			if unicode.Is(unicode.Bidi_Control, r) {
				return -1
			}
			return r
		}, glyphs[i].Text)
		i = j
	}
	return texts
}

func isSpace(g typeface.Glyph) bool {
	return g.Text != "" && strings.TrimFunc(g.Text, unicode.IsSpace) == ""
}

// show writes one TJ operator, or several where glyphs leave the baseline.
func (s *showing) show(glyphs []typeface.Glyph, texts []string) {
	var b strings.Builder
	open := false
	flush := func() {
		if open {
			b.WriteString(">")
			open = false
		}
		if b.Len() > 0 {
			s.c.op("[%s]TJ", b.String())
			b.Reset()
		}
	}
	for i, g := range glyphs {
		if g.Y != s.rise {
			flush()
			s.c.op("%s Ts", num(-g.Y*s.em))
			s.rise = g.Y
		}
		if step := int(math.Round(1000 * (g.X - s.pen))); step != 0 {
			if open {
				b.WriteString(">")
				open = false
			}
			fmt.Fprintf(&b, "%d", -step)
			s.pen += float64(step) / 1000
		}
		if !open {
			b.WriteString("<")
			open = true
		}
		fmt.Fprintf(&b, "%04X", s.subset.cid(meaning{g.ID, texts[i]}))
		s.pen += float64(s.subset.width(g.ID)) / 1000
	}
	flush()
	if s.rise != 0 {
		s.c.op("0 Ts")
		s.rise = 0
	}
}
