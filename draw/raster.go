package draw

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"math"
	"slices"

	xdraw "golang.org/x/image/draw"
	"golang.org/x/image/math/f64"
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
	c := canvas{fonts: f, img: image.NewRGBA(image.Rect(0, 0, int(w), int(h)))}
	draw.Draw(c.img, c.img.Rect, image.White, image.Point{}, draw.Src)
	err := c.items(p.Items, pen{Scale(pxPerMM, pxPerMM), nil, c.img.Rect})
	return c.img, err
}

// canvas is a picture being painted.
type canvas struct {
	fonts  *Fonts
	img    *image.RGBA
	pixels coverage
}

// pen is where and through which opening things are painted.
type pen struct {
	to   Transform    // page to pixels
	clip *image.Alpha // nil: no clip but the bounds
	in   image.Rectangle
}

func (c *canvas) items(items []Item, p pen) error {
	var errs []error
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			c.path(it, p)
		case Text:
			c.text(it, p)
		case Image:
			errs = append(errs, c.image(it, p))
		case Group:
			inner := pen{it.Place.Then(p.to), p.clip, p.in}
			if len(it.Clip) > 0 {
				inner = c.clipped(it.Clip, inner)
			}
			errs = append(errs, c.items(it.Items, inner))
		}
	}
	return errors.Join(errs...)
}

func (c *canvas) path(path Path, p pen) {
	if path.Fill.visible() {
		c.paint(c.cover(outlinePolygons(path.Outline, p.to), true, p.in), path.Fill, p)
	}
	c.stroke(path.Outline, path.Stroke, p)
}

// pixelTolerance is how far a flattened curve may stray, in pixels.
const pixelTolerance = 0.05

func (c *canvas) stroke(o Outline, s Stroke, p pen) {
	scale := p.to.scale()
	if !(s.Width > 0) || !s.Colour.visible() || !(scale > 0) {
		return
	}
	lines := flatten(o, identity, pixelTolerance/scale)
	polygons := strokePolygons(lines, s, pixelTolerance/scale)
	for _, poly := range polygons {
		for i := range poly {
			poly[i] = p.to.Apply(poly[i])
		}
		if area(poly) < 0 {
			slices.Reverse(poly)
		}
	}
	c.paint(c.cover(polygons, false, p.in), s.Colour, p)
}

func (c *canvas) text(t Text, p pen) {
	line := c.fonts.lineOf(t)
	to := t.place(line)
	em := pen{to.Then(p.to), p.clip, p.in}
	var outlines Outline
	for _, r := range line.runs {
		for _, g := range r.glyphs {
			for _, s := range r.face.outline(g.id) {
				for i := range s.P {
					s.P[i] = Pt(s.P[i].X+g.x, s.P[i].Y+g.y)
				}
				outlines = append(outlines, s)
			}
		}
	}
	if t.Halo > 0 {
		c.stroke(outlines, t.haloStroke(), em)
	}
	c.paint(c.cover(outlinePolygons(outlines, em.to), false, p.in), t.Style.ink(), p)
}

// cover is the opacity of polygons within the bounds.
func (c *canvas) cover(polygons [][]Point, evenOdd bool, in image.Rectangle) *image.Alpha {
	c.pixels.reset(pixelBounds(polygons).Intersect(in))
	if !c.pixels.bounds.Empty() {
		for _, poly := range polygons {
			c.pixels.add(poly)
		}
	}
	return c.pixels.mask(evenOdd)
}

// outlinePolygons flattens an outline to pixels.
func outlinePolygons(o Outline, to Transform) [][]Point {
	lines := flatten(o, to, pixelTolerance)
	polygons := make([][]Point, len(lines))
	for i, l := range lines {
		polygons[i] = l.points
	}
	return polygons
}

// paint lays colour through a mask and the pen's clip.
func (c *canvas) paint(mask *image.Alpha, colour Colour, p pen) {
	if mask.Rect.Empty() {
		return
	}
	if p.clip != nil {
		mask = multiplied(mask, p.clip)
	}
	draw.DrawMask(c.img, mask.Rect, image.NewUniform(colour), image.Point{}, mask, mask.Rect.Min, draw.Over)
}

func (c *canvas) clipped(o Outline, p pen) pen {
	mask := c.cover(outlinePolygons(o, p.to), true, p.in)
	if p.clip != nil {
		mask = multiplied(mask, p.clip)
	}
	return pen{p.to, mask, mask.Rect}
}

// multiplied is a seen through b; b covers a's bounds or hides what it does not.
func multiplied(a, b *image.Alpha) *image.Alpha {
	out := image.NewAlpha(a.Rect.Intersect(b.Rect))
	for y := out.Rect.Min.Y; y < out.Rect.Max.Y; y++ {
		for x := out.Rect.Min.X; x < out.Rect.Max.X; x++ {
			v := int(a.Pix[a.PixOffset(x, y)]) * int(b.Pix[b.PixOffset(x, y)])
			out.Pix[out.PixOffset(x, y)] = uint8((v + 127) / 255)
		}
	}
	return out
}

func (c *canvas) image(im Image, p pen) error {
	pixels := im.Pixels
	if im.JPEG != nil {
		decoded, err := jpeg.Decode(bytes.NewReader(im.JPEG))
		if err != nil {
			return fmt.Errorf("image %q: damaged JPEG: %w", im.Alt, err)
		}
		pixels = decoded
	}
	if pixels == nil || pixels.Bounds().Empty() || !(im.Box.W > 0 && im.Box.H > 0) {
		return nil
	}
	b := pixels.Bounds()
	to := Scale(im.Box.W/float64(b.Dx()), im.Box.H/float64(b.Dy())).Then(Shift(im.Box.X, im.Box.Y)).Then(p.to)
	to = Shift(float64(-b.Min.X), float64(-b.Min.Y)).Then(to)
	corners := contour([]Point{{X: im.Box.X, Y: im.Box.Y}, {X: im.Box.X + im.Box.W, Y: im.Box.Y},
		{X: im.Box.X + im.Box.W, Y: im.Box.Y + im.Box.H}, {X: im.Box.X, Y: im.Box.Y + im.Box.H}}).Close()
	framed := c.clipped(corners, p)
	if framed.in.Empty() {
		return nil
	}
	xdraw.BiLinear.Transform(c.img, f64.Aff3{to.A, to.C, to.E, to.B, to.D, to.F}, pixels, b, draw.Over,
		&xdraw.Options{DstMask: framed.clip})
	return nil
}

// pixelBounds is the whole pixels that polygons touch; polygons with a
// coordinate that is not a number have none.
func pixelBounds(polygons [][]Point) image.Rectangle {
	const far = 1 << 24
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, poly := range polygons {
		for _, q := range poly {
			if math.IsNaN(q.X) || math.IsNaN(q.Y) {
				return image.Rectangle{}
			}
			x0, y0, x1, y1 = min(x0, q.X), min(y0, q.Y), max(x1, q.X), max(y1, q.Y)
		}
	}
	limit := func(v float64) int { return int(min(max(v, -far), far)) }
	return image.Rect(limit(math.Floor(x0)), limit(math.Floor(y0)), limit(math.Ceil(x1)), limit(math.Ceil(y1)))
}

// clipPolygon cuts a polygon down to a rectangle (I. Sutherland and
// G. Hodgman 1974), so that what lies far off the page costs nothing.
func clipPolygon(poly []Point, r image.Rectangle) []Point {
	sides := [4]func(Point) float64{
		func(p Point) float64 { return p.X - float64(r.Min.X) },
		func(p Point) float64 { return float64(r.Max.X) - p.X },
		func(p Point) float64 { return p.Y - float64(r.Min.Y) },
		func(p Point) float64 { return float64(r.Max.Y) - p.Y },
	}
	for _, inside := range sides {
		outside := false
		for _, p := range poly {
			outside = outside || inside(p) < 0
		}
		if !outside {
			continue
		}
		var kept []Point
		for i, b := range poly {
			a := poly[(i+len(poly)-1)%len(poly)]
			da, db := inside(a), inside(b)
			if (da < 0) != (db < 0) {
				kept = append(kept, between(a, b, da/(da-db)))
			}
			if db >= 0 {
				kept = append(kept, b)
			}
		}
		poly = kept
	}
	return poly
}

// area is positive for polygons that turn clockwise on the page.
func area(poly []Point) float64 {
	a := 0.0
	for i, p := range poly {
		q := poly[(i+1)%len(poly)]
		a += p.X*q.Y - q.X*p.Y
	}
	return a / 2
}
