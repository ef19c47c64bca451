package stroke

import (
	"math"

	"scumble/geom"
)

// turned is a rectangle turned on the wall: u runs along it and v across it from
// its middle, v to the left of u, mm.
type turned struct {
	x, y       float32
	cos, sin   float32
	long, wide float32 // half its length and half its width
}

// newTurned is a rectangle about a place, turned by an angle in radians.
func newTurned(middle geom.Point, length, width, angle float64) turned {
	return turned{
		x: float32(middle.X), y: float32(middle.Y),
		cos: float32(math.Cos(angle)), sin: float32(math.Sin(angle)),
		long: float32(length / 2), wide: float32(width / 2),
	}
}

// reach is the box round the rectangle, mm.
func (r *turned) reach() geom.Bounds {
	c, s := math.Abs(float64(r.cos)), math.Abs(float64(r.sin))
	dx := float64(r.long)*c + float64(r.wide)*s
	dy := float64(r.long)*s + float64(r.wide)*c
	x, y := float64(r.x), float64(r.y)
	return geom.Bounds{Min: geom.Point{X: x - dx, Y: y - dy}, Max: geom.Point{X: x + dx, Y: y + dy}}
}

// local is u and v at the foot of a row, where x is 0: u grows by cos and v falls
// by sin for every mm of x.
func (r *turned) local(y float32) (u, v float32) {
	return (y-r.y)*r.sin - r.x*r.cos, (y-r.y)*r.cos + r.x*r.sin
}

// row is the columns of a tile inside the rectangle at height y, of those from i0 to i1.
func (r *turned) row(t *Tile, i0, i1 int, y float32) (from, to int) {
	u, v := r.local(y)
	lo, hi := t.X[i0], t.X[i1-1]
	lo, hi = within(lo, hi, r.cos, u, r.long)
	lo, hi = within(lo, hi, -r.sin, v, r.wide)
	if !(lo <= hi) || r.long <= 0 || r.wide <= 0 {
		return i0, i0
	}
	from = i0 + lowest(t.X[i0:i1], lo)
	to = from + lowest(t.X[from:i1], hi)
	if to < i1 && t.X[to] == hi {
		to++
	}
	return from, to
}

// within narrows lo to hi to where |slope x + offset| is at most half.
func within(lo, hi, slope, offset, half float32) (float32, float32) {
	if slope < 0 {
		slope, offset = -slope, -offset
	}
	if slope < 1e-6 {
		if offset > half || offset < -half {
			return 1, 0
		}
		return lo, hi
	}
	return max(lo, (-half-offset)/slope), min(hi, (half-offset)/slope)
}

// depth is how far inside the rectangle a place lies, mm; below 0 outside.
func (r *turned) depth(u, v float32) float32 {
	along, across := r.long-abs(u), r.wide-abs(v)
	if along < across {
		return along
	}
	return across
}

func abs(v float32) float32 {
	if v < 0 {
		return -v
	}
	return v
}

// ramp is 0 at and below 0, 1 at and above 1 and straight between. It branches, as
// the built-in min and max of floats are slow.
func ramp(v float32) float32 {
	if v > 0 {
		if v < 1 {
			return v
		}
		return 1
	}
	return 0
}
