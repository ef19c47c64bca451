package pdffile

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"slices"
	"strings"

	"github.com/go-text/typesetting/font"

	"scumble/draw/typeface"
)

// subset is what a document uses of one face. A glyph is numbered anew (CID) for
// each text it stands for: an Arabic letter and its dots are two glyphs, and the
// body alone may be any of three letters.
type subset struct {
	face *typeface.Face
	cids []meaning // by CID; CID 0 is the missing glyph
	find map[meaning]int
}

type meaning struct {
	id   font.GID
	text string
}

// subset is the file's part of a face, begun the first time.
func (f *File) subset(face *typeface.Face) *subset {
	for len(f.subsets) <= face.Number {
		f.subsets = append(f.subsets, nil)
	}
	if f.subsets[face.Number] == nil {
		f.subsets[face.Number] = &subset{face, []meaning{{}}, map[meaning]int{}}
	}
	return f.subsets[face.Number]
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
	return int(s.face.Shape.HorizontalAdvance(id)*1000/float32(s.face.Shape.Upem()) + 0.5)
}

// embed writes the face with the glyphs used and returns its object number.
func (f *File) embed(s *subset) int {
	used := make([]font.GID, len(s.cids))
	for i, m := range s.cids {
		used[i] = m.id
	}
	file := s.face.Subset(used)
	name := subsetTag(file) + "+" + s.face.Name
	head, hhea, os2 := s.face.Table("head"), s.face.Table("hhea"), s.face.Table("OS/2")
	scaled := func(table []byte, at int) int {
		if len(table) < at+2 {
			return 0
		}
		return int(int16(binary.BigEndian.Uint16(table[at:]))) * 1000 / int(s.face.Shape.Upem())
	}
	stem := 80 // stem widths are only a hint for substitutes; from memory
	if strings.HasSuffix(s.face.Name, "Bold") {
		stem = 140
	}
	descriptor := f.add("<</Type/FontDescriptor/FontName/%s/Flags 4/FontBBox[%d %d %d %d]/ItalicAngle 0/Ascent %d/Descent %d/CapHeight %d/StemV %d/FontFile2 %d 0 R>>",
		name, scaled(head, 36), scaled(head, 38), scaled(head, 40), scaled(head, 42),
		scaled(hhea, 4), scaled(hhea, 6), scaled(os2, 88), stem,
		f.stream(fmt.Sprintf("/Length1 %d", len(file)), file, false))
	var widths strings.Builder
	var glyphs []byte
	for i, id := range used {
		if i > 0 {
			widths.WriteByte(' ')
		}
		fmt.Fprint(&widths, s.width(id))
		glyphs = binary.BigEndian.AppendUint16(glyphs, uint16(id))
	}
	cid := f.add("<</Type/Font/Subtype/CIDFontType2/BaseFont/%s/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/FontDescriptor %d 0 R/CIDToGIDMap %d 0 R/DW 0/W[0[%s]]>>",
		name, descriptor, f.stream("", glyphs, false), widths.String())
	return f.add("<</Type/Font/Subtype/Type0/BaseFont/%s/Encoding/Identity-H/DescendantFonts[%d 0 R]/ToUnicode %d 0 R>>",
		name, cid, f.stream("", s.toUnicode(), false))
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
