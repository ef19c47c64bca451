package draw

import (
	"bytes"
	"errors"
	"fmt"
	"image/jpeg"
	"image/png"
	"io"
	"strings"

	"scumble/draw/svgfile"
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
	s := svg{fonts: f, out: svgfile.New(page.ID), targets: map[string]bool{}}
	s.findIDs(page.Items)
	s.items(page.Items)
	if len(s.errs) > 0 {
		return errors.Join(s.errs...)
	}
	_, err := w.Write(s.out.Bytes(page.W, page.H, page.Title, page.Desc))
	return err
}

// svg is a picture being written.
type svg struct {
	fonts   *Fonts
	out     *svgfile.Picture
	targets map[string]bool // groups that links may name
	errs    []error
}

// findIDs notes which names links inside the picture may lead to.
func (s *svg) findIDs(items []Item) {
	for _, it := range items {
		if g, ok := it.(Group); ok {
			s.targets[g.ID] = true
			s.findIDs(g.Items)
		}
	}
}

func (s *svg) items(items []Item) {
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			s.out.Path(it.Outline, it.Fill.nrgba(), it.Stroke.pen(), it.Stroke.Colour.nrgba())
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
	link := safeLink(g.Link)
	if id, internal := strings.CutPrefix(g.Link, "#"); internal && s.targets[id] {
		link = g.Link
	}
	s.out.Open(svgfile.Group{ID: g.ID, Title: g.Title, Link: link, Place: g.Place, Clip: g.Clip})
	s.items(g.Items)
	s.out.Close()
}

func (s *svg) text(t Text) {
	line := s.fonts.lineOf(t)
	halo := t.haloStroke()
	s.out.Text(line.Text, line.runs, t.place(line), t.Style.ink().nrgba(), halo.pen(), halo.Colour.nrgba())
}

func (s *svg) image(im Image) {
	b := im.Box
	if !(b.W > 0 && b.H > 0) {
		return
	}
	if im.JPEG != nil {
		if _, err := jpeg.DecodeConfig(bytes.NewReader(im.JPEG)); err != nil {
			s.errs = append(s.errs, fmt.Errorf("image %q: damaged JPEG: %w", im.Alt, err))
			return
		}
		s.out.Image("image/jpeg", im.JPEG, im.Alt, b.X, b.Y, b.W, b.H)
	} else if im.Pixels != nil && !im.Pixels.Bounds().Empty() {
		var data bytes.Buffer
		if err := png.Encode(&data, im.Pixels); err != nil {
			s.errs = append(s.errs, fmt.Errorf("image %q: %w", im.Alt, err))
			return
		}
		s.out.Image("image/png", data.Bytes(), im.Alt, b.X, b.Y, b.W, b.H)
	}
}
