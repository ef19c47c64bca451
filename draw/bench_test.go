package draw

import (
	"io"
	"testing"
)

func BenchmarkOpenFonts(b *testing.B) {
	for b.Loop() {
		NewFonts().Width("a", Style{})
	}
}

func BenchmarkLinesNew(b *testing.B) {
	f := NewFonts()
	f.Lines("x", Style{}, 80)
	for b.Loop() {
		clear(f.shaped)
		clear(f.wrapped)
		f.Lines("Drag the top glaze over the dry base in one stroke, from the ceiling to the skirting.", Style{}, 80)
	}
}

func BenchmarkLinesSeen(b *testing.B) {
	f := NewFonts()
	for b.Loop() {
		f.Lines("Drag the top glaze over the dry base in one stroke, from the ceiling to the skirting.", Style{}, 80)
	}
}

func BenchmarkTwentyPages(b *testing.B) {
	for b.Loop() {
		f := NewFonts()
		d := quote(b, f, 620, A4)
		if len(d.Pages) < 20 {
			b.Fatal(len(d.Pages), "pages")
		}
		if err := f.WritePDF(io.Discard, d); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPNGPage(b *testing.B) {
	f := NewFonts()
	page := quote(b, f, 40, A4).Pages[0]
	for b.Loop() {
		if _, err := f.PNG(page, 4); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSVGPage(b *testing.B) {
	f := NewFonts()
	page := quote(b, f, 40, A4).Pages[0]
	for b.Loop() {
		if err := f.WriteSVG(io.Discard, page); err != nil {
			b.Fatal(err)
		}
	}
}
