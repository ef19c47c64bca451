package draw

import (
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
	"image/jpeg"
	"image/png"
	"io"
	"strings"

	"github.com/go-text/typesetting/font"
)

// WriteSVG writes a page as a picture on its own: text as outlines, so that it
// looks the same everywhere, with the words beside them for screen readers.
// It fails on a page without size and on a damaged JPEG.
func (f *Fonts) WriteSVG(w io.Writer, page Page) error {
	if !(page.W > 0 && page.H > 0) {
		return fmt.Errorf("size %g by %g mm: a picture is wider and higher than 0", page.W, page.H)
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	s := svg{fonts: f, prefix: page.ID, ids: map[string]bool{}, letters: map[letter]bool{}}
	s.findIDs(page.Items)
	root := ""
	if page.ID != "" {
		root = fmt.Sprintf(` id="%s"`, s.unique(page.ID))
	}
	s.items(page.Items)
	if len(s.errs) > 0 {
		return errors.Join(s.errs...)
	}
	var out bytes.Buffer
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg"%s width="%smm" height="%smm" viewBox="0 0 %s %s" stroke-miterlimit="%d" role="img">`,
		root, num(page.W), num(page.H), num(page.W), num(page.H), miterLimit)
	out.WriteByte('\n')
	if page.Title != "" {
		fmt.Fprintf(&out, "<title>%s</title>\n", xmlText(page.Title))
	}
	if page.Desc != "" {
		fmt.Fprintf(&out, "<desc>%s</desc>\n", xmlText(page.Desc))
	}
	if s.defs.Len() > 0 {
		fmt.Fprintf(&out, "<defs>\n%s</defs>\n", s.defs.String())
	}
	out.Write(s.body.Bytes())
	out.WriteString("</svg>\n")
	_, err := w.Write(out.Bytes())
	return err
}

// svg is a picture being written.
type svg struct {
	fonts      *Fonts
	prefix     string
	defs, body bytes.Buffer
	ids        map[string]bool // taken
	targets    map[string]bool // groups that links may name
	letters    map[letter]bool // outlines already defined
	clips      int
	errs       []error
}

type letter struct {
	face int
	id   font.GID
}

// findIDs notes which names links inside the picture may lead to.
func (s *svg) findIDs(items []Item) {
	if s.targets == nil {
		s.targets = map[string]bool{}
	}
	for _, it := range items {
		if g, ok := it.(Group); ok {
			s.targets[g.ID] = true
			s.findIDs(g.Items)
		}
	}
}

// unique makes a name that XML allows and that is not yet taken.
func (s *svg) unique(id string) string {
	id = xmlName(id)
	name := id
	for n := 2; s.ids[name]; n++ {
		name = fmt.Sprintf("%s-%d", id, n)
	}
	s.ids[name] = true
	return name
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

func (s *svg) items(items []Item) {
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			s.path(it)
		case Text:
			s.text(it)
		case Image:
			s.image(it)
		case Group:
			s.group(it)
		}
	}
}

func (s *svg) group(g Group) {
	var attrs strings.Builder
	if g.ID != "" {
		fmt.Fprintf(&attrs, ` id="%s"`, s.unique(g.ID))
	}
	if t := g.Place.orIdentity(); t != identity {
		fmt.Fprintf(&attrs, ` transform="%s"`, matrix(t))
	}
	if len(g.Clip) > 0 {
		s.clips++
		id := s.unique(s.prefix + "clip" + fmt.Sprint(s.clips))
		fmt.Fprintf(&s.defs, "<clipPath id=\"%s\"><path clip-rule=\"evenodd\" d=\"%s\"/></clipPath>\n", id, pathData(g.Clip))
		fmt.Fprintf(&attrs, ` clip-path="url(#%s)"`, id)
	}
	fmt.Fprintf(&s.body, "<g%s>\n", attrs.String())
	if g.Title != "" {
		fmt.Fprintf(&s.body, "<title>%s</title>\n", xmlText(g.Title))
	}
	link := safeLink(g.Link)
	if id, internal := strings.CutPrefix(g.Link, "#"); internal && s.targets[id] {
		link = "#" + xmlName(id)
	}
	if link != "" {
		fmt.Fprintf(&s.body, "<a href=\"%s\">\n", xmlText(link))
	}
	s.items(g.Items)
	if link != "" {
		s.body.WriteString("</a>\n")
	}
	s.body.WriteString("</g>\n")
}

func matrix(t Transform) string {
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
func pathData(o Outline) string {
	if len(o) == 0 || o[0].Op != MoveTo {
		return ""
	}
	var b strings.Builder
	for _, seg := range o {
		n := 1
		switch seg.Op {
		case MoveTo:
			b.WriteByte('M')
		case LineTo:
			b.WriteByte('L')
		case QuadTo:
			b.WriteByte('Q')
			n = 2
		case CubeTo:
			b.WriteByte('C')
			n = 3
		case Close:
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
func colour(attr string, c Colour) string {
	if !c.visible() {
		return fmt.Sprintf(` %s="none"`, attr)
	}
	s := fmt.Sprintf(` %s="#%06x"`, attr, uint32(c>>8))
	if c.Alpha() < 1 {
		s += fmt.Sprintf(` %s-opacity="%s"`, attr, num(c.Alpha()))
	}
	return s
}

func strokeAttrs(s Stroke) string {
	if !(s.Width > 0) || !s.Colour.visible() {
		return ""
	}
	a := colour("stroke", s.Colour) + fmt.Sprintf(` stroke-width="%s"`, num(s.Width))
	switch s.Cap {
	case RoundCap:
		a += ` stroke-linecap="round"`
	case Square:
		a += ` stroke-linecap="square"`
	}
	switch s.Join {
	case RoundJoin:
		a += ` stroke-linejoin="round"`
	case Bevel:
		a += ` stroke-linejoin="bevel"`
	}
	if usableDash(s.Dash) {
		dash := make([]string, len(s.Dash))
		for i, d := range s.Dash {
			dash[i] = num(d)
		}
		a += fmt.Sprintf(` stroke-dasharray="%s"`, strings.Join(dash, " "))
		if s.Phase != 0 {
			a += fmt.Sprintf(` stroke-dashoffset="%s"`, num(s.Phase))
		}
	}
	return a
}

func (s *svg) path(p Path) {
	stroke := strokeAttrs(p.Stroke)
	data := pathData(p.Outline)
	if data == "" || stroke == "" && !p.Fill.visible() {
		return
	}
	rule := ""
	if p.Fill.visible() {
		rule = ` fill-rule="evenodd"`
	}
	fmt.Fprintf(&s.body, "<path%s%s%s d=\"%s\"/>\n", colour("fill", p.Fill), rule, stroke, data)
}

// unitsPerEm is the grid letters are written on, as in the font files.
const unitsPerEm = 1000

func (s *svg) text(t Text) {
	line := s.fonts.lineOf(t)
	to := Scale(1.0/unitsPerEm, 1.0/unitsPerEm).Then(t.place(line))
	var uses strings.Builder
	for _, r := range line.runs {
		for _, g := range r.glyphs {
			o := r.face.outline(g.id)
			if len(o) == 0 {
				continue
			}
			id := s.letter(r.face.number, g.id, o)
			fmt.Fprintf(&uses, `<use href="#%s" x="%s"`, id, letterNum(g.x*unitsPerEm))
			if g.y != 0 {
				fmt.Fprintf(&uses, ` y="%s"`, letterNum(g.y*unitsPerEm))
			}
			uses.WriteString("/>")
		}
	}
	if uses.Len() == 0 {
		return
	}
	if t.Halo > 0 {
		halo := t.haloStroke()
		halo.Width *= unitsPerEm
		fmt.Fprintf(&s.body, "<g aria-hidden=\"true\" transform=\"%s\" fill=\"none\"%s>%s</g>\n", matrix(to), strokeAttrs(halo), uses.String())
	}
	fmt.Fprintf(&s.body, "<g role=\"img\" aria-label=\"%s\" transform=\"%s\"%s>%s</g>\n",
		xmlText(line.Text), matrix(to), colour("fill", t.Style.ink()), uses.String())
}

func letterNum(v float64) string { return fmt.Sprint(roundTo(v)) }

// letter defines a glyph the first time it is met and returns its id. Letters
// have the same id in every picture because they are the same in every picture.
func (s *svg) letter(face int, id font.GID, o Outline) string {
	name := fmt.Sprintf("glyph%d-%d", face, id)
	key := letter{face, id}
	if !s.letters[key] {
		s.letters[key] = true
		s.ids[name] = true
		big := make(Outline, len(o))
		for i, seg := range o {
			for j, p := range seg.P {
				seg.P[j] = Pt(p.X*unitsPerEm, p.Y*unitsPerEm)
			}
			big[i] = seg
		}
		fmt.Fprintf(&s.defs, "<path id=\"%s\" d=\"%s\"/>\n", name, pathData(big))
	}
	return name
}

func (s *svg) image(im Image) {
	if !(im.Box.W > 0 && im.Box.H > 0) {
		return
	}
	var data []byte
	kind := "image/png"
	switch {
	case im.JPEG != nil:
		if _, err := jpeg.DecodeConfig(bytes.NewReader(im.JPEG)); err != nil {
			s.errs = append(s.errs, fmt.Errorf("image %q: damaged JPEG: %w", im.Alt, err))
			return
		}
		data, kind = im.JPEG, "image/jpeg"
	case im.Pixels != nil && !im.Pixels.Bounds().Empty():
		var b bytes.Buffer
		if err := png.Encode(&b, im.Pixels); err != nil {
			s.errs = append(s.errs, fmt.Errorf("image %q: %w", im.Alt, err))
			return
		}
		data = b.Bytes()
	default:
		return
	}
	fmt.Fprintf(&s.body, "<image x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" preserveAspectRatio=\"none\" role=\"img\" aria-label=\"%s\" href=\"data:%s;base64,%s\"/>\n",
		num(im.Box.X), num(im.Box.Y), num(im.Box.W), num(im.Box.H), xmlText(im.Alt), kind, base64.StdEncoding.EncodeToString(data))
}
