package draw

import (
	"math"
	"slices"
)

// miterLimit is how long a pointed corner may be, in stroke widths, before it is
// cut off; all back ends use it.
const miterLimit = 4

// maxDashes keeps a pattern that is far too fine from filling the memory.
const maxDashes = 100000

// strokePolygons covers a stroked line by convex polygons: one for each edge,
// corner and end. They overlap, so they are to be filled by the non-zero rule,
// all turning the same way.
func strokePolygons(lines []polyline, s Stroke, tolerance float64) [][]Point {
	if len(s.Dash) > 0 {
		lines = dashed(lines, s)
	}
	k := stroker{half: s.Width / 2, stroke: s, tolerance: tolerance}
	for _, l := range lines {
		k.line(l)
	}
	return k.polygons
}

type stroker struct {
	half      float64
	stroke    Stroke
	tolerance float64
	polygons  [][]Point
}

func (k *stroker) line(l polyline) {
	points := slices.CompactFunc(slices.Clone(l.points), func(a, b Point) bool {
		return math.Hypot(a.X-b.X, a.Y-b.Y) < 1e-9
	})
	if l.closed && len(points) > 1 && math.Hypot(points[0].X-points[len(points)-1].X, points[0].Y-points[len(points)-1].Y) < 1e-9 {
		points = points[:len(points)-1]
	}
	if len(points) < 2 {
		if len(points) == 1 {
			k.dot(points[0])
		}
		return
	}
	n := len(points)
	edges := n - 1
	if l.closed {
		edges = n
	}
	for i := range edges {
		a, b := points[i], points[(i+1)%n]
		k.edge(a, b)
		if i+1 < edges || l.closed {
			k.corner(a, b, points[(i+2)%n])
		}
	}
	if !l.closed {
		k.end(points[1], points[0])
		k.end(points[n-2], points[n-1])
	}
}

// side is the offset to the right of the way from a to b.
func (k *stroker) side(a, b Point) Point {
	d := math.Hypot(b.X-a.X, b.Y-a.Y)
	return Pt(-(b.Y-a.Y)/d*k.half, (b.X-a.X)/d*k.half)
}

func (k *stroker) edge(a, b Point) {
	s := k.side(a, b)
	k.polygons = append(k.polygons, []Point{
		{X: a.X + s.X, Y: a.Y + s.Y}, {X: a.X - s.X, Y: a.Y - s.Y},
		{X: b.X - s.X, Y: b.Y - s.Y}, {X: b.X + s.X, Y: b.Y + s.Y}})
}

// corner fills the gap on the outer side of the turn at b.
func (k *stroker) corner(a, b, c Point) {
	u, v := k.side(a, b), k.side(b, c)
	turn := u.X*v.Y - u.Y*v.X
	if turn > 0 { // the gap is on the left
		u, v = Pt(-u.X, -u.Y), Pt(-v.X, -v.Y)
	}
	cos := (u.X*v.X + u.Y*v.Y) / (k.half * k.half)
	if k.stroke.Join == RoundJoin {
		if cos < 1-1e-9 {
			k.wedge(b, u, v)
		}
		return
	}
	poly := []Point{b, {X: b.X + u.X, Y: b.Y + u.Y}}
	// the point of the corner lies half/cos(turn/2) from b: miter ratio 1/cos(turn/2)
	if halfCos2 := (1 + cos) / 2; k.stroke.Join == Miter && halfCos2*miterLimit*miterLimit >= 1 {
		m := 1 / (2 * halfCos2)
		poly = append(poly, Pt(b.X+(u.X+v.X)*m, b.Y+(u.Y+v.Y)*m))
	}
	k.polygons = append(k.polygons, append(poly, Pt(b.X+v.X, b.Y+v.Y)))
}

// wedge is the sector about p from offset u to offset v, the short way round.
func (k *stroker) wedge(p, u, v Point) {
	from := math.Atan2(u.Y, u.X)
	turn := math.Atan2(u.X*v.Y-u.Y*v.X, u.X*v.X+u.Y*v.Y)
	steps := k.arcSteps(math.Abs(turn))
	poly := []Point{p}
	for i := range steps + 1 {
		sin, cos := math.Sincos(from + turn*float64(i)/float64(steps))
		poly = append(poly, Pt(p.X+k.half*cos, p.Y+k.half*sin))
	}
	k.polygons = append(k.polygons, poly)
}

// arcSteps keeps the sagitta of each step under the tolerance.
func (k *stroker) arcSteps(turn float64) int {
	step := 2 * math.Acos(max(0, 1-k.tolerance/k.half))
	return int(min(max(1, math.Ceil(turn/max(step, 1e-3))), 1000))
}

// end caps the line that arrives at b from a.
func (k *stroker) end(a, b Point) {
	s := k.side(a, b)
	ahead := Pt(s.Y, -s.X)
	switch k.stroke.Cap {
	case RoundCap:
		k.wedge(b, s, ahead)
		k.wedge(b, ahead, Pt(-s.X, -s.Y))
	case Square:
		k.edge(b, Pt(b.X+ahead.X, b.Y+ahead.Y))
	}
}

// dot is a line without length: nothing unless its ends have a shape.
func (k *stroker) dot(p Point) {
	switch k.stroke.Cap {
	case RoundCap:
		k.end(Pt(p.X-1, p.Y), p)
		k.end(Pt(p.X+1, p.Y), p)
	case Square:
		k.edge(Pt(p.X-k.half, p.Y), Pt(p.X+k.half, p.Y))
	}
}

// dashed cuts lines into the dashes of the pattern. A pattern that is no
// pattern (nothing, negative, not a number) leaves them whole.
func dashed(lines []polyline, s Stroke) []polyline {
	pattern, total := s.Dash, 0.0
	if len(pattern)%2 == 1 {
		pattern = append(slices.Clone(pattern), pattern...)
	}
	for _, d := range pattern {
		if !(d >= 0) {
			return lines
		}
		total += d
	}
	length := 0.0
	for _, l := range lines {
		for i := 1; i < len(l.points); i++ {
			length += math.Hypot(l.points[i].X-l.points[i-1].X, l.points[i].Y-l.points[i-1].Y)
		}
	}
	if !(total > 0) || math.IsInf(total, 0) || !(length/total*float64(len(pattern)) < maxDashes) {
		return lines
	}
	start := math.Mod(s.Phase, total)
	if math.IsNaN(start) {
		start = 0
	}
	if start < 0 {
		start += total
	}
	var out []polyline
	for _, l := range lines {
		out = append(out, dashLine(l, pattern, start)...)
	}
	return out
}

func dashLine(l polyline, pattern []float64, start float64) []polyline {
	points := l.points
	if l.closed && len(points) > 0 {
		points = append(slices.Clone(points), points[0])
	}
	if len(points) == 0 {
		return nil
	}
	i := 0
	for start >= pattern[i] && start > 0 {
		start -= pattern[i]
		i = (i + 1) % len(pattern)
	}
	left := pattern[i] - start
	var out []polyline
	dash := []Point{points[0]}
	for p := 1; p < len(points); p++ {
		a, b := points[p-1], points[p]
		edge := math.Hypot(b.X-a.X, b.Y-a.Y)
		at := 0.0
		for edge-at > left {
			at += left
			cut := between(a, b, at/edge)
			if i%2 == 0 {
				out = append(out, polyline{points: append(dash, cut)})
			}
			dash = []Point{cut}
			i = (i + 1) % len(pattern)
			left = pattern[i]
		}
		left -= edge - at
		dash = append(dash, b)
	}
	if i%2 == 0 && len(dash) > 1 {
		out = append(out, polyline{points: dash})
	}
	return out
}
