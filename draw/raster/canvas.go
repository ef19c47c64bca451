// Package raster paints outlines on pixels: filled, stroked with a pen, clipped,
// and pictures laid among them, with edges smoothed by the share of each pixel
// that is covered. It knows no text and no pages.
package raster

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"slices"

	xdraw "golang.org/x/image/draw"
	"golang.org/x/image/math/f64"

	"scumble/draw/outline"
)

// Canvas is a picture being painted.
type Canvas struct {
	img    *image.RGBA
	pixels coverage
}

// New is a white canvas of w by h pixels.
func New(w, h int) *Canvas {
	c := &Canvas{img: image.NewRGBA(image.Rect(0, 0, w, h))}
	draw.Draw(c.img, c.img.Rect, image.White, image.Point{}, draw.Src)
	return c
}

// Image is the picture as painted so far.
func (c *Canvas) Image() *image.RGBA { return c.img }

// Opening is where on the canvas, and through which clip, things are painted.
type Opening struct {
	to   outline.Transform // to pixels
	clip *image.Alpha      // nil: no clip but the bounds
	in   image.Rectangle
}

// Whole is all of the canvas, painted in the coordinates that to maps to pixels.
func (c *Canvas) Whole(to outline.Transform) Opening { return Opening{to, nil, c.img.Rect} }

// Placed is the same opening for things in coordinates of their own.
func (w Opening) Placed(t outline.Transform) Opening { return Opening{t.Then(w.to), w.clip, w.in} }

// Clipped is the part of the opening that lies in the outline (even-odd).
func (c *Canvas) Clipped(o outline.Outline, w Opening) Opening {
	mask := c.cover(polygonsOf(o, w.to), EvenOdd, w.in)
	if w.clip != nil {
		mask = multiplied(mask, w.clip)
	}
	return Opening{w.to, mask, mask.Rect}
}

// Rule tells whether what an outline covers twice is a hole (EvenOdd) or not.
type Rule bool

// The two rules.
const (
	NonZero Rule = false
	EvenOdd Rule = true
)

// tolerance is how far a flattened curve may stray, in pixels.
const tolerance = 0.05

// Fill paints what the outline encloses.
func (c *Canvas) Fill(o outline.Outline, rule Rule, ink color.Color, w Opening) {
	c.paint(c.cover(polygonsOf(o, w.to), rule, w.in), ink, w)
}

// Stroke draws along the outline. A pen without width draws nothing.
func (c *Canvas) Stroke(o outline.Outline, pen outline.Pen, ink color.Color, w Opening) {
	scale := math.Sqrt(math.Abs(w.to.A*w.to.D - w.to.B*w.to.C)) // mean enlargement
	if !(pen.Width > 0) || !(scale > 0) {
		return
	}
	lines := outline.Flatten(o, outline.Transform{}, tolerance/scale)
	polygons := strokePolygons(lines, pen, tolerance/scale)
	for _, poly := range polygons {
		for i := range poly {
			poly[i] = w.to.Apply(poly[i])
		}
		if area(poly) < 0 {
			slices.Reverse(poly)
		}
	}
	c.paint(c.cover(polygons, NonZero, w.in), ink, w)
}

// Picture lays pixels in the box with its top left corner at (x, y).
func (c *Canvas) Picture(pixels image.Image, x, y, width, height float64, w Opening) {
	if pixels == nil || pixels.Bounds().Empty() || !(width > 0 && height > 0) {
		return
	}
	b := pixels.Bounds()
	sx, sy := width/float64(b.Dx()), height/float64(b.Dy())
	from := outline.Transform{A: 1, D: 1, E: float64(-b.Min.X), F: float64(-b.Min.Y)}
	to := from.Then(outline.Transform{A: sx, D: sy, E: x, F: y}.Then(w.to))
	if c.laidOnPixels(pixels, to, w) {
		return
	}
	frame := outline.Outline{}.Move(x, y).Line(x+width, y).Line(x+width, y+height).Line(x, y+height).Close()
	framed := c.Clipped(frame, w)
	if framed.in.Empty() {
		return
	}
	xdraw.BiLinear.Transform(c.img, f64.Aff3{to.A, to.C, to.E, to.B, to.D, to.F}, pixels, b, draw.Over,
		&xdraw.Options{DstMask: framed.clip})
}

// laidOnPixels copies a picture whose pixels fall on those of the canvas, as that of a
// whole wall does; anything else is left to be resampled.
func (c *Canvas) laidOnPixels(pixels image.Image, to outline.Transform, w Opening) bool {
	const near = 1e-6
	x, y := math.Round(to.E), math.Round(to.F)
	whole := math.Abs(to.A-1) < near && math.Abs(to.D-1) < near && math.Abs(to.B) < near && math.Abs(to.C) < near && math.Abs(to.E-x) < near && math.Abs(to.F-y) < near
	if !whole || w.clip != nil {
		return false
	}
	b := pixels.Bounds()
	at := b.Add(image.Pt(int(x), int(y)))
	into := at.Intersect(w.in)
	draw.Draw(c.img, into, pixels, b.Min.Add(into.Min.Sub(at.Min)), draw.Over)
	return true
}

// cover is the opacity of polygons within the bounds.
func (c *Canvas) cover(polygons [][]outline.Point, rule Rule, in image.Rectangle) *image.Alpha {
	c.pixels.reset(pixelBounds(polygons).Intersect(in))
	if !c.pixels.bounds.Empty() {
		for _, poly := range polygons {
			c.pixels.add(poly)
		}
	}
	return c.pixels.mask(rule)
}

// polygonsOf flattens an outline to pixels.
func polygonsOf(o outline.Outline, to outline.Transform) [][]outline.Point {
	lines := outline.Flatten(o, to, tolerance)
	polygons := make([][]outline.Point, len(lines))
	for i, l := range lines {
		polygons[i] = l.Points
	}
	return polygons
}

// paint lays ink through a mask and the opening's clip.
func (c *Canvas) paint(mask *image.Alpha, ink color.Color, w Opening) {
	if mask.Rect.Empty() {
		return
	}
	if w.clip != nil {
		mask = multiplied(mask, w.clip)
	}
	draw.DrawMask(c.img, mask.Rect, image.NewUniform(ink), image.Point{}, mask, mask.Rect.Min, draw.Over)
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
