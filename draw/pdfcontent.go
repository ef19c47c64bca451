package draw

import (
	"bytes"
	"fmt"
	"net/url"
	"strings"
)

// content is the drawing of one page.
type content struct {
	pdf   *pdf
	out   bytes.Buffer
	to    Transform // from the current group to the page
	state paintState
	links []pageLink
	errs  []error
}

// paintState is what the page was last told, so that it need not be told again.
type paintState struct {
	fill, stroke Colour
	line         string
	veil         veil
	told         bool
}

type pageLink struct {
	area   Box
	action string
}

func (c *content) op(format string, args ...any) {
	fmt.Fprintf(&c.out, format, args...)
	c.out.WriteByte('\n')
}

func (c *content) items(items []Item) {
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			c.path(it)
		case Text:
			c.text(it)
		case Image:
			c.image(it)
		case Group:
			c.group(it)
		}
	}
}

func (c *content) group(g Group) {
	outer, state := c.to, c.state
	c.to = g.Place.Then(c.to)
	c.op("q")
	if t := g.Place.orIdentity(); t != identity {
		c.op("%s %s %s %s %s %s cm", num(t.A), num(t.B), num(t.C), num(t.D), num(t.E), num(t.F))
	}
	if len(g.Clip) > 0 {
		c.outline(g.Clip)
		c.op("W* n")
	}
	c.items(g.Items)
	if g.Link != "" {
		c.link(g)
	}
	c.op("Q")
	c.to, c.state = outer, state
}

func (c *content) link(g Group) {
	area := c.pdf.fonts.bounds(g.Items, c.to)
	if !(area.W > 0 && area.H > 0) {
		return
	}
	if id, internal := strings.CutPrefix(g.Link, "#"); internal {
		t, ok := c.pdf.targets[id]
		if !ok {
			c.errs = append(c.errs, fmt.Errorf("link %q: no group or page has this ID", g.Link))
			return
		}
		c.links = append(c.links, pageLink{area, fmt.Sprintf("/Dest[%d 0 R/XYZ %s %s null]", t.page, num(t.at.X), num(t.at.Y))})
		return
	}
	if address := safeLink(g.Link); address != "" {
		c.links = append(c.links, pageLink{area, "/A<</S/URI/URI" + pdfString(address) + ">>"})
	}
}

// safeLink lets through web, mail and telephone addresses, written in ASCII.
func safeLink(link string) string {
	u, err := url.Parse(link)
	if err != nil {
		return ""
	}
	switch u.Scheme {
	case "http", "https", "mailto", "tel":
		return u.String()
	}
	return ""
}

// findTargets notes where every named page and group lies.
func (p *pdf) findTargets(pages []Page, ids []int) {
	p.targets = map[string]target{}
	for i, page := range pages {
		note := func(id string, at Point) {
			if _, taken := p.targets[id]; id != "" && !taken {
				p.targets[id] = target{ids[i], Pt(at.X*pointsPerMM, (page.H-at.Y)*pointsPerMM)}
			}
		}
		note(page.ID, Point{})
		var walk func(items []Item, to Transform)
		walk = func(items []Item, to Transform) {
			for _, it := range items {
				if g, ok := it.(Group); ok {
					inner := g.Place.Then(to)
					if g.ID != "" {
						b := p.fonts.bounds(g.Items, inner)
						note(g.ID, Pt(b.X, b.Y))
					}
					walk(g.Items, inner)
				}
			}
		}
		walk(page.Items, identity)
	}
}

func (c *content) outline(o Outline) {
	var at, start Point
	for _, s := range o {
		switch s.Op {
		case MoveTo:
			at, start = s.P[0], s.P[0]
			c.op("%s %s m", num(at.X), num(at.Y))
		case LineTo:
			at = s.P[0]
			c.op("%s %s l", num(at.X), num(at.Y))
		case QuadTo:
			a, b := between(at, s.P[0], 2.0/3), between(s.P[1], s.P[0], 2.0/3)
			at = s.P[1]
			c.op("%s %s %s %s %s %s c", num(a.X), num(a.Y), num(b.X), num(b.Y), num(at.X), num(at.Y))
		case CubeTo:
			at = s.P[2]
			c.op("%s %s %s %s %s %s c", num(s.P[0].X), num(s.P[0].Y), num(s.P[1].X), num(s.P[1].Y), num(at.X), num(at.Y))
		case Close:
			at = start
			c.op("h")
		}
	}
}

func (c *content) path(p Path) {
	fill, stroke := p.Fill.visible(), p.Stroke.Width > 0 && p.Stroke.Colour.visible()
	if len(p.Outline) == 0 || p.Outline[0].Op != MoveTo || !fill && !stroke {
		return
	}
	c.set(p.Fill, p.Stroke.Colour, fill, stroke)
	if stroke {
		c.setLine(p.Stroke)
	}
	c.outline(p.Outline)
	switch {
	case fill && stroke:
		c.op("B*")
	case fill:
		c.op("f*")
	default:
		c.op("S")
	}
}

// set tells the page the colours that are about to be used.
func (c *content) set(fill, stroke Colour, filling, stroking bool) {
	s := &c.state
	if !s.told {
		*s = paintState{fill: Black, stroke: Black, veil: veil{1, 1}, told: true}
	}
	next := *s
	if filling {
		next.fill, next.veil.fill = fill, fill.Alpha()
	}
	if stroking {
		next.stroke, next.veil.stroke = stroke, stroke.Alpha()
	}
	if next.veil != s.veil {
		c.op("/G%d gs", c.pdf.veilName(next.veil))
	}
	if next.fill>>8 != s.fill>>8 {
		c.op("%s rg", parts(next.fill))
	}
	if next.stroke>>8 != s.stroke>>8 {
		c.op("%s RG", parts(next.stroke))
	}
	*s = next
}

func parts(c Colour) string {
	r, g, b := c.rgb()
	return num(float64(r)/255) + " " + num(float64(g)/255) + " " + num(float64(b)/255)
}

func (c *content) setLine(s Stroke) {
	var dash strings.Builder
	if usableDash(s.Dash) {
		for i, d := range s.Dash {
			if i > 0 {
				dash.WriteByte(' ')
			}
			dash.WriteString(num(d))
		}
	}
	line := fmt.Sprintf("%s w %d J %d j [%s] %s d", num(s.Width), s.Cap, s.Join, dash.String(), num(max(0, s.Phase)))
	if line != c.state.line {
		c.op("%s", line)
		c.state.line = line
	}
}

// usableDash tells whether a pattern is one; the back ends draw others solid.
func usableDash(pattern []float64) bool {
	total := 0.0
	for _, d := range pattern {
		if !(d >= 0 && d < 1e6) {
			return false
		}
		total += d
	}
	return total > 1e-3
}

func (c *content) text(t Text) {
	line := c.pdf.fonts.lineOf(t)
	if len(line.runs) == 0 {
		return
	}
	if t.Halo > 0 {
		s := t.haloStroke()
		s.Width = 2 * t.Halo
		c.set(0, s.Colour, false, true)
		c.setLine(s)
		c.op("/Artifact BMC BT 1 Tr") // the halo is not text to be read again
		c.glyphs(t, line, false)
		c.op("0 Tr ET EMC")
	}
	c.set(t.Style.ink(), 0, true, false)
	c.op("BT")
	c.glyphs(t, line, true)
	c.op("ET")
}

func (c *content) glyphs(t Text, line TextLine, readable bool) {
	em := t.Style.em()
	m := t.place(line)
	for _, r := range line.runs {
		if len(r.glyphs) == 0 {
			continue
		}
		at := m.Apply(Pt(r.glyphs[0].pen, 0))
		c.op("/F%d %s Tf %s %s %s %s %s %s Tm", r.face.number, num(em),
			num(m.A/em), num(m.B/em), num(-m.C/em), num(-m.D/em), num(at.X), num(at.Y))
		s := showing{c: c, subset: c.pdf.subset(r.face), em: em, pen: r.glyphs[0].pen}
		if readable {
			s.words(r)
		} else {
			s.show(r.glyphs, make([]string, len(r.glyphs)))
		}
	}
}

// bounds is the upright box around items once mapped by to.
func (f *Fonts) bounds(items []Item, to Transform) Box {
	r := reach{}
	f.reach(items, to, &r)
	if !r.any {
		return Box{}
	}
	return Box{r.low.X, r.low.Y, r.high.X - r.low.X, r.high.Y - r.low.Y}
}

// reach grows with the points it is shown.
type reach struct {
	low, high Point
	any       bool
}

func (r *reach) add(p Point) {
	if !r.any {
		r.low, r.high, r.any = p, p, true
		return
	}
	r.low = Pt(min(r.low.X, p.X), min(r.low.Y, p.Y))
	r.high = Pt(max(r.high.X, p.X), max(r.high.Y, p.Y))
}

func (r *reach) box(b Box, to Transform) {
	for _, p := range []Point{{X: b.X, Y: b.Y}, {X: b.X + b.W, Y: b.Y}, {X: b.X, Y: b.Y + b.H}, {X: b.X + b.W, Y: b.Y + b.H}} {
		r.add(to.Apply(p))
	}
}

func (f *Fonts) reach(items []Item, to Transform, r *reach) {
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			for _, l := range flatten(it.Outline, to, flatTolerance) {
				for _, p := range l.points {
					r.add(p)
				}
			}
		case Text:
			line, em := f.lineOf(it), it.Style.em()
			r.box(Box{0, -1.069, line.Width / em, 1.362}, it.place(line).Then(to))
		case Image:
			r.box(it.Box, to)
		case Group:
			f.reach(it.Items, it.Place.Then(to), r)
		}
	}
}
