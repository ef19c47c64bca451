package typeface

import (
	"bytes"
	"math"
	"os"
	"testing"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"

	"scumble/draw/outline"
)

func noto(t *testing.T) *Face {
	t.Helper()
	file, err := os.ReadFile("../font/NotoSans-Regular.ttf")
	if err != nil {
		t.Fatal(err)
	}
	f, err := Open(0, "NotoSans-Regular", file)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func glyphOf(t *testing.T, f *Face, r rune) font.GID {
	t.Helper()
	id, ok := f.Shape.NominalGlyph(r)
	if !ok {
		t.Fatalf("no glyph for %c", r)
	}
	return id
}

func TestOpenRefusesDamage(t *testing.T) {
	for _, file := range [][]byte{nil, []byte("OTTO"), bytes.Repeat([]byte{0}, 100)} {
		if _, err := Open(0, "x", file); err == nil {
			t.Errorf("%d bytes that are no font were opened", len(file))
		}
	}
}

// H stands on the baseline and is 714/1000 em high (OS/2 sCapHeight of Noto Sans).
func TestOutlineIsInEmWithYDown(t *testing.T) {
	f := noto(t)
	top, bottom := math.Inf(1), math.Inf(-1)
	for _, c := range outline.Flatten(f.Outline(glyphOf(t, f, 'H')), outline.Transform{}, 0.001) {
		if !c.Closed {
			t.Error("an open contour")
		}
		for _, p := range c.Points {
			top, bottom = min(top, p.Y), max(bottom, p.Y)
		}
	}
	if math.Abs(top+0.714) > 1e-6 || math.Abs(bottom) > 1e-6 {
		t.Errorf("H reaches from %.4f to %.4f em, want -0.714 to 0", top, bottom)
	}
	if o := f.Outline(glyphOf(t, f, ' ')); len(o) != 0 {
		t.Error("a space has an outline")
	}
}

func TestSubsetKeepsOutlinesAndDropsOthers(t *testing.T) {
	f := noto(t)
	a, acute, unused := glyphOf(t, f, 'a'), glyphOf(t, f, 'é'), glyphOf(t, f, 'Q') // é is made of two outlines
	file := f.Subset([]font.GID{a, acute})
	loader, err := opentype.NewLoader(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	small := &Face{tables: loader}
	table := glyphTable{data: small.Table("glyf"), loca: small.Table("loca"), long: true}
	whole := glyphTable{data: f.Table("glyf"), loca: f.Table("loca"), long: f.Table("head")[51] == 1}
	if table.count() != whole.count() {
		t.Fatalf("%d glyphs, want all %d numbers", table.count(), whole.count())
	}
	for _, id := range []font.GID{a, acute} {
		if kept := table.glyph(int(id)); len(kept) == 0 || !bytes.HasPrefix(kept, whole.glyph(int(id))) {
			t.Errorf("the outline of glyph %d is missing", id)
		}
	}
	if len(table.glyph(int(unused))) != 0 {
		t.Error("an unused outline was kept")
	}
	parts := whole.glyph(int(acute))
	if part := int(parts[12])<<8 | int(parts[13]); len(table.glyph(part)) == 0 {
		t.Error("a part of é is missing")
	}
	if len(file) > 60000 {
		t.Errorf("the subset has %d bytes", len(file))
	}
}
