package draw

import (
	"image"
	"math"
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
func (c *coverage) add(poly []Point) {
	poly = clipPolygon(poly, c.bounds)
	for i, a := range poly {
		c.edge(a, poly[(i+1)%len(poly)])
	}
}

func (c *coverage) edge(a, b Point) {
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
func (c *coverage) mask(evenOdd bool) *image.Alpha {
	m := image.NewAlpha(c.bounds)
	for y := range c.bounds.Dy() {
		sum := 0.0
		out := m.Pix[y*m.Stride:]
		for x, v := range c.cells[y*c.stride : (y+1)*c.stride-2] {
			sum += float64(v)
			a := math.Abs(sum)
			if evenOdd && a > 1 {
				a = math.Mod(a, 2)
				a = min(a, 2-a)
			}
			out[x] = uint8(min(a, 1)*255 + 0.5)
		}
	}
	return m
}
