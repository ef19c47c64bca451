package raster

import (
	"image"
	"math"

	"scumble/draw/outline"
)

// coverage adds up how much of each pixel lies to the right of the edges of
// polygons, signed by the way the edges run; summed along a row it is the share
// of each pixel that the polygons cover.
type coverage struct {
	bounds image.Rectangle
	stride int
	cells  []float32
}

func (c *coverage) reset(bounds image.Rectangle) {
	c.bounds, c.stride = bounds, bounds.Dx()+2
	n := c.stride * bounds.Dy()
	if n > cap(c.cells) {
		c.cells = make([]float32, n)
	}
	c.cells = c.cells[:n]
	clear(c.cells)
}

// add lays a closed polygon over the pixels.
func (c *coverage) add(poly []outline.Point) {
	poly = clipPolygon(poly, c.bounds)
	for i, a := range poly {
		c.edge(a, poly[(i+1)%len(poly)])
	}
}

func (c *coverage) edge(a, b outline.Point) {
	ox, oy := float64(c.bounds.Min.X), float64(c.bounds.Min.Y)
	ax, ay, bx, by := a.X-ox, a.Y-oy, b.X-ox, b.Y-oy
	sign := 1.0
	if ay > by {
		ax, ay, bx, by, sign = bx, by, ax, ay, -1
	}
	if by-ay < 1e-9 {
		return
	}
	slope := (bx - ax) / (by - ay)
	for y := int(ay); y < c.bounds.Dy() && float64(y) < by; y++ {
		top, bottom := max(ay, float64(y)), min(by, float64(y+1))
		c.row(c.cells[y*c.stride:(y+1)*c.stride], ax+(top-ay)*slope, ax+(bottom-ay)*slope, (bottom-top)*sign)
	}
}

// row adds an edge that crosses dy of one row of pixels between two x.
func (c *coverage) row(cells []float32, x0, x1, dy float64) {
	width := float64(c.stride - 2)
	left, right := min(max(min(x0, x1), 0), width), min(max(x0, x1, 0), width)
	first, last := int(left), int(right)
	if first == last {
		mid := (left+right)/2 - float64(first)
		cells[first] += float32(dy * (1 - mid))
		cells[first+1] += float32(dy * mid)
		return
	}
	for i := first; i <= last; i++ {
		from, to := max(left, float64(i)), min(right, float64(i+1))
		part := dy * (to - from) / (right - left)
		mid := (from+to)/2 - float64(i)
		cells[i] += float32(part * (1 - mid))
		cells[i+1] += float32(part * mid)
	}
}

// mask reads the sums as opacity. By the even-odd rule what is covered twice is
// a hole; otherwise it is simply covered.
func (c *coverage) mask(rule Rule) *image.Alpha {
	m := image.NewAlpha(c.bounds)
	for y := range c.bounds.Dy() {
		sum := 0.0
		out := m.Pix[y*m.Stride:]
		for x, v := range c.cells[y*c.stride : (y+1)*c.stride-2] {
			sum += float64(v)
			a := math.Abs(sum)
			if rule == EvenOdd && a > 1 {
				a = math.Mod(a, 2)
				a = min(a, 2-a)
			}
			out[x] = uint8(min(a, 1)*255 + 0.5)
		}
	}
	return m
}

// pixelBounds is the whole pixels that polygons touch; polygons with a
// coordinate that is not a number have none.
func pixelBounds(polygons [][]outline.Point) image.Rectangle {
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
func clipPolygon(poly []outline.Point, r image.Rectangle) []outline.Point {
	sides := [4]func(outline.Point) float64{
		func(p outline.Point) float64 { return p.X - float64(r.Min.X) },
		func(p outline.Point) float64 { return float64(r.Max.X) - p.X },
		func(p outline.Point) float64 { return p.Y - float64(r.Min.Y) },
		func(p outline.Point) float64 { return float64(r.Max.Y) - p.Y },
	}
	for _, inside := range sides {
		outside := false
		for _, p := range poly {
			outside = outside || inside(p) < 0
		}
		if !outside {
			continue
		}
		var kept []outline.Point
		for i, b := range poly {
			a := poly[(i+len(poly)-1)%len(poly)]
			da, db := inside(a), inside(b)
			if (da < 0) != (db < 0) {
				kept = append(kept, outline.Between(a, b, da/(da-db)))
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
func area(poly []outline.Point) float64 {
	a := 0.0
	for i, p := range poly {
		q := poly[(i+1)%len(poly)]
		a += p.X*q.Y - q.X*p.Y
	}
	return a / 2
}
