package draw

import (
	"math"

	"scumble/draw/outline"
)

// The geometry of the scene is that of package outline, which the back ends work on.
type (
	// Outline is a run of segments. Its methods work like append:
	//
	//	o = o.Move(0, 0).Line(10, 0).Line(10, 5).Close()
	Outline = outline.Outline
	// Segment is one step of an Outline.
	Segment = outline.Segment
	// Op says what a Segment does.
	Op = outline.Op
	// Transform maps (x, y) to (A x + C y + E, B x + D y + F).
	// The zero Transform is taken as "no change".
	Transform = outline.Transform
	// Cap is the shape of the end of a stroke.
	Cap = outline.Cap
	// Join is the shape of a corner of a stroke.
	Join = outline.Join
)

// The path operators and the number of points each uses: 1, 1, 2, 3, 0.
const (
	MoveTo, LineTo = outline.MoveTo, outline.LineTo
	QuadTo, CubeTo = outline.QuadTo, outline.CubeTo
	Close          = outline.Close
)

// The three ends and the three corners of a stroke.
const (
	Butt, RoundCap, Square  = outline.Butt, outline.RoundCap, outline.Square
	Miter, RoundJoin, Bevel = outline.Miter, outline.RoundJoin, outline.Bevel
)

var identity = Transform{A: 1, D: 1}

// Shift moves by (dx, dy) mm.
func Shift(dx, dy float64) Transform { return Transform{A: 1, D: 1, E: dx, F: dy} }

// Scale enlarges about the origin; a negative sy turns y up into y down.
func Scale(sx, sy float64) Transform { return Transform{A: sx, D: sy} }

// Rotate turns about the origin, in degrees, clockwise on the page.
func Rotate(degrees float64) Transform {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return Transform{A: cos, B: sin, C: -sin, D: cos}
}
