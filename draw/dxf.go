package draw

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf16"
)

// Layer is one layer of a DXF drawing, in wall coordinates: mm at full size, y up.
type Layer struct {
	// Name is cut down to what R12 allows: capitals, digits, $ - _, 31 characters.
	Name string
	// Colour is a DXF colour index, 1 to 255; zero means 7 (black or white).
	Colour int
	Dashed bool
	Shapes []Shape
}

// Shape is a thing on a Layer: CADLine, CADPolyline, CADCircle, CADArc or CADText.
type Shape interface{ write(d *dxf, layer string) }

// CADLine is a straight line.
type CADLine struct{ From, To Point }

// CADPolyline joins points by straight edges.
type CADPolyline struct {
	Points []Point
	Closed bool
}

// CADCircle is a circle of radius R mm.
type CADCircle struct {
	Centre Point
	R      float64
}

// CADArc runs anticlockwise From one angle To another, in degrees, 0 to the right.
type CADArc struct {
	Centre   Point
	R        float64
	From, To float64
}

// CADText is one line of lettering; Height is that of capitals in mm, Rotation
// in degrees anticlockwise.
type CADText struct {
	At       Point
	Height   float64
	Text     string
	Rotation float64
	Align    Align
}

// dxf writes group codes and values, a line each.
type dxf struct{ w *bufio.Writer }

func (d *dxf) text(code int, value string) { fmt.Fprintf(d.w, "%3d\r\n%s\r\n", code, value) }

func (d *dxf) whole(code, value int) { fmt.Fprintf(d.w, "%3d\r\n%6d\r\n", code, value) }

func (d *dxf) real(code int, value float64) {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		value = 0
	}
	fmt.Fprintf(d.w, "%3d\r\n%.6f\r\n", code, value)
}

func (d *dxf) point(code int, p Point) {
	d.real(code, p.X)
	d.real(code+10, p.Y)
	d.real(code+20, 0)
}

func (d *dxf) entity(kind, layer string) {
	d.text(0, kind)
	d.text(8, layer)
}

func (l CADLine) write(d *dxf, layer string) {
	d.entity("LINE", layer)
	d.point(10, l.From)
	d.point(11, l.To)
}

func (l CADPolyline) write(d *dxf, layer string) {
	if len(l.Points) < 2 {
		return
	}
	d.entity("POLYLINE", layer)
	d.whole(66, 1)
	d.point(10, Point{})
	if l.Closed {
		d.whole(70, 1)
	}
	for _, p := range l.Points {
		d.entity("VERTEX", layer)
		d.point(10, p)
	}
	d.entity("SEQEND", layer)
}

func (c CADCircle) write(d *dxf, layer string) {
	if !(c.R > 0) {
		return
	}
	d.entity("CIRCLE", layer)
	d.point(10, c.Centre)
	d.real(40, c.R)
}

func (a CADArc) write(d *dxf, layer string) {
	if !(a.R > 0) {
		return
	}
	d.entity("ARC", layer)
	d.point(10, a.Centre)
	d.real(40, a.R)
	d.real(50, a.From)
	d.real(51, a.To)
}

func (t CADText) write(d *dxf, layer string) {
	text := dxfText(t.Text)
	if text == "" || !(t.Height > 0) {
		return
	}
	d.entity("TEXT", layer)
	d.point(10, t.At)
	d.real(40, t.Height)
	d.text(1, text)
	d.real(50, t.Rotation)
	d.text(7, "STANDARD")
	if t.Align == Centre || t.Align == Right {
		d.whole(72, map[Align]int{Centre: 1, Right: 2}[t.Align])
		d.point(11, t.At)
	}
}

// WriteDXF writes an ASCII DXF R12 (AC1009) drawing in millimetres. Layers whose
// names come out the same are one layer. Measures that are not numbers become 0.
func WriteDXF(w io.Writer, layers []Layer) error {
	d := &dxf{bufio.NewWriter(w)}
	low, high := extent(layers)
	d.text(0, "SECTION")
	d.text(2, "HEADER")
	d.text(9, "$ACADVER")
	d.text(1, "AC1009")
	d.text(9, "$INSUNITS")
	d.whole(70, 4) // millimetres
	d.text(9, "$EXTMIN")
	d.point(10, low)
	d.text(9, "$EXTMAX")
	d.point(10, high)
	d.text(0, "ENDSEC")
	d.tables(layers)
	d.text(0, "SECTION")
	d.text(2, "ENTITIES")
	for _, l := range layers {
		name := layerName(l.Name)
		for _, s := range l.Shapes {
			s.write(d, name)
		}
	}
	d.text(0, "ENDSEC")
	d.text(0, "EOF")
	return d.w.Flush()
}

func (d *dxf) table(name string, entries int) {
	d.text(0, "TABLE")
	d.text(2, name)
	d.whole(70, entries)
}

func (d *dxf) lineType(name, looks string, pattern ...float64) {
	d.text(0, "LTYPE")
	d.text(2, name)
	d.whole(70, 0)
	d.text(3, looks)
	d.whole(72, 'A')
	d.whole(73, len(pattern))
	total := 0.0
	for _, p := range pattern {
		total += math.Abs(p)
	}
	d.real(40, total)
	for _, p := range pattern {
		d.real(49, p)
	}
}

func (d *dxf) tables(layers []Layer) {
	d.text(0, "SECTION")
	d.text(2, "TABLES")
	d.table("LTYPE", 2)
	d.lineType("CONTINUOUS", "Solid line")
	d.lineType("DASHED", "__ __ __", 50, -25) // mm on the wall
	d.text(0, "ENDTAB")

	seen := map[string]bool{}
	var unique []Layer
	for _, l := range layers {
		l.Name = layerName(l.Name)
		if !seen[l.Name] {
			seen[l.Name] = true
			unique = append(unique, l)
		}
	}
	if !seen["0"] {
		unique = append([]Layer{{Name: "0"}}, unique...)
	}
	d.table("LAYER", len(unique))
	for _, l := range unique {
		d.text(0, "LAYER")
		d.text(2, l.Name)
		d.whole(70, 0)
		if l.Colour < 1 || l.Colour > 255 {
			l.Colour = 7
		}
		d.whole(62, l.Colour)
		if l.Dashed {
			d.text(6, "DASHED")
		} else {
			d.text(6, "CONTINUOUS")
		}
	}
	d.text(0, "ENDTAB")

	d.table("STYLE", 1)
	d.text(0, "STYLE")
	d.text(2, "STANDARD")
	d.whole(70, 0)
	d.real(40, 0)
	d.real(41, 1)
	d.real(50, 0)
	d.whole(71, 0)
	d.real(42, 2.5)
	d.text(3, "txt")
	d.text(4, "")
	d.text(0, "ENDTAB")
	d.text(0, "ENDSEC")
}

// extent is the upright box around all shapes, texts by their insertion point.
func extent(layers []Layer) (low, high Point) {
	low, high = Pt(math.Inf(1), math.Inf(1)), Pt(math.Inf(-1), math.Inf(-1))
	add := func(r float64, points ...Point) {
		for _, p := range points {
			low = Pt(min(low.X, p.X-r), min(low.Y, p.Y-r))
			high = Pt(max(high.X, p.X+r), max(high.Y, p.Y+r))
		}
	}
	for _, l := range layers {
		for _, s := range l.Shapes {
			switch s := s.(type) {
			case CADLine:
				add(0, s.From, s.To)
			case CADPolyline:
				add(0, s.Points...)
			case CADCircle:
				add(s.R, s.Centre)
			case CADArc:
				add(s.R, s.Centre)
			case CADText:
				add(0, s.At)
			}
		}
	}
	if low.X > high.X {
		return Point{}, Point{}
	}
	return low, high
}

// layerName keeps to the R12 rule for names.
func layerName(name string) string {
	name = strings.Map(func(r rune) rune {
		switch {
		case r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '$', r == '-', r == '_':
			return r
		}
		return '_'
	}, strings.ToUpper(name))
	if name == "" {
		return "0"
	}
	return name[:min(len(name), 31)]
}

// dxfText writes characters outside ASCII as \U+XXXX (above the basic plane as a
// surrogate pair) and leaves out control characters, which would end the line.
func dxfText(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case r < ' ' || r == 0x7f:
			b.WriteByte(' ')
		case r < 0x7f:
			b.WriteRune(r)
		default:
			for _, u := range utf16.Encode([]rune{r}) {
				fmt.Fprintf(&b, `\U+%04X`, u)
			}
		}
	}
	s := strings.TrimSpace(b.String())
	if len(s) > 250 { // an R12 line holds 255 characters
		s = s[:250]
		if i := strings.LastIndex(s, `\U+`); i > len(s)-7 {
			s = s[:i]
		}
	}
	return s
}
