package outline

import (
	"math"
	"sort"
)

// Tolerance is how far in mm a chain of straight edges may stray from a curve
// on paper.
const Tolerance = 0.02

// Chain is a flattened contour. A closed one does not repeat its first point.
type Chain struct {
	Points []Point
	Closed bool
}

// Flatten turns an outline into chains of straight edges within tolerance,
// in the units that t maps to.
func Flatten(o Outline, t Transform, tolerance float64) []Chain {
	var out []Chain
	var current Chain
	var start, at Point
	finish := func() {
		if len(current.Points) > 0 {
			out = append(out, current)
		}
		current = Chain{}
	}
	begin := func() { // an edge after Close, or without Move, starts where the pen is
		if len(current.Points) == 0 {
			current.Points = append(current.Points, at)
			start = at
		}
	}
	for _, s := range o {
		p := [3]Point{t.Apply(s.P[0]), t.Apply(s.P[1]), t.Apply(s.P[2])}
		switch s.Op {
		case MoveTo:
			finish()
			at, start = p[0], p[0]
			current.Points = append(current.Points, at)
		case LineTo:
			begin()
			at = p[0]
			current.Points = append(current.Points, at)
		case QuadTo:
			begin()
			// a quadratic curve is the cubic with handles at two thirds
			a, b := Between(at, p[0], 2.0/3), Between(p[1], p[0], 2.0/3)
			current.Points = appendCube(current.Points, at, a, b, p[1], tolerance)
			at = p[1]
		case CubeTo:
			begin()
			current.Points = appendCube(current.Points, at, p[0], p[1], p[2], tolerance)
			at = p[2]
		case Close:
			if len(current.Points) > 0 {
				current.Closed = true
				finish()
			}
			at = start
		}
	}
	finish()
	return out
}

// Between is the place at share t of the way from a to b.
func Between(a, b Point, t float64) Point { return pt(a.X+(b.X-a.X)*t, a.Y+(b.Y-a.Y)*t) }

// appendCube adds the points of a cubic curve after its start. The number of
// equal parameter steps comes from the bound on the second difference
// of the control points: n = sqrt(6 bend / (8 tolerance)).
func appendCube(points []Point, a, b, c, d Point, tolerance float64) []Point {
	bend := max(math.Hypot(a.X-2*b.X+c.X, a.Y-2*b.Y+c.Y), math.Hypot(b.X-2*c.X+d.X, b.Y-2*c.Y+d.Y))
	n := math.Ceil(math.Sqrt(bend * 6 / (8 * tolerance)))
	steps := 1
	if n > 1 {
		steps = int(min(n, 500))
	}
	for i := 1; i <= steps; i++ {
		t := float64(i) / float64(steps)
		u := 1 - t
		points = append(points, pt(
			u*u*u*a.X+3*u*u*t*b.X+3*u*t*t*c.X+t*t*t*d.X,
			u*u*u*a.Y+3*u*u*t*b.Y+3*u*t*t*c.Y+t*t*t*d.Y))
	}
	return points
}

// maxHatchLines keeps a hatch that is far too fine from filling the memory.
const maxHatchLines = 20000

// Hatch is the parallel lines that cover a region, cut at its edges (even-odd).
// spacing in mm, angle in degrees (0 = level lines, 45 = rising to the right).
// Lines of the same spacing and angle meet across neighbouring regions.
func Hatch(region Outline, spacing, angle float64) Outline {
	sin, cos := math.Sincos(-angle * math.Pi / 180)
	along := func(p Point) Point { return pt(p.X*cos+p.Y*sin, -p.X*sin+p.Y*cos) }
	back := func(p Point) Point { return pt(p.X*cos-p.Y*sin, p.X*sin+p.Y*cos) }
	contours := Flatten(region, Transform{}, Tolerance)
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range contours {
		for i, p := range c.Points {
			c.Points[i] = along(p)
			low, high = min(low, c.Points[i].Y), max(high, c.Points[i].Y)
		}
	}
	var out Outline
	if !(spacing > 0) || !(high > low) || math.IsInf(high-low, 0) {
		return out
	}
	spacing *= max(1, math.Ceil((high-low)/spacing/maxHatchLines))
	for k := math.Ceil(low / spacing); k*spacing < high; k++ {
		y := k * spacing
		xs := crossings(contours, y)
		for i := 0; i+1 < len(xs); i += 2 {
			a, b := back(pt(xs[i], y)), back(pt(xs[i+1], y))
			out = out.Move(a.X, a.Y).Line(b.X, b.Y)
		}
	}
	return out
}

// crossings returns where the level line at y meets the closed contours, sorted.
func crossings(contours []Chain, y float64) []float64 {
	var xs []float64
	for _, c := range contours {
		n := len(c.Points)
		for i, a := range c.Points {
			b := c.Points[(i+1)%n]
			if (a.Y <= y) != (b.Y <= y) {
				xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
			}
		}
	}
	sort.Float64s(xs)
	return xs
}
