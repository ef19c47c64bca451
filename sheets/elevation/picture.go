package elevation

import (
	"image"
	"math"

	"scumble/draw"
	"scumble/geom"
	"scumble/sheets/drafting"
	"scumble/sheets/pattern"
)

// Photo is a computed picture of a wall to be set into its drawing. Exactly one of
// Pixels and JPEG is used.
type Photo struct {
	Pixels image.Image
	JPEG   []byte
	// Shown is the part of the wall on it, mm of wall.
	Shown geom.Bounds
	// Alt says in words what is shown.
	Alt string
}

// Quiet is how a picture is framed.
type Quiet struct {
	// Scale is mm of paper for one mm of wall.
	Scale float64
	// Beside is how much of the neighbouring walls is shown, mm of wall.
	Beside float64
	// Line is the width of a line, mm of paper.
	Line float64
}

// Picture draws a wall as its picture, with openings, skirting, cornice and the
// neighbouring walls as quiet lines.
func Picture(v View, p Photo, q Quiet) Drawing {
	shown := p.Shown
	beside := q.Beside
	c := &canvas{Place: pattern.Place{X: (beside - shown.Min.X) * q.Scale, Y: (beside + shown.Max.Y) * q.Scale, S: q.Scale}}
	d := Drawing{Scale: 1 / q.Scale, W: (shown.Width() + 2*beside) * q.Scale, H: (shown.Height() + 2*beside) * q.Scale}
	c.add(draw.Image{Box: draw.Box{X: beside * q.Scale, Y: beside * q.Scale, W: shown.Width() * q.Scale, H: shown.Height() * q.Scale}, Pixels: p.Pixels, JPEG: p.JPEG, Alt: p.Alt})
	edge := draw.Ink(q.Line, drafting.Grey)
	fine := draw.Ink(q.Line*0.6, drafting.Grey)
	for i := range v.Wall.Openings {
		c.segments(v.Wall.Openings[i].Outline, edge)
	}
	b := v.Wall.Outline.Bounds()
	closed := v.Wall.Outline.Region()
	for i := range v.Wall.Openings {
		if rest, err := geom.Subtract(closed, v.Wall.Openings[i].Outline.Region()); err == nil {
			closed = rest
		}
	}
	for _, y := range v.levels() {
		for _, run := range closed.SpanAcross(y) {
			c.segment(geom.Point{X: run[0], Y: y}, geom.Point{X: run[1], Y: y}, fine)
		}
	}
	c.segments(v.Wall.Outline, edge)
	if beside > 0 {
		c.neighbours(v, beside, fine)
		c.segment(geom.Point{X: b.Min.X - beside, Y: 0}, geom.Point{X: b.Max.X + beside, Y: 0}, draw.Ink(q.Line*1.8, drafting.Grey))
	}
	d.Items = c.items
	return d
}

// levels are the heights of skirting, dado rail and cornice.
func (v View) levels() []float64 {
	w := v.Wall
	var ys []float64
	if w.Skirting > 0 {
		ys = append(ys, float64(w.Skirting))
	}
	if w.Dado > 0 {
		ys = append(ys, float64(w.Dado), float64(w.Dado-w.DadoRail))
	}
	if w.Cornice > 0 {
		ys = append(ys, w.Outline.Bounds().Max.Y-float64(w.Cornice))
	}
	return ys
}

// neighbours shows where ceiling, skirting and cornice run on beyond the corners.
func (c *canvas) neighbours(v View, beside float64, ink draw.Stroke) {
	b := v.Wall.Outline.Bounds()
	for _, side := range []struct {
		id     string
		corner float64
		out    float64
	}{{v.Wall.Previous, b.Min.X, -0.8 * beside}, {v.Wall.Next, b.Max.X, 0.8 * beside}} {
		if side.id == "" {
			continue
		}
		ends := spanAt(v, side.corner)
		ys := []float64{ends}
		if v.Wall.Skirting > 0 {
			ys = append(ys, float64(v.Wall.Skirting))
		}
		if v.Wall.Cornice > 0 {
			ys = append(ys, ends-float64(v.Wall.Cornice))
		}
		for _, y := range ys {
			c.segment(geom.Point{X: side.corner, Y: y}, geom.Point{X: side.corner + side.out, Y: y}, ink)
		}
	}
}

// spanAt is the height of the wall at one of its ends.
func spanAt(v View, x float64) float64 {
	high := 0.0
	for _, p := range v.Wall.Outline {
		if math.Abs(p.X-x) < 1 {
			high = math.Max(high, p.Y)
		}
	}
	return high
}

// segments draws an outline line by line: a stroke round a whole wall would make
// the painter of pixels look at every one of them.
func (c *canvas) segments(p geom.Polygon, ink draw.Stroke) {
	for i := range p {
		e := p.Edge(i)
		c.segment(e.A, e.B, ink)
	}
}

func (c *canvas) segment(a, b geom.Point, ink draw.Stroke) {
	from, to := c.At(a.X, a.Y), c.At(b.X, b.Y)
	c.add(draw.Line(from.X, from.Y, to.X, to.Y, ink))
}
