package draw

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"math"

	"scumble/draw/raster"
)

// maxPixels keeps a picture from filling the memory (4 bytes each).
const maxPixels = 1 << 27

// PNG paints a page on white at so many pixels to the millimetre (4 is about
// 100 dpi). It fails on a page without size, on more than 134 million pixels
// and on a damaged JPEG.
func (f *Fonts) PNG(p Page, pxPerMM float64) (*image.RGBA, error) {
	w, h := math.Ceil(p.W*pxPerMM-1e-6), math.Ceil(p.H*pxPerMM-1e-6)
	if !(w >= 1 && h >= 1 && w*h <= maxPixels) {
		return nil, fmt.Errorf("page of %g by %g mm at %g pixels/mm: the picture must have between 1 and %d pixels", p.W, p.H, pxPerMM, maxPixels)
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	c := raster.New(int(w), int(h))
	err := f.paint(c, p.Items, c.Whole(Scale(pxPerMM, pxPerMM)))
	return c.Image(), err
}

func (f *Fonts) paint(c *raster.Canvas, items []Item, at raster.Opening) error {
	var errs []error
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			if it.Fill.visible() {
				c.Fill(it.Outline, raster.EvenOdd, it.Fill, at)
			}
			if it.Stroke.visible() {
				c.Stroke(it.Outline, it.Stroke.pen(), it.Stroke.Colour, at)
			}
		case Text:
			f.paintText(c, it, at)
		case Image:
			errs = append(errs, paintImage(c, it, at))
		case Group:
			inner := at.Placed(it.Place)
			if len(it.Clip) > 0 {
				inner = c.Clipped(it.Clip, inner)
			}
			errs = append(errs, f.paint(c, it.Items, inner))
		}
	}
	return errors.Join(errs...)
}

func (f *Fonts) paintText(c *raster.Canvas, t Text, at raster.Opening) {
	line := f.lineOf(t)
	var letters Outline
	for _, r := range line.runs {
		for _, g := range r.Glyphs {
			for _, s := range r.Face.Outline(g.ID) {
				for i := range s.P {
					s.P[i] = Pt(s.P[i].X+g.X, s.P[i].Y+g.Y)
				}
				letters = append(letters, s)
			}
		}
	}
	at = at.Placed(t.place(line))
	if t.Halo > 0 {
		halo := t.haloStroke()
		c.Stroke(letters, halo.pen(), halo.Colour, at)
	}
	c.Fill(letters, raster.NonZero, t.Style.ink(), at)
}

func paintImage(c *raster.Canvas, im Image, at raster.Opening) error {
	pixels := im.Pixels
	if im.JPEG != nil {
		decoded, err := jpeg.Decode(bytes.NewReader(im.JPEG))
		if err != nil {
			return fmt.Errorf("image %q: damaged JPEG: %w", im.Alt, err)
		}
		pixels = decoded
	}
	c.Picture(pixels, im.Box.X, im.Box.Y, im.Box.W, im.Box.H, at)
	return nil
}
