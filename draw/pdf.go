package draw

import (
	"errors"
	"fmt"
	"io"
	"net/url"
	"strings"

	"scumble/draw/outline"
	"scumble/draw/pdffile"
)

// WritePDF writes the document as PDF 1.7 with subset fonts and text that can be
// searched and copied in every script. It fails on a page without size, on a
// damaged JPEG and on a "#id" link that leads nowhere.
func (f *Fonts) WritePDF(w io.Writer, d Doc) error {
	if len(d.Pages) == 0 {
		return errors.New("document has no pages")
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	sizes := make([]pdffile.Page, len(d.Pages))
	for i, page := range d.Pages {
		sizes[i] = pdffile.Page{W: page.W, H: page.H, Title: page.Title}
	}
	file, targets := pdffile.New(sizes), f.targets(d.Pages)
	var errs []error
	for i, page := range d.Pages {
		out, err := file.Begin(i)
		if err == nil {
			p := pdfPage{fonts: f, targets: targets, out: out}
			p.items(page.Items, identity)
			out.End()
			err = errors.Join(p.errs...)
		}
		if err != nil {
			errs = append(errs, fmt.Errorf("page %d: %w", i+1, err))
		}
	}
	if len(errs) > 0 {
		return errors.Join(errs...)
	}
	_, err := w.Write(file.Bytes(pdffile.Info{Title: d.Title, Subject: d.Subject, Author: d.Author, Lang: d.Lang}))
	return err
}

// target is where an internal link leads.
type target struct {
	page int
	at   Point
}

// targets notes where every named page and group lies; the first of a name counts.
func (f *Fonts) targets(pages []Page) map[string]target {
	found := map[string]target{}
	for i, page := range pages {
		note := func(id string, at Point) {
			if _, taken := found[id]; id != "" && !taken {
				found[id] = target{i, at}
			}
		}
		note(page.ID, Point{})
		var walk func(items []Item, to Transform)
		walk = func(items []Item, to Transform) {
			for _, it := range items {
				if g, ok := it.(Group); ok {
					inner := g.Place.Then(to)
					if g.ID != "" {
						b := f.bounds(g.Items, inner)
						note(g.ID, Pt(b.X, b.Y))
					}
					walk(g.Items, inner)
				}
			}
		}
		walk(page.Items, identity)
	}
	return found
}

// pdfPage is one page being written.
type pdfPage struct {
	fonts   *Fonts
	targets map[string]target
	out     *pdffile.Content
	errs    []error
}

// items writes items whose coordinates to maps to the page.
func (c *pdfPage) items(items []Item, to Transform) {
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			c.out.Path(it.Outline, it.Fill.nrgba(), it.Stroke.pen(), it.Stroke.Colour.nrgba())
		case Text:
			c.text(it)
		case Image:
			c.image(it)
		case Group:
			c.group(it, it.Place.Then(to))
		}
	}
}

func (c *pdfPage) group(g Group, to Transform) {
	c.out.Save()
	if g.Place != (Transform{}) && g.Place != identity {
		c.out.Place(g.Place)
	}
	if len(g.Clip) > 0 {
		c.out.Clip(g.Clip)
	}
	c.items(g.Items, to)
	if g.Link != "" {
		c.link(g, to)
	}
	c.out.Restore()
}

func (c *pdfPage) link(g Group, to Transform) {
	area := c.fonts.bounds(g.Items, to)
	if !(area.W > 0 && area.H > 0) {
		return
	}
	if id, internal := strings.CutPrefix(g.Link, "#"); internal {
		t, ok := c.targets[id]
		if !ok {
			c.errs = append(c.errs, fmt.Errorf("link %q: no group or page has this ID", g.Link))
			return
		}
		c.out.LinkTo(pdffile.Rect(area), t.page, t.at)
	} else if address := safeLink(g.Link); address != "" {
		c.out.LinkOut(pdffile.Rect(area), address)
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

func (c *pdfPage) text(t Text) {
	line := c.fonts.lineOf(t)
	if len(line.runs) == 0 {
		return
	}
	place, em := t.place(line), t.Style.em()
	if t.Halo > 0 {
		halo := t.haloStroke()
		halo.Width = 2 * t.Halo
		c.out.Halo(line.runs, place, em, halo.pen(), halo.Colour.nrgba())
	}
	c.out.Text(line.runs, place, em, t.Style.ink().nrgba())
}

func (c *pdfPage) image(im Image) {
	if !(im.Box.W > 0 && im.Box.H > 0) {
		return
	}
	if im.JPEG != nil {
		if err := c.out.JPEG(im.JPEG, pdffile.Rect(im.Box)); err != nil {
			c.errs = append(c.errs, fmt.Errorf("image %q: damaged JPEG: %w", im.Alt, err))
		}
	} else if im.Pixels != nil && !im.Pixels.Bounds().Empty() {
		c.out.Pixels(im.Pixels, pdffile.Rect(im.Box))
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
			for _, l := range outline.Flatten(it.Outline, to, outline.Tolerance) {
				for _, p := range l.Points {
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
