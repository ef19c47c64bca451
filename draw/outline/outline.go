// Package outline is the geometry that every back end of draw shares: contours
// of straight and curved edges, mapping and flattening them, hatching a region,
// and the pen a line is drawn with. It knows no colours and no pages.
package outline

import (
	"math"
	"strconv"
	"strings"

	"scumble/geom"
)

// Point is a place in mm, or in the units that a Transform maps to; y grows down.
type Point = geom.Point

func pt(x, y float64) Point { return Point{X: x, Y: y} }

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

// Transform maps (x, y) to (A x + C y + E, B x + D y + F).
// The zero Transform is taken as "no change".
type Transform struct{ A, B, C, D, E, F float64 }

var identity = Transform{A: 1, D: 1}

// Then is the transform that does t first and u after it.
func (t Transform) Then(u Transform) Transform {
	t, u = t.orIdentity(), u.orIdentity()
	return Transform{
		A: u.A*t.A + u.C*t.B, B: u.B*t.A + u.D*t.B,
		C: u.A*t.C + u.C*t.D, D: u.B*t.C + u.D*t.D,
		E: u.A*t.E + u.C*t.F + u.E, F: u.B*t.E + u.D*t.F + u.F,
	}
}

// Apply maps a point.
func (t Transform) Apply(p Point) Point {
	t = t.orIdentity()
	return pt(t.A*p.X+t.C*p.Y+t.E, t.B*p.X+t.D*p.Y+t.F)
}

func (t Transform) orIdentity() Transform {
	if t == (Transform{}) {
		return identity
	}
	return t
}

// Cap is the shape of the end of a stroke.
type Cap uint8

// The three ends; the numbers are those of PDF.
const (
	Butt Cap = iota
	RoundCap
	Square
)

// Join is the shape of a corner of a stroke.
type Join uint8

// The three corners; the numbers are those of PDF.
const (
	Miter Join = iota
	RoundJoin
	Bevel
)

// MiterLimit is how long a pointed corner may be, in pen widths, before it is
// cut off; all back ends use it.
const MiterLimit = 4

// Pen is what a line is drawn with: Dash is on, off, on... and Phase how far into
// the pattern the line starts, all in the units of the outline.
type Pen struct {
	Width float64
	Dash  []float64
	Phase float64
	Cap   Cap
	Join  Join
}

// Dashes tells whether Dash is a pattern; the back ends draw others solid.
func (p Pen) Dashes() bool {
	total := 0.0
	for _, d := range p.Dash {
		if !(d >= 0 && d < 1e6) {
			return false
		}
		total += d
	}
	return total > 1e-3
}

// Decimal writes a number with up to four decimals, enough for 0.1 µm on paper.
// What is not a number is written as 0.
func Decimal(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "0"
	}
	s := strconv.FormatFloat(min(max(v, -1e9), 1e9), 'f', 4, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}
