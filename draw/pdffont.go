package draw

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
)

// subset is what a document uses of one face. A glyph is numbered anew (CID) for
// each text it stands for: an Arabic letter and its dots are two glyphs, and the
// body alone may be any of three letters.
type subset struct {
	face *face
	cids []meaning // by CID; CID 0 is the missing glyph
	find map[meaning]int
}

type meaning struct {
	id   font.GID
	text string
}

func (p *pdf) subset(fc *face) *subset {
	if p.subsets[fc.number] == nil {
		p.subsets[fc.number] = &subset{fc, []meaning{{}}, map[meaning]int{}}
	}
	return p.subsets[fc.number]
}

func (s *subset) cid(m meaning) int {
	cid, ok := s.find[m]
	if !ok && len(s.cids) > 0xffff {
		return 0 // no numbers left: only a document of rare characters gets here
	}
	if !ok {
		cid = len(s.cids)
		s.find[m] = cid
		s.cids = append(s.cids, m)
	}
	return cid
}

// width is the advance in 1/1000 em as the PDF knows it.
func (s *subset) width(id font.GID) int {
	return int(s.face.shape.HorizontalAdvance(id)*1000/float32(s.face.shape.Upem()) + 0.5)
}

// showing sets the glyphs of one run.
type showing struct {
	c      *content
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
func (s *showing) words(r run) {
	texts := spoken(r.glyphs)
	for i := 0; i < len(r.glyphs); {
		space := isSpace(r.glyphs[i])
		plain := true
		j := i
		for ; j < len(r.glyphs) && (!r.glyphs[j].starts || isSpace(r.glyphs[j]) == space); j++ {
			plain = plain && r.glyphs[j].starts
		}
		if plain || r.rtl {
			s.show(r.glyphs[i:j], texts[i:j])
		} else {
			s.c.op("/Span<</ActualText<FEFF%s>>>BDC", utf16Hex(strings.Join(texts[i:j], "")))
			s.show(r.glyphs[i:j], texts[i:j])
			s.c.op("EMC")
		}
		i = j
	}
}

// spoken gives each cluster's text to its widest glyph, the first of equals.
func spoken(glyphs []glyph) []string {
	texts := make([]string, len(glyphs))
	for i := 0; i < len(glyphs); {
		widest, j := i, i+1
		for ; j < len(glyphs) && !glyphs[j].starts; j++ {
			if glyphs[j].advance > glyphs[widest].advance {
				widest = j
			}
		}
		texts[widest] = strings.Map(func(r rune) rune {
			if unicode.Is(unicode.Bidi_Control, r) {
				return -1
			}
			return r
		}, glyphs[i].text)
		i = j
	}
	return texts
}

func isSpace(g glyph) bool {
	return g.text != "" && strings.TrimFunc(g.text, unicode.IsSpace) == ""
}

// show writes one TJ operator, or several where glyphs leave the baseline.
func (s *showing) show(glyphs []glyph, texts []string) {
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
		if g.y != s.rise {
			flush()
			s.c.op("%s Ts", num(-g.y*s.em))
			s.rise = g.y
		}
		if step := roundTo(1000 * (g.x - s.pen)); step != 0 {
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
		fmt.Fprintf(&b, "%04X", s.subset.cid(meaning{g.id, texts[i]}))
		s.pen += float64(s.subset.width(g.id)) / 1000
	}
	flush()
	if s.rise != 0 {
		s.c.op("0 Ts")
		s.rise = 0
	}
}

func roundTo(v float64) int {
	if v < 0 {
		return -int(-v + 0.5)
	}
	return int(v + 0.5)
}

// font writes the face with the glyphs used and returns its object number.
func (p *pdf) font(s *subset) int {
	file := s.face.subsetFile(s.cids)
	name := subsetTag(file) + "+" + s.face.name
	head, hhea, os2 := s.face.table("head"), s.face.table("hhea"), s.face.table("OS/2")
	scaled := func(table []byte, at int) int {
		if len(table) < at+2 {
			return 0
		}
		return int(int16(binary.BigEndian.Uint16(table[at:]))) * 1000 / int(s.face.shape.Upem())
	}
	stem := 80 // stem widths are only a hint for substitutes; from memory
	if strings.HasSuffix(s.face.name, "Bold") {
		stem = 140
	}
	descriptor := p.add("<</Type/FontDescriptor/FontName/%s/Flags 4/FontBBox[%d %d %d %d]/ItalicAngle 0/Ascent %d/Descent %d/CapHeight %d/StemV %d/FontFile2 %d 0 R>>",
		name, scaled(head, 36), scaled(head, 38), scaled(head, 40), scaled(head, 42),
		scaled(hhea, 4), scaled(hhea, 6), scaled(os2, 88), stem,
		p.stream(fmt.Sprintf("/Length1 %d", len(file)), file, false))
	var widths strings.Builder
	var glyphs []byte
	for i, m := range s.cids {
		if i > 0 {
			widths.WriteByte(' ')
		}
		fmt.Fprint(&widths, s.width(m.id))
		glyphs = binary.BigEndian.AppendUint16(glyphs, uint16(m.id))
	}
	cid := p.add("<</Type/Font/Subtype/CIDFontType2/BaseFont/%s/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/FontDescriptor %d 0 R/CIDToGIDMap %d 0 R/DW 0/W[0[%s]]>>",
		name, descriptor, p.stream("", glyphs, false), widths.String())
	return p.add("<</Type/Font/Subtype/Type0/BaseFont/%s/Encoding/Identity-H/DescendantFonts[%d 0 R]/ToUnicode %d 0 R>>",
		name, cid, p.stream("", s.toUnicode(), false))
}

// subsetTag is six letters that differ between different subsets.
func subsetTag(file []byte) string {
	sum := sha256.Sum256(file)
	tag := sum[:6]
	for i := range tag {
		tag[i] = 'A' + tag[i]%26
	}
	return string(tag)
}

// toUnicode is the CMap from CIDs to text.
func (s *subset) toUnicode() []byte {
	var known []int
	for cid, m := range s.cids {
		if m.text != "" {
			known = append(known, cid)
		}
	}
	var b bytes.Buffer
	b.WriteString(`/CIDInit /ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo <</Registry(Adobe)/Ordering(UCS)/Supplement 0>> def
/CMapName /Adobe-Identity-UCS def
/CMapType 2 def
1 begincodespacerange
<0000><FFFF>
endcodespacerange
`)
	for part := range slices.Chunk(known, 100) { // the most one block may hold
		fmt.Fprintf(&b, "%d beginbfchar\n", len(part))
		for _, cid := range part {
			fmt.Fprintf(&b, "<%04X><%s>\n", cid, utf16Hex(s.cids[cid].text))
		}
		b.WriteString("endbfchar\n")
	}
	b.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n")
	return b.Bytes()
}

// subsetFile is the font file with the outlines of other glyphs emptied. Glyph
// numbers stay, so that nothing else in the file needs to change.
func (fc *face) subsetFile(used []meaning) []byte {
	glyf := glyphTable{data: fc.table("glyf"), loca: fc.table("loca"), long: fc.table("head")[51] == 1}
	keep := map[int]bool{}
	for _, m := range used {
		glyf.keep(int(m.id), keep)
	}
	outlines, places := glyf.without(keep)
	head := slices.Clone(fc.table("head"))
	head[51] = 1 // long offsets
	replaced := map[string][]byte{"glyf": outlines, "loca": places, "head": head}
	var tables []opentype.Table
	for _, tag := range []string{"cvt ", "fpgm", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "prep"} {
		data, ok := replaced[tag]
		if !ok {
			data = fc.table(tag)
		}
		if len(data) > 0 {
			tables = append(tables, opentype.Table{Tag: opentype.MustNewTag(tag), Content: data})
		}
	}
	return opentype.WriteTTF(tables)
}

// glyphTable is the glyf table with its index.
type glyphTable struct {
	data, loca []byte
	long       bool
}

func (t glyphTable) count() int {
	if t.long {
		return len(t.loca)/4 - 1
	}
	return len(t.loca)/2 - 1
}

func (t glyphTable) glyph(i int) []byte {
	at := func(i int) int {
		if t.long {
			return int(binary.BigEndian.Uint32(t.loca[4*i:]))
		}
		return 2 * int(binary.BigEndian.Uint16(t.loca[2*i:]))
	}
	return t.data[at(i):at(i+1)]
}

// Flags of the parts of a composite glyph (OpenType specification, "glyf").
const (
	argsAreWords   = 0x0001
	hasScale       = 0x0008
	moreComponents = 0x0020
	hasXYScale     = 0x0040
	hasTwoByTwo    = 0x0080
)

// keep marks a glyph and the glyphs it is put together from.
func (t glyphTable) keep(i int, kept map[int]bool) {
	if kept[i] || i < 0 || i >= t.count() {
		return
	}
	kept[i] = true
	g := t.glyph(i)
	if len(g) < 10 || int16(binary.BigEndian.Uint16(g)) >= 0 {
		return
	}
	for at := 10; at+4 <= len(g); {
		flags := binary.BigEndian.Uint16(g[at:])
		t.keep(int(binary.BigEndian.Uint16(g[at+2:])), kept)
		at += 6
		if flags&argsAreWords != 0 {
			at += 2
		}
		switch {
		case flags&hasScale != 0:
			at += 2
		case flags&hasXYScale != 0:
			at += 4
		case flags&hasTwoByTwo != 0:
			at += 8
		}
		if flags&moreComponents == 0 {
			return
		}
	}
}

// without rebuilds the table and its index with only the kept outlines.
func (t glyphTable) without(kept map[int]bool) (data, loca []byte) {
	n := t.count()
	loca = make([]byte, 4*(n+1))
	for i := range n {
		binary.BigEndian.PutUint32(loca[4*i:], uint32(len(data)))
		if kept[i] {
			data = append(data, t.glyph(i)...)
			for len(data)%4 != 0 {
				data = append(data, 0)
			}
		}
	}
	binary.BigEndian.PutUint32(loca[4*n:], uint32(len(data)))
	return data, loca
}
