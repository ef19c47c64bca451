// Package dxffile writes a drawing for CAD programs as ASCII DXF R12 (AC1009):
// lines, circles and lettering on layers, in mm at full size with y up.
// Measures that are not numbers become 0.
package dxffile

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf16"

	"scumble/geom"
)

// Drawing is a drawing being made.
type Drawing struct {
	entities  codes
	layer     string // that entities lie on
	layers    []layer
	low, high geom.Point
}

type layer struct {
	name   string
	colour int
	line   string
}

// New is a drawing with nothing on it. What is drawn before the first Layer
// lies on layer 0.
func New() *Drawing {
	inf := math.Inf(1)
	return &Drawing{layer: "0", low: geom.Point{X: inf, Y: inf}, high: geom.Point{X: -inf, Y: -inf}}
}

// Layer begins a layer for what is drawn next. Its name is cut down to what R12
// allows: capitals, digits, $ - _, 31 characters; names that come out the same
// are one layer, which looks as it was first begun. colour is a DXF colour index,
// 1 to 255; others mean 7 (black or white).
func (d *Drawing) Layer(name string, colour int, dashed bool) {
	d.layer = layerName(name)
	if slices.ContainsFunc(d.layers, func(l layer) bool { return l.name == d.layer }) {
		return
	}
	if colour < 1 || colour > 255 {
		colour = 7
	}
	line := "CONTINUOUS"
	if dashed {
		line = "DASHED"
	}
	d.layers = append(d.layers, layer{d.layer, colour, line})
}

// reach widens the extent of the drawing to r around the points.
func (d *Drawing) reach(r float64, points ...geom.Point) {
	for _, p := range points {
		d.low = geom.Point{X: min(d.low.X, p.X-r), Y: min(d.low.Y, p.Y-r)}
		d.high = geom.Point{X: max(d.high.X, p.X+r), Y: max(d.high.Y, p.Y+r)}
	}
}

// Line draws a straight line.
func (d *Drawing) Line(from, to geom.Point) {
	d.reach(0, from, to)
	d.entities.put(0, "LINE", 8, d.layer, 10, from, 11, to)
}

// Polyline joins points by straight edges; it takes two points or more.
func (d *Drawing) Polyline(points []geom.Point, closed bool) {
	d.reach(0, points...)
	if len(points) < 2 {
		return
	}
	d.entities.put(0, "POLYLINE", 8, d.layer, 66, 1, 10, geom.Point{})
	if closed {
		d.entities.put(70, 1)
	}
	for _, p := range points {
		d.entities.put(0, "VERTEX", 8, d.layer, 10, p)
	}
	d.entities.put(0, "SEQEND", 8, d.layer)
}

// Circle draws a circle of radius r.
func (d *Drawing) Circle(centre geom.Point, r float64) {
	d.reach(r, centre)
	if r > 0 {
		d.entities.put(0, "CIRCLE", 8, d.layer, 10, centre, 40, r)
	}
}

// Arc runs anticlockwise from one angle to another, in degrees, 0 to the right.
func (d *Drawing) Arc(centre geom.Point, r, from, to float64) {
	d.reach(r, centre)
	if r > 0 {
		d.entities.put(0, "ARC", 8, d.layer, 10, centre, 40, r, 50, from, 51, to)
	}
}

// Anchor is the part of a line of lettering that lies at its place.
type Anchor int

// The anchors; the numbers are those of DXF.
const (
	Left Anchor = iota
	Centre
	Right
)

// Text letters one line with its baseline at a place; height is that of capitals,
// rotation in degrees anticlockwise.
func (d *Drawing) Text(at geom.Point, height float64, text string, rotation float64, anchor Anchor) {
	d.reach(0, at)
	text = asciiText(text)
	if text == "" || !(height > 0) {
		return
	}
	d.entities.put(0, "TEXT", 8, d.layer, 10, at, 40, height, 1, text, 50, rotation, 7, "STANDARD")
	if anchor != Left {
		d.entities.put(72, int(anchor), 11, at)
	}
}

// codes is group codes and values, a line each.
type codes struct{ bytes.Buffer }

// put writes pairs of a group code and a string, an int, a float64 or a point.
func (c *codes) put(pairs ...any) {
	for i := 0; i < len(pairs); i += 2 {
		code := pairs[i].(int)
		switch value := pairs[i+1].(type) {
		case string:
			fmt.Fprintf(c, "%3d\r\n%s\r\n", code, value)
		case int:
			fmt.Fprintf(c, "%3d\r\n%6d\r\n", code, value)
		case float64:
			if math.IsNaN(value) || math.IsInf(value, 0) {
				value = 0
			}
			fmt.Fprintf(c, "%3d\r\n%.6f\r\n", code, value)
		case geom.Point:
			c.put(code, value.X, code+10, value.Y, code+20, 0.0)
		}
	}
}

// Bytes is the finished file.
func (d *Drawing) Bytes() []byte {
	low, high := d.low, d.high
	if low.X > high.X { // nothing drawn
		low, high = geom.Point{}, geom.Point{}
	}
	const millimetres = 4
	var c codes
	c.put(0, "SECTION", 2, "HEADER", 9, "$ACADVER", 1, "AC1009", 9, "$INSUNITS", 70, millimetres,
		9, "$EXTMIN", 10, low, 9, "$EXTMAX", 10, high, 0, "ENDSEC")
	c.put(0, "SECTION", 2, "TABLES")
	c.put(0, "TABLE", 2, "LTYPE", 70, 2)
	c.lineType("CONTINUOUS", "Solid line")
	c.lineType("DASHED", "__ __ __", 50, -25) // mm on the wall
	c.put(0, "ENDTAB")
	c.layerTable(d.layers)
	c.put(0, "TABLE", 2, "STYLE", 70, 1, 0, "STYLE", 2, "STANDARD", 70, 0, 40, 0.0, 41, 1.0, 50, 0.0,
		71, 0, 42, 2.5, 3, "txt", 4, "", 0, "ENDTAB")
	c.put(0, "ENDSEC", 0, "SECTION", 2, "ENTITIES")
	c.Write(d.entities.Bytes())
	c.put(0, "ENDSEC", 0, "EOF")
	return c.Bytes()
}

func (c *codes) lineType(name, looks string, pattern ...float64) {
	total := 0.0
	for _, p := range pattern {
		total += math.Abs(p)
	}
	c.put(0, "LTYPE", 2, name, 70, 0, 3, looks, 72, int('A'), 73, len(pattern), 40, total)
	for _, p := range pattern {
		c.put(49, p)
	}
}

func (c *codes) layerTable(layers []layer) {
	if !slices.ContainsFunc(layers, func(l layer) bool { return l.name == "0" }) {
		layers = append([]layer{{"0", 7, "CONTINUOUS"}}, layers...)
	}
	c.put(0, "TABLE", 2, "LAYER", 70, len(layers))
	for _, l := range layers {
		c.put(0, "LAYER", 2, l.name, 70, 0, 62, l.colour, 6, l.line)
	}
	c.put(0, "ENDTAB")
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

// asciiText writes characters outside ASCII as \U+XXXX (above the basic plane as a
// surrogate pair) and leaves out control characters, which would end the line.
func asciiText(text string) string {
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
