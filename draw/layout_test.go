package draw

import (
	"math"
	"strings"
	"sync"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"scumble/draw/typeface"
)

// glyphsOf lists what a line is made of, from left to right.
func glyphsOf(l TextLine) (glyphs []typeface.Glyph, faces []string) {
	for _, r := range l.runs {
		for _, g := range r.Glyphs {
			glyphs = append(glyphs, g)
			faces = append(faces, r.Face.Name)
		}
	}
	return glyphs, faces
}

func nominal(t *testing.T, f *Fonts, face int, r rune) uint32 {
	t.Helper()
	id, ok := f.open(face).Shape.NominalGlyph(r)
	if !ok {
		t.Fatalf("face %d has no %q", face, r)
	}
	return uint32(id)
}

func TestDigitsAreTabular(t *testing.T) {
	f := NewFonts()
	// hmtx of both Noto Sans files: every digit is 572 of 1000 units wide.
	want := 0.572 * 10 * PointMM
	for _, bold := range []bool{false, true} {
		for _, d := range "0123456789" {
			if got := f.Width(string(d), Style{Size: 10, Bold: bold}); math.Abs(got-want) > 1e-3 {
				t.Errorf("bold %v: %c is %.4f mm wide, want %.4f", bold, d, got, want)
			}
		}
	}
}

func TestKerning(t *testing.T) {
	f, s := NewFonts(), Style{Size: 10}
	if pair, apart := f.Width("AV", s), f.Width("A", s)+f.Width("V", s); pair >= apart {
		t.Errorf("AV is %.3f mm, no closer than A and V apart, %.3f", pair, apart)
	}
}

func TestFractions(t *testing.T) {
	f := NewFonts()
	plain, frac := f.Width("3/8", Style{}), f.Width("3/8", Style{Fractions: true})
	if frac >= plain {
		t.Errorf("true fraction is %.3f mm, plain %.3f", frac, plain)
	}
}

func TestHindiVowelSignComesFirst(t *testing.T) {
	f := NewFonts()
	glyphs, _ := glyphsOf(f.Line("नियुक्ति", Style{Lang: "hi"}))
	// न with ि: the sign is stored second and drawn first.
	if glyphs[0].Text != "नि" || glyphs[1].Starts {
		t.Fatalf("the first cluster is %q, want नि of two glyphs", glyphs[0].Text)
	}
	if na := nominal(t, f, 0, 'न'); uint32(glyphs[1].ID) != na || uint32(glyphs[0].ID) == na {
		t.Errorf("glyphs %d %d, want the sign and then न (%d)", glyphs[0].ID, glyphs[1].ID, na)
	}
	// क् ति make one cluster, its sign before the conjunct.
	last := glyphs[len(glyphs)-1]
	var cluster []typeface.Glyph
	for _, g := range glyphs {
		if g.Text == "क्ति" {
			cluster = []typeface.Glyph{g}
		} else if cluster != nil {
			cluster = append(cluster, g)
		}
	}
	if len(cluster) < 2 || uint32(last.ID) == nominal(t, f, 0, 'ि') {
		t.Errorf("last cluster has %d glyphs and ends in %d", len(cluster), last.ID)
	}
}

func TestArabicJoinsAndRunsLeft(t *testing.T) {
	f := NewFonts()
	line := f.Line("عرض", Style{Lang: "ar"})
	glyphs, _ := glyphsOf(line)
	if !line.RTL {
		t.Error("Arabic is not right to left")
	}
	var drawn []string
	for _, g := range glyphs {
		if g.Starts {
			drawn = append(drawn, g.Text)
		}
	}
	if got := strings.Join(drawn, " "); got != "ض ر ع" {
		t.Errorf("drawn from the left: %s, want ض ر ع", got)
	}
	if last := glyphs[len(glyphs)-1]; uint32(last.ID) == nominal(t, f, 1, 'ع') {
		t.Error("the first letter is not in its initial form")
	}
	pair, _ := glyphsOf(f.Line("لا", Style{Lang: "ar"}))
	for _, g := range pair {
		if id := uint32(g.ID); id == nominal(t, f, 1, 'ل') || id == nominal(t, f, 1, 'ا') {
			t.Errorf("lam and alef are not joined: glyph %d", id)
		}
	}
}

func TestTamilVowelSplits(t *testing.T) {
	f := NewFonts()
	glyphs, faces := glyphsOf(f.Line("கொ", Style{Lang: "ta"}))
	if len(glyphs) != 3 {
		t.Fatalf("கொ is %d glyphs, want sign, letter, sign", len(glyphs))
	}
	for i, r := range []rune{'ெ', 'க', 'ா'} {
		if want := nominal(t, f, 2, r); uint32(glyphs[i].ID) != want {
			t.Errorf("glyph %d is %d, want %d (%c)", i, glyphs[i].ID, want, r)
		}
	}
	if faces[0] != "NotoSansTamil-Regular" {
		t.Errorf("set in %s", faces[0])
	}
}

func TestFallback(t *testing.T) {
	f := NewFonts()
	_, faces := glyphsOf(f.Line("a क ع க", Style{Bold: true}))
	seen := strings.Join(faces, " ")
	for _, want := range []string{"NotoSans-Bold", "NotoSansArabic-Bold", "NotoSansTamil-Bold"} {
		if !strings.Contains(seen, want) {
			t.Errorf("%s is not used: %s", want, seen)
		}
	}
	if f.faces[0] != nil {
		t.Error("the regular font was opened for bold text")
	}
}

func TestMissingCharacterIsABox(t *testing.T) {
	f := NewFonts()
	glyphs, _ := glyphsOf(f.Line("\U00020000", Style{}))
	if len(glyphs) != 1 || glyphs[0].ID != 0 || glyphs[0].Advance <= 0 {
		t.Errorf("a rare character gives %+v, want the missing glyph with a width", glyphs)
	}
}

func TestLinesBreakBetweenWords(t *testing.T) {
	f, s := NewFonts(), Style{Size: 10}
	width := f.Width("keep a wet edge", s) + 0.01
	var got []string
	for _, l := range f.Lines("keep a wet edge and work\r\nin strips", s, width).Lines {
		got = append(got, l.Text)
	}
	if want := "keep a wet edge|and work|in strips"; strings.Join(got, "|") != want {
		t.Errorf("lines %q, want %s", got, want)
	}
}

func TestNoBreakSpaceHolds(t *testing.T) {
	f, s := NewFonts(), Style{Size: 10}
	b := f.Lines("about 600\u00a0mm", s, f.Width("about 600 m", s))
	if len(b.Lines) != 2 || b.Lines[1].Text != "600\u00a0mm" {
		t.Errorf("lines %+v: figure and unit were parted", b.Lines)
	}
}

func TestLongWordIsCut(t *testing.T) {
	f, s := NewFonts(), Style{Size: 10}
	b := f.Lines(strings.Repeat("m", 40), s, 30)
	if len(b.Lines) < 3 || b.Width > 30 {
		t.Errorf("%d lines, the longest %.2f mm in a column of 30", len(b.Lines), b.Width)
	}
}

func TestRightToLeftParagraph(t *testing.T) {
	f, s := NewFonts(), Style{Size: 9, Lang: "ar"}
	b := f.Lines(arabic, s, 50)
	if len(b.Lines) < 2 || !strings.HasPrefix(b.Lines[0].Text, "اسحب") {
		t.Fatalf("first line %q must begin with the first word", b.Lines[0].Text)
	}
	for i, it := range b.Draw(10, 0, 50, Start) {
		if right := it.(Text).At.X + b.Lines[i].Width; math.Abs(right-60) > 1e-9 {
			t.Errorf("line %d ends at %.3f, want the right edge, 60", i, right)
		}
	}
	forced := f.Line("mm", Style{Direction: RightToLeft})
	if plain := f.Line("mm", Style{}); !forced.RTL || plain.RTL || math.Abs(forced.Width-plain.Width) > 1e-9 {
		t.Errorf("forced direction: RTL %v, width %.3f; plain %.3f", forced.RTL, forced.Width, plain.Width)
	}
}

func TestEmptyTextIsOneLine(t *testing.T) {
	b := NewFonts().Lines("", Style{Size: 10}, 50)
	if len(b.Lines) != 1 || b.Width != 0 || math.Abs(b.Height-10*PointMM*1.36) > 1e-9 {
		t.Errorf("%d lines, %g by %g", len(b.Lines), b.Width, b.Height)
	}
}

// spaceless is what must survive line breaking.
func spaceless(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return r
	}, s)
}

func TestLinesFitAndKeepEveryWord(t *testing.T) {
	f := NewFonts()
	words := []string{"glaze", "wet", "edge", "नियुक्ति", "की", "الجدار", "عرض", "வண்ணம்", "4\u202f200", "m²", "Beschichtungsaufbau", "1/2", "(two)", "–"}
	rapid.Check(t, func(rt *rapid.T) {
		text := strings.Join(rapid.SliceOfN(rapid.SampledFrom(words), 1, 25).Draw(rt, "words"), " ")
		width := rapid.Float64Range(2, 120).Draw(rt, "width")
		s := Style{Size: rapid.Float64Range(5, 20).Draw(rt, "size"), Bold: rapid.Bool().Draw(rt, "bold")}
		var kept strings.Builder
		for _, l := range f.Lines(text, s, width).Lines {
			kept.WriteString(l.Text)
			clusters := 0
			glyphs, _ := glyphsOf(l)
			for _, g := range glyphs {
				if g.Starts && spaceless(g.Text) != "" {
					clusters++
				}
			}
			if l.Width > width+1e-3 && clusters > 1 {
				rt.Fatalf("%q is %.3f mm in a column of %.3f", l.Text, l.Width, width)
			}
		}
		if got, want := spaceless(kept.String()), spaceless(text); got != want {
			rt.Fatalf("lines hold %q, want %q", got, want)
		}
	})
}

func TestFontsAreSafeTogether(t *testing.T) {
	f := NewFonts()
	want := NewFonts().Width(hindi, Style{})
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			if got := f.Width(hindi, Style{}); got != want {
				t.Errorf("width %.4f, want %.4f", got, want)
			}
			f.Lines(arabic, Style{}, 40)
		})
	}
	wait.Wait()
}

func FuzzLines(f *testing.F) {
	fonts := NewFonts()
	for _, s := range []string{"", "a b", hindi, arabic, tamil, "\xff\xfe", "\u202e\u2066x\u2069", "a\u0300\u0301\u200d\u200c", "\r\n\v\f\u2028", "\U0001F468\u200D\U0001F469", "1\u20440", "क्\u200dष्"} {
		f.Add(s, 30.0, 9.0)
	}
	f.Fuzz(func(t *testing.T, text string, width, size float64) {
		s := Style{Size: size}
		b := fonts.Lines(text, s, width)
		if len(b.Lines) == 0 || math.IsNaN(b.Height) || math.IsNaN(b.Width) {
			t.Errorf("%d lines, %g by %g", len(b.Lines), b.Width, b.Height)
		}
		if w := fonts.Width(text, s); !(w >= 0) {
			t.Errorf("width %g", w)
		}
	})
}
