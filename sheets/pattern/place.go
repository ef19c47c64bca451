package pattern

import (
	"scumble/draw"
	"scumble/geom"
)

// Place turns wall coordinates into paper: X, Y is where the wall's (0, 0) lies and
// S how many mm of paper stand for one mm of wall.
type Place struct{ X, Y, S float64 }

// At is a point of the wall on paper.
func (p Place) At(x, y float64) draw.Point { return draw.Pt(p.X+x*p.S, p.Y-y*p.S) }

func (p Place) ring(o draw.Outline, polygon geom.Polygon) draw.Outline {
	for i, q := range polygon {
		at := p.At(q.X, q.Y)
		if i == 0 {
			o = o.Move(at.X, at.Y)
		} else {
			o = o.Line(at.X, at.Y)
		}
	}
	if len(polygon) > 0 {
		o = o.Close()
	}
	return o
}

// Region is an area with its holes, for an even-odd fill or a clip.
func (p Place) Region(r geom.Region) draw.Outline {
	var o draw.Outline
	for _, part := range r {
		o = p.ring(o, part.Outer)
		for _, hole := range part.Holes {
			o = p.ring(o, hole)
		}
	}
	return o
}

// Polygon is a closed line of the wall on paper.
func (p Place) Polygon(polygon geom.Polygon) draw.Path {
	return draw.Path{Outline: p.ring(nil, polygon)}
}
