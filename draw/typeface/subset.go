package typeface

import (
	"encoding/binary"
	"slices"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
)

// Subset is the font file with the outlines of other glyphs emptied. Glyph
// numbers stay, so that nothing else in the file needs to change.
func (f *Face) Subset(used []font.GID) []byte {
	glyf := glyphTable{data: f.Table("glyf"), loca: f.Table("loca"), long: f.Table("head")[51] == 1}
	keep := map[int]bool{}
	for _, id := range used {
		glyf.keep(int(id), keep)
	}
	outlines, places := glyf.without(keep)
	head := slices.Clone(f.Table("head"))
	head[51] = 1 // long offsets
	replaced := map[string][]byte{"glyf": outlines, "loca": places, "head": head}
	var tables []opentype.Table
	for _, tag := range []string{"cvt ", "fpgm", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "prep"} {
		data, ok := replaced[tag]
		if !ok {
			data = f.Table(tag)
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
