package draw

import (
	"math"
	"sort"
)

// Op says what a Segment does.
type Op uint8

// The path operators and the number of points each uses: 1, 1, 2, 3, 0.
const (
	MoveTo Op = iota
	LineTo
	QuadTo
	CubeTo
	Close
)

// Segment is one step of an Outline.
type Segment struct {
	Op Op
	P  [3]Point
}

// Outline is a run of segments. Its methods work like append:
//
//	o = o.Move(0, 0).Line(10, 0).Line(10, 5).Close()
type Outline []Segment

// Move starts a new contour.
func (o Outline) Move(x, y float64) Outline {
	return append(o, Segment{Op: MoveTo, P: [3]Point{{X: x, Y: y}}})
}

// Line draws a straight edge.
func (o Outline) Line(x, y float64) Outline {
	return append(o, Segment{Op: LineTo, P: [3]Point{{X: x, Y: y}}})
}

// Quad draws a quadratic curve with one control point.
func (o Outline) Quad(cx, cy, x, y float64) Outline {
	return append(o, Segment{Op: QuadTo, P: [3]Point{{X: cx, Y: cy}, {X: x, Y: y}}})
}

// Cube draws a cubic curve with two control points.
func (o Outline) Cube(ax, ay, bx, by, x, y float64) Outline {
	return append(o, Segment{Op: CubeTo, P: [3]Point{{X: ax, Y: ay}, {X: bx, Y: by}, {X: x, Y: y}}})
}

// Close joins the contour to its start.
func (o Outline) Close() Outline { return append(o, Segment{Op: Close}) }

// Arc adds an arc about (cx, cy) from one angle to another, in degrees:
// 0 to the right, growing clockwise on the page. It is joined by a straight
// edge to the contour so far, or starts one.
func (o Outline) Arc(cx, cy, r, from, to float64) Outline {
	at := func(deg float64) (x, y, sin, cos float64) {
		sin, cos = math.Sincos(deg * math.Pi / 180)
		return cx + r*cos, cy + r*sin, sin, cos
	}
	to = min(max(to, from-360), from+360)
	x, y, sin, cos := at(from)
	if len(o) == 0 || o[len(o)-1].Op == Close {
		o = o.Move(x, y)
	} else {
		o = o.Line(x, y)
	}
	steps := max(1, int(math.Ceil(math.Abs(to-from)/45-1e-9)))
	step := (to - from) / float64(steps)
	k := r * 4 / 3 * math.Tan(step*math.Pi/720) // handle length of the usual cubic arc
	for i := 1; i <= steps; i++ {
		nx, ny, nsin, ncos := at(from + step*float64(i))
		o = o.Cube(x-k*sin, y+k*cos, nx+k*nsin, ny-k*ncos, nx, ny)
		x, y, sin, cos = nx, ny, nsin, ncos
	}
	return o
}

// flatTolerance is how far in mm a chain of straight edges may stray from a curve.
const flatTolerance = 0.02

// polyline is a flattened contour.
type polyline struct {
	points []Point
	closed bool
}

// flatten turns an outline into chains of straight edges within tolerance,
// after mapping it by t.
func flatten(o Outline, t Transform, tolerance float64) []polyline {
	var out []polyline
	var current polyline
	var start, at Point
	finish := func() {
		if len(current.points) > 0 {
			out = append(out, current)
		}
		current = polyline{}
	}
	begin := func() { // an edge after Close, or without Move, starts where the pen is
		if len(current.points) == 0 {
			current.points = append(current.points, at)
			start = at
		}
	}
	for _, s := range o {
		p := [3]Point{t.Apply(s.P[0]), t.Apply(s.P[1]), t.Apply(s.P[2])}
		switch s.Op {
		case MoveTo:
			finish()
			at, start = p[0], p[0]
			current.points = append(current.points, at)
		case LineTo:
			begin()
			at = p[0]
			current.points = append(current.points, at)
		case QuadTo:
			begin()
			// a quadratic curve is the cubic with handles at two thirds
			a, b := between(at, p[0], 2.0/3), between(p[1], p[0], 2.0/3)
			current.points = appendCube(current.points, at, a, b, p[1], tolerance)
			at = p[1]
		case CubeTo:
			begin()
			current.points = appendCube(current.points, at, p[0], p[1], p[2], tolerance)
			at = p[2]
		case Close:
			if len(current.points) > 0 {
				current.closed = true
				finish()
			}
			at = start
		}
	}
	finish()
	return out
}

func between(a, b Point, t float64) Point { return Pt(a.X+(b.X-a.X)*t, a.Y+(b.Y-a.Y)*t) }

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
		points = append(points, Pt(
			u*u*u*a.X+3*u*u*t*b.X+3*u*t*t*c.X+t*t*t*d.X,
			u*u*u*a.Y+3*u*u*t*b.Y+3*u*t*t*c.Y+t*t*t*d.Y))
	}
	return points
}

// maxHatchLines keeps a hatch that is far too fine from filling the memory.
const maxHatchLines = 20000

// Hatch covers a region with parallel lines, cut at its edges (even-odd).
// spacing in mm, angle in degrees (0 = level lines, 45 = rising to the right).
// Lines of the same spacing and angle meet across neighbouring regions.
func Hatch(region Outline, spacing, angle float64, s Stroke) Path {
	sin, cos := math.Sincos(-angle * math.Pi / 180)
	along := func(p Point) Point { return Pt(p.X*cos+p.Y*sin, -p.X*sin+p.Y*cos) }
	back := func(p Point) Point { return Pt(p.X*cos-p.Y*sin, p.X*sin+p.Y*cos) }
	contours := flatten(region, identity, flatTolerance)
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range contours {
		for i, p := range c.points {
			c.points[i] = along(p)
			low, high = min(low, c.points[i].Y), max(high, c.points[i].Y)
		}
	}
	out := Path{Stroke: s}
	if !(spacing > 0) || !(high > low) || math.IsInf(high-low, 0) {
		return out
	}
	spacing *= max(1, math.Ceil((high-low)/spacing/maxHatchLines))
	for k := math.Ceil(low / spacing); k*spacing < high; k++ {
		y := k * spacing
		xs := crossings(contours, y)
		for i := 0; i+1 < len(xs); i += 2 {
			a, b := back(Pt(xs[i], y)), back(Pt(xs[i+1], y))
			out.Outline = out.Outline.Move(a.X, a.Y).Line(b.X, b.Y)
		}
	}
	return out
}

// crossings returns where the level line at y meets the closed contours, sorted.
func crossings(contours []polyline, y float64) []float64 {
	var xs []float64
	for _, c := range contours {
		n := len(c.points)
		for i, a := range c.points {
			b := c.points[(i+1)%n]
			if (a.Y <= y) != (b.Y <= y) {
				xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
			}
		}
	}
	sort.Float64s(xs)
	return xs
}
