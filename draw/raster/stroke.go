package raster

import (
	"math"
	"slices"

	"scumble/draw/outline"
)

func pt(x, y float64) outline.Point { return outline.Point{X: x, Y: y} }

// maxDashes keeps a pattern that is far too fine from filling the memory.
const maxDashes = 100000

// strokePolygons covers a stroked line by convex polygons: one for each edge,
// corner and end. They overlap, so they are to be filled by the non-zero rule,
// all turning the same way.
func strokePolygons(lines []outline.Chain, pen outline.Pen, tolerance float64) [][]outline.Point {
	if len(pen.Dash) > 0 {
		lines = dashed(lines, pen)
	}
	k := stroker{half: pen.Width / 2, pen: pen, tolerance: tolerance}
	for _, l := range lines {
		k.line(l)
	}
	return k.polygons
}

type stroker struct {
	half      float64
	pen       outline.Pen
	tolerance float64
	polygons  [][]outline.Point
}

func (k *stroker) line(l outline.Chain) {
	points := slices.CompactFunc(slices.Clone(l.Points), func(a, b outline.Point) bool {
		return math.Hypot(a.X-b.X, a.Y-b.Y) < 1e-9
	})
	if l.Closed && len(points) > 1 && math.Hypot(points[0].X-points[len(points)-1].X, points[0].Y-points[len(points)-1].Y) < 1e-9 {
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
	if l.Closed {
		edges = n
	}
	for i := range edges {
		a, b := points[i], points[(i+1)%n]
		k.edge(a, b)
		if i+1 < edges || l.Closed {
			k.corner(a, b, points[(i+2)%n])
		}
	}
	if !l.Closed {
		k.end(points[1], points[0])
		k.end(points[n-2], points[n-1])
	}
}

// side is the offset to the right of the way from a to b.
func (k *stroker) side(a, b outline.Point) outline.Point {
	d := math.Hypot(b.X-a.X, b.Y-a.Y)
	return pt(-(b.Y-a.Y)/d*k.half, (b.X-a.X)/d*k.half)
}

func (k *stroker) edge(a, b outline.Point) {
	s := k.side(a, b)
	k.polygons = append(k.polygons, []outline.Point{
		{X: a.X + s.X, Y: a.Y + s.Y}, {X: a.X - s.X, Y: a.Y - s.Y},
		{X: b.X - s.X, Y: b.Y - s.Y}, {X: b.X + s.X, Y: b.Y + s.Y}})
}

// corner fills the gap on the outer side of the turn at b.
func (k *stroker) corner(a, b, c outline.Point) {
	u, v := k.side(a, b), k.side(b, c)
	turn := u.X*v.Y - u.Y*v.X
	if turn > 0 { // the gap is on the left
		u, v = pt(-u.X, -u.Y), pt(-v.X, -v.Y)
	}
	cos := (u.X*v.X + u.Y*v.Y) / (k.half * k.half)
	if k.pen.Join == outline.RoundJoin {
		if cos < 1-1e-9 {
			k.wedge(b, u, v)
		}
		return
	}
	poly := []outline.Point{b, {X: b.X + u.X, Y: b.Y + u.Y}}
	// the point of the corner lies half/cos(turn/2) from b: miter ratio 1/cos(turn/2)
	if halfCos2 := (1 + cos) / 2; k.pen.Join == outline.Miter && halfCos2*outline.MiterLimit*outline.MiterLimit >= 1 {
		m := 1 / (2 * halfCos2)
		poly = append(poly, pt(b.X+(u.X+v.X)*m, b.Y+(u.Y+v.Y)*m))
	}
	k.polygons = append(k.polygons, append(poly, pt(b.X+v.X, b.Y+v.Y)))
}

// wedge is the sector about p from offset u to offset v, the short way round.
func (k *stroker) wedge(p, u, v outline.Point) {
	from := math.Atan2(u.Y, u.X)
	turn := math.Atan2(u.X*v.Y-u.Y*v.X, u.X*v.X+u.Y*v.Y)
	steps := k.arcSteps(math.Abs(turn))
	poly := []outline.Point{p}
	for i := range steps + 1 {
		sin, cos := math.Sincos(from + turn*float64(i)/float64(steps))
		poly = append(poly, pt(p.X+k.half*cos, p.Y+k.half*sin))
	}
	k.polygons = append(k.polygons, poly)
}

// arcSteps keeps the sagitta of each step under the tolerance.
func (k *stroker) arcSteps(turn float64) int {
	step := 2 * math.Acos(max(0, 1-k.tolerance/k.half))
	return int(min(max(1, math.Ceil(turn/max(step, 1e-3))), 1000))
}

// end caps the line that arrives at b from a.
func (k *stroker) end(a, b outline.Point) {
	s := k.side(a, b)
	ahead := pt(s.Y, -s.X)
	switch k.pen.Cap {
	case outline.RoundCap:
		k.wedge(b, s, ahead)
		k.wedge(b, ahead, pt(-s.X, -s.Y))
	case outline.Square:
		k.edge(b, pt(b.X+ahead.X, b.Y+ahead.Y))
	}
}

// dot is a line without length: nothing unless its ends have a shape.
func (k *stroker) dot(p outline.Point) {
	switch k.pen.Cap {
	case outline.RoundCap:
		k.end(pt(p.X-1, p.Y), p)
		k.end(pt(p.X+1, p.Y), p)
	case outline.Square:
		k.edge(pt(p.X-k.half, p.Y), pt(p.X+k.half, p.Y))
	}
}

// dashed cuts lines into the dashes of the pattern. A pattern that is no
// pattern (nothing, negative, not a number) leaves them whole.
func dashed(lines []outline.Chain, pen outline.Pen) []outline.Chain {
	pattern, total := pen.Dash, 0.0
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
		for i := 1; i < len(l.Points); i++ {
			length += math.Hypot(l.Points[i].X-l.Points[i-1].X, l.Points[i].Y-l.Points[i-1].Y)
		}
	}
	if !(total > 0) || math.IsInf(total, 0) || !(length/total*float64(len(pattern)) < maxDashes) {
		return lines
	}
	start := math.Mod(pen.Phase, total)
	if math.IsNaN(start) {
		start = 0
	}
	if start < 0 {
		start += total
	}
	var out []outline.Chain
	for _, l := range lines {
		out = append(out, dashLine(l, pattern, start)...)
	}
	return out
}

func dashLine(l outline.Chain, pattern []float64, start float64) []outline.Chain {
	points := l.Points
	if l.Closed && len(points) > 0 {
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
	var out []outline.Chain
	dash := []outline.Point{points[0]}
	for p := 1; p < len(points); p++ {
		a, b := points[p-1], points[p]
		edge := math.Hypot(b.X-a.X, b.Y-a.Y)
		at := 0.0
		for edge-at > left {
			at += left
			cut := outline.Between(a, b, at/edge)
			if i%2 == 0 {
				out = append(out, outline.Chain{Points: append(dash, cut)})
			}
			dash = []outline.Point{cut}
			i = (i + 1) % len(pattern)
			left = pattern[i]
		}
		left -= edge - at
		dash = append(dash, b)
	}
	if i%2 == 0 && len(dash) > 1 {
		out = append(out, outline.Chain{Points: dash})
	}
	return out
}
