// Package geom holds planar points, outlines and regions in wall coordinates:
// millimetres, x to the right, y up from the floor, seen from inside the room.
//
// Nothing here panics on bad outlines. Figures that are not finite and outlines
// without area give an empty result, or an error where there is one to return.
package geom

import (
	"fmt"
	"math"
	"slices"

	"scumble/unit"
)

// Near is the distance in millimetres below which two places count as one: a
// micrometre, a thousandth of the width of a pencil line.
const Near = 1e-3

// farthest is the largest coordinate taken as a place on a wall: 10 km.
const farthest = 1e7

// Point is a place on a wall (or on a sheet of paper) in millimetres.
type Point struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// To is the distance between two points in millimetres.
func (p Point) To(q Point) float64 { return math.Hypot(q.X-p.X, q.Y-p.Y) }

func (p Point) String() string {
	return fmt.Sprintf("(%s, %s)", unit.Figure(p.X, 0), unit.Figure(p.Y, 0))
}

func (p Point) placed() bool {
	return math.Abs(p.X) <= farthest && math.Abs(p.Y) <= farthest // false for NaN too
}

// Bounds is the upright rectangle round something. The zero value, like any
// without width and height, is empty.
type Bounds struct {
	Min, Max Point
}

// Width in millimetres.
func (b Bounds) Width() float64 { return b.Max.X - b.Min.X }

// Height in millimetres.
func (b Bounds) Height() float64 { return b.Max.Y - b.Min.Y }

// Polygon is a ring of corners without repeating the first at the end. It runs
// either way round; Area and the clips do not mind.
type Polygon []Point

// Edge is the side from corner i to the next, counted from 0.
func (p Polygon) Edge(i int) Segment { return Segment{p[i], p[(i+1)%len(p)]} }

// signedArea in mm2 is above zero when the ring runs anticlockwise (shoelace formula).
func (p Polygon) signedArea() float64 {
	if len(p) < 3 {
		return 0
	}
	origin, sum := p[0], 0.0
	for i := 1; i+1 < len(p); i++ {
		sum += (p[i].X-origin.X)*(p[i+1].Y-origin.Y) - (p[i+1].X-origin.X)*(p[i].Y-origin.Y)
	}
	return sum / 2
}

// Area in mm2, of whichever sense the ring runs; 0 when it is not finite.
func (p Polygon) Area() float64 {
	a := math.Abs(p.signedArea())
	if math.IsNaN(a) || math.IsInf(a, 0) {
		return 0
	}
	return a
}

// AreaM2 is the area in square metres.
func (p Polygon) AreaM2() unit.Area { return unit.Area(p.Area() / 1e6) }

// Perimeter in millimetres.
func (p Polygon) Perimeter() float64 {
	sum := 0.0
	for i := range p {
		sum += p.Edge(i).Length()
	}
	return sum
}

// Bounds of the corners.
func (p Polygon) Bounds() Bounds {
	if len(p) == 0 {
		return Bounds{}
	}
	b := Bounds{p[0], p[0]}
	for _, q := range p[1:] {
		b.Min = Point{min(b.Min.X, q.X), min(b.Min.Y, q.Y)}
		b.Max = Point{max(b.Max.X, q.X), max(b.Max.Y, q.Y)}
	}
	return b
}

// Anticlockwise is the same ring running anticlockwise; a copy when it has to turn.
func (p Polygon) Anticlockwise() Polygon { return p.turned(true) }

func (p Polygon) turned(anticlockwise bool) Polygon {
	if (p.signedArea() >= 0) == anticlockwise {
		return p
	}
	back := slices.Clone(p)
	slices.Reverse(back)
	return back
}

// Moved is the polygon shifted by dx and dy millimetres.
func (p Polygon) Moved(dx, dy float64) Polygon {
	moved := make(Polygon, len(p))
	for i, q := range p {
		moved[i] = Point{q.X + dx, q.Y + dy}
	}
	return moved
}

// surrounds counts the sides a ray to the right crosses; points on the ring may
// fall either way.
func (p Polygon) surrounds(q Point) bool {
	inside := false
	for i, a := range p {
		b := p[(i+1)%len(p)]
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			inside = !inside
		}
	}
	return inside
}

// edgeDistance is the distance in millimetres from a point to the nearest side.
func (p Polygon) edgeDistance(q Point) float64 {
	d := math.Inf(1)
	for i := range p {
		d = min(d, p.Edge(i).distance(q))
	}
	return d
}

// Contains reports whether a point lies inside or on the ring.
func (p Polygon) Contains(q Point) bool {
	return len(p) > 2 && (p.surrounds(q) || p.edgeDistance(q) <= Near)
}

// Region makes a region of one outline without openings; empty when it has no area.
func (p Polygon) Region() Region {
	if p.Area() == 0 {
		return nil
	}
	return Region{{Outer: p.Anticlockwise()}}
}
