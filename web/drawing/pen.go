// Package drawing draws the walls of a job for the screen: the frieze and the
// elevations, as SVG that carries classes of the style sheet and no colours of its
// own, so that light, dark and print follow. Coordinates are in px, y down.
package drawing

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strconv"
	"strings"

	"scumble/geom"
)

// pen writes SVG. Everything that people typed goes through text or attr.
type pen struct{ strings.Builder }

func (p *pen) put(format string, values ...any) { fmt.Fprintf(p, format, values...) }

// px prints a coordinate to a tenth of a pixel.
func px(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "0"
	}
	v = math.Round(v*10) / 10
	if v == 0 {
		v = 0 // no minus before a zero
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func esc(text string) string { return html.EscapeString(text) }

func (p *pen) html() template.HTML { return template.HTML(p.String()) }

// text sets a line of lettering.
func (p *pen) text(x, y float64, class, words string) {
	p.put(`<text x="%s" y="%s"`, px(x), px(y))
	if class != "" {
		p.put(` class="%s"`, class)
	}
	p.put(">%s</text>", esc(words))
}

// upright sets a line of lettering that is read from the right.
func (p *pen) upright(x, y float64, class, words string) {
	p.put(`<text class="%s" transform="translate(%s %s) rotate(-90)">%s</text>`, class, px(x), px(y), esc(words))
}

// path strokes or fills what a string of path data says.
func (p *pen) path(class, data string) { p.put(`<path class="%s" d="%s"/>`, class, data) }

// line draws from one place to another.
func (p *pen) line(class string, x1, y1, x2, y2 float64) {
	p.path(class, "M"+px(x1)+" "+px(y1)+"L"+px(x2)+" "+px(y2))
}

// sheet maps mm of wall to px: x to the right from left, y down to the floor.
type sheet struct {
	left, floor float64 // px of the wall's (0, 0)
	scale       float64 // px for one mm
}

func (s sheet) x(mm float64) float64 { return s.left + mm*s.scale }
func (s sheet) y(mm float64) float64 { return s.floor - mm*s.scale }

// ring is a closed outline as path data.
func (s sheet) ring(o geom.Polygon) string {
	var b strings.Builder
	for i, c := range o {
		b.WriteByte("ML"[min(i, 1)])
		b.WriteString(px(s.x(c.X)))
		b.WriteByte(' ')
		b.WriteString(px(s.y(c.Y)))
	}
	if len(o) > 0 {
		b.WriteByte('Z')
	}
	return b.String()
}

// region is every ring of a region as path data, for an even-odd fill or clip.
func (s sheet) region(r geom.Region) string {
	var b strings.Builder
	for _, part := range r {
		b.WriteString(s.ring(part.Outer))
		for _, hole := range part.Holes {
			b.WriteString(s.ring(hole))
		}
	}
	return b.String()
}
