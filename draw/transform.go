package draw

import "math"

// Transform maps (x, y) to (A x + C y + E, B x + D y + F).
// The zero Transform is taken as "no change".
type Transform struct{ A, B, C, D, E, F float64 }

var identity = Transform{A: 1, D: 1}

// Shift moves by (dx, dy) mm.
func Shift(dx, dy float64) Transform { return Transform{1, 0, 0, 1, dx, dy} }

// Scale enlarges about the origin; a negative sy turns y up into y down.
func Scale(sx, sy float64) Transform { return Transform{A: sx, D: sy} }

// Rotate turns about the origin, in degrees, clockwise on the page.
func Rotate(degrees float64) Transform {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return Transform{cos, sin, -sin, cos, 0, 0}
}

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
	return Pt(t.A*p.X+t.C*p.Y+t.E, t.B*p.X+t.D*p.Y+t.F)
}

func (t Transform) orIdentity() Transform {
	if t == (Transform{}) {
		return identity
	}
	return t
}

// scale is the mean enlargement, for pen widths and tolerances.
func (t Transform) scale() float64 { return math.Sqrt(math.Abs(t.A*t.D - t.B*t.C)) }
