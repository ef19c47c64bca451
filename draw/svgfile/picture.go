// Package svgfile writes one SVG picture from outlines, pictures and letters, in
// mm from the top left corner with y down. Letters are outlines, so that they
// look the same everywhere, with the words beside them for screen readers.
// It knows neither layout nor the items of a scene.
package svgfile

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image/color"
	"math"
	"strings"

	"github.com/go-text/typesetting/font"

	"scumble/draw/outline"
	"scumble/draw/typeface"
)

var num = outline.Decimal

// Picture is a picture being written. What overlaps is painted in the order added.
type Picture struct {
	id         string // made fit for XML
	prefix     string
	defs, body bytes.Buffer
	ids        map[string]bool // taken
	letters    map[letter]bool // outlines already defined
	clips      int
	open       []string // what ends the groups that are open
}

type letter struct {
	face int
	id   font.GID
}

// New begins a picture. ID, which may be empty, names it and stands before the
// names made for it, so that two pictures can share one HTML page.
func New(id string) *Picture {
	p := &Picture{prefix: id, ids: map[string]bool{}, letters: map[letter]bool{}}
	if id != "" {
		p.id = p.unique(id)
	}
	return p
}

// unique makes a name that XML allows and that is not yet taken.
func (p *Picture) unique(id string) string {
	id = xmlName(id)
	name := id
	for n := 2; p.ids[name]; n++ {
		name = fmt.Sprintf("%s-%d", id, n)
	}
	p.ids[name] = true
	return name
}

// Bytes is the finished picture of w by h mm.
func (p *Picture) Bytes(w, h float64, title, desc string) []byte {
	root := ""
	if p.id != "" {
		root = fmt.Sprintf(` id="%s"`, p.id)
	}
	var out bytes.Buffer
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg"%s width="%smm" height="%smm" viewBox="0 0 %s %s" stroke-miterlimit="%d" role="img">`,
		root, num(w), num(h), num(w), num(h), outline.MiterLimit)
	out.WriteByte('\n')
	if title != "" {
		fmt.Fprintf(&out, "<title>%s</title>\n", xmlText(title))
	}
	if desc != "" {
		fmt.Fprintf(&out, "<desc>%s</desc>\n", xmlText(desc))
	}
	if p.defs.Len() > 0 {
		fmt.Fprintf(&out, "<defs>\n%s</defs>\n", p.defs.String())
	}
	out.Write(p.body.Bytes())
	out.WriteString("</svg>\n")
	return out.Bytes()
}

// Group is what things between Open and Close share; each part may be left out.
type Group struct {
	ID, Title string
	Link      string            // an address, or "#id" of a group
	Place     outline.Transform // maps the group to what is around it
	Clip      outline.Outline   // hides what lies outside (even-odd)
}

// Open begins a group.
func (p *Picture) Open(g Group) {
	var attrs strings.Builder
	if g.ID != "" {
		fmt.Fprintf(&attrs, ` id="%s"`, p.unique(g.ID))
	}
	if g.Place != (outline.Transform{}) && g.Place != (outline.Transform{A: 1, D: 1}) {
		fmt.Fprintf(&attrs, ` transform="%s"`, matrix(g.Place))
	}
	if len(g.Clip) > 0 {
		p.clips++
		id := p.unique(p.prefix + "clip" + fmt.Sprint(p.clips))
		fmt.Fprintf(&p.defs, "<clipPath id=\"%s\"><path clip-rule=\"evenodd\" d=\"%s\"/></clipPath>\n", id, pathData(g.Clip))
		fmt.Fprintf(&attrs, ` clip-path="url(#%s)"`, id)
	}
	fmt.Fprintf(&p.body, "<g%s>\n", attrs.String())
	if g.Title != "" {
		fmt.Fprintf(&p.body, "<title>%s</title>\n", xmlText(g.Title))
	}
	end := "</g>\n"
	if g.Link != "" {
		if id, internal := strings.CutPrefix(g.Link, "#"); internal {
			g.Link = "#" + xmlName(id)
		}
		fmt.Fprintf(&p.body, "<a href=\"%s\">\n", xmlText(g.Link))
		end = "</a>\n" + end
	}
	p.open = append(p.open, end)
}

// Close ends the group opened last.
func (p *Picture) Close() {
	last := len(p.open) - 1
	p.body.WriteString(p.open[last])
	p.open = p.open[:last]
}

// Path fills an outline (even-odd) and then draws along it. A colour without
// opacity, a pen without width and an outline without a start paint nothing.
func (p *Picture) Path(o outline.Outline, fill color.NRGBA, pen outline.Pen, stroke color.NRGBA) {
	line := strokeAttrs(pen, stroke)
	data := pathData(o)
	if data == "" || line == "" && fill.A == 0 {
		return
	}
	rule := ""
	if fill.A > 0 {
		rule = ` fill-rule="evenodd"`
	}
	fmt.Fprintf(&p.body, "<path%s%s%s d=\"%s\"/>\n", colour("fill", fill), rule, line, data)
}

// unitsPerEm is the grid letters are written on, as in the font files.
const unitsPerEm = 1000

// Text shows runs of glyphs as the words they stand for; place maps em to the
// page. edge, in em, is drawn behind the letters if it has a width.
func (p *Picture) Text(words string, runs []typeface.Run, place outline.Transform, fill color.NRGBA, edge outline.Pen, edgeColour color.NRGBA) {
	to := outline.Transform{A: 1.0 / unitsPerEm, D: 1.0 / unitsPerEm}.Then(place)
	var uses strings.Builder
	for _, r := range runs {
		for _, g := range r.Glyphs {
			o := r.Face.Outline(g.ID)
			if len(o) == 0 {
				continue
			}
			id := p.letter(letter{r.Face.Number, g.ID}, o)
			fmt.Fprintf(&uses, `<use href="#%s" x="%d"`, id, int(math.Round(g.X*unitsPerEm)))
			if g.Y != 0 {
				fmt.Fprintf(&uses, ` y="%d"`, int(math.Round(g.Y*unitsPerEm)))
			}
			uses.WriteString("/>")
		}
	}
	if uses.Len() == 0 {
		return
	}
	edge.Width *= unitsPerEm
	if line := strokeAttrs(edge, edgeColour); line != "" {
		fmt.Fprintf(&p.body, "<g aria-hidden=\"true\" transform=\"%s\" fill=\"none\"%s>%s</g>\n", matrix(to), line, uses.String())
	}
	fmt.Fprintf(&p.body, "<g role=\"img\" aria-label=\"%s\" transform=\"%s\"%s>%s</g>\n",
		xmlText(words), matrix(to), colour("fill", fill), uses.String())
}

// letter defines a glyph the first time it is met and returns its id. Letters
// have the same id in every picture because they are the same in every picture.
func (p *Picture) letter(key letter, o outline.Outline) string {
	name := fmt.Sprintf("glyph%d-%d", key.face, key.id)
	if !p.letters[key] {
		p.letters[key] = true
		p.ids[name] = true
		big := make(outline.Outline, len(o))
		for i, seg := range o {
			for j, at := range seg.P {
				seg.P[j] = outline.Point{X: at.X * unitsPerEm, Y: at.Y * unitsPerEm}
			}
			big[i] = seg
		}
		fmt.Fprintf(&p.defs, "<path id=\"%s\" d=\"%s\"/>\n", name, pathData(big))
	}
	return name
}

// Image lays a picture file of a MIME type in the box with its top left corner at
// (x, y); alt says in words what is shown.
func (p *Picture) Image(mime string, data []byte, alt string, x, y, w, h float64) {
	fmt.Fprintf(&p.body, "<image x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" preserveAspectRatio=\"none\" role=\"img\" aria-label=\"%s\" href=\"data:%s;base64,%s\"/>\n",
		num(x), num(y), num(w), num(h), xmlText(alt), mime, base64.StdEncoding.EncodeToString(data))
}

// xmlName keeps letters, digits, - _ . and turns all else into _; names that
// start with glyph are for letters.
func xmlName(id string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '_', r == '.':
			return r
		}
		return '_'
	}, id)
	if name == "" || strings.ContainsRune("0123456789-.", rune(name[0])) || strings.HasPrefix(name, "glyph") {
		return "_" + name
	}
	return name
}

// xmlText escapes text; what XML cannot hold becomes U+FFFD.
func xmlText(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == '&':
			b.WriteString("&amp;")
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '"':
			b.WriteString("&quot;")
		case r == '\t' || r == '\n' || r == '\r':
			b.WriteByte(' ')
		case r < ' ' || r == 0xfffe || r == 0xffff:
			b.WriteRune('\ufffd')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

func matrix(t outline.Transform) string {
	if t.A == 1 && t.B == 0 && t.C == 0 && t.D == 1 {
		return fmt.Sprintf("translate(%s %s)", num(t.E), num(t.F))
	}
	return fmt.Sprintf("matrix(%s %s %s %s %s %s)", fine(t.A), fine(t.B), fine(t.C), fine(t.D), num(t.E), num(t.F))
}

// fine writes a factor, which needs more decimals than a place.
func fine(v float64) string {
	if v != 0 && v > -0.1 && v < 0.1 {
		return fmt.Sprintf("%.6g", v)
	}
	return num(v)
}

// pathData writes an outline for a d attribute. One without a start is not drawn.
func pathData(o outline.Outline) string {
	if len(o) == 0 || o[0].Op != outline.MoveTo {
		return ""
	}
	var b strings.Builder
	for _, seg := range o {
		n := 1
		switch seg.Op {
		case outline.MoveTo:
			b.WriteByte('M')
		case outline.LineTo:
			b.WriteByte('L')
		case outline.QuadTo:
			b.WriteByte('Q')
			n = 2
		case outline.CubeTo:
			b.WriteByte('C')
			n = 3
		case outline.Close:
			b.WriteByte('Z')
			n = 0
		}
		for i, p := range seg.P[:n] {
			if i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(num(p.X) + " " + num(p.Y))
		}
	}
	return b.String()
}

// colour writes a fill or stroke attribute with its opacity.
func colour(attr string, c color.NRGBA) string {
	if c.A == 0 {
		return fmt.Sprintf(` %s="none"`, attr)
	}
	s := fmt.Sprintf(` %s="#%02x%02x%02x"`, attr, c.R, c.G, c.B)
	if c.A < 0xff {
		s += fmt.Sprintf(` %s-opacity="%s"`, attr, num(float64(c.A)/255))
	}
	return s
}

func strokeAttrs(pen outline.Pen, c color.NRGBA) string {
	if !(pen.Width > 0) || c.A == 0 {
		return ""
	}
	a := colour("stroke", c) + fmt.Sprintf(` stroke-width="%s"`, num(pen.Width))
	switch pen.Cap {
	case outline.RoundCap:
		a += ` stroke-linecap="round"`
	case outline.Square:
		a += ` stroke-linecap="square"`
	}
	switch pen.Join {
	case outline.RoundJoin:
		a += ` stroke-linejoin="round"`
	case outline.Bevel:
		a += ` stroke-linejoin="bevel"`
	}
	if pen.Dashes() {
		dash := make([]string, len(pen.Dash))
		for i, d := range pen.Dash {
			dash[i] = num(d)
		}
		a += fmt.Sprintf(` stroke-dasharray="%s"`, strings.Join(dash, " "))
		if pen.Phase != 0 {
			a += fmt.Sprintf(` stroke-dashoffset="%s"`, num(pen.Phase))
		}
	}
	return a
}
