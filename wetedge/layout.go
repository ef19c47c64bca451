package wetedge

import (
	"math"

	"scumble/catalog"
	"scumble/geom"
	"scumble/setout"
	"scumble/survey"
)

// Piece is a section as it is laid and worked.
type Piece struct {
	Number int     `json:"number"` // in the order of work, from 1
	Column int     `json:"column"` // from 0
	X0     float64 `json:"x0"`     // mm
	X1     float64 `json:"x1"`
	Y0     float64 `json:"y0"`
	Y1     float64 `json:"y1"`
	Area   float64 `json:"area"`  // m2
	Edge   float64 `json:"edge"`  // m of edges brushed in
	Stand  string  `json:"stand"` // floor | steps | platform | scaffold
}

// Layout is a wall parted in pieces, in the order in which they are worked.
type Layout struct {
	Columns int     `json:"columns"`
	Rows    int     `json:"rows"` // of the tallest column
	Pieces  []Piece `json:"pieces"`
	joints  []joint
}

// joint is where two pieces touch, the earlier first. A level joint has the later piece
// below the earlier or above it; an upright one is looked at between two heights.
type joint struct {
	a, b   int
	level  bool
	x0, x1 float64
	y0, y1 float64
	dry    bool // the edge is taped or dries in between: nothing merges there
}

// layout parts a face over its breaks in sections of about a width and a height (0 = full),
// numbered down the columns from the left, as they are worked.
func layout(f *survey.Face, set *setout.Face, section catalog.Section, width, height float64, reach survey.Reaches) *Layout {
	section.Width = catalog.Figure{Likely: width, High: width * 1.15}
	section.Height = catalog.Figure{Likely: height}
	l := &Layout{}
	rows := 0
	for _, s := range setout.Sections(f, set.Breaks, section) {
		p := Piece{Number: len(l.Pieces) + 1, X0: float64(s.X0), X1: float64(s.X1), Y0: float64(s.Y0), Y1: float64(s.Y1), Area: float64(s.Area)}
		if n := len(l.Pieces); n == 0 || l.Pieces[n-1].X0 != p.X0 {
			l.Columns++
			rows = 0
		}
		rows++
		l.Rows = max(l.Rows, rows)
		p.Column = l.Columns - 1
		p.Stand = stand(p.Y1, reach)
		p.Edge = edgeWithin(f.Field, geom.Bounds{Min: geom.Point{X: p.X0, Y: p.Y0}, Max: geom.Point{X: p.X1, Y: p.Y1}}) / 1000
		l.Pieces = append(l.Pieces, p)
	}
	l.join()
	return l
}

// stand is what the top of a piece is reached from.
func stand(top float64, r survey.Reaches) string {
	switch {
	case r.Floor <= 0 || top <= float64(r.Floor):
		return "floor"
	case top <= float64(max(r.Floor, r.Steps)):
		return "steps"
	case top <= float64(max(r.Floor, r.Steps, r.Platform)):
		return "platform"
	}
	return "scaffold"
}

// join finds where pieces touch.
func (l *Layout) join() {
	const touch = 1 // mm
	for a := range l.Pieces {
		for b := a + 1; b < len(l.Pieces); b++ {
			p, q := &l.Pieces[a], &l.Pieces[b]
			x0, x1 := max(p.X0, q.X0), min(p.X1, q.X1)
			y0, y1 := max(p.Y0, q.Y0), min(p.Y1, q.Y1)
			switch {
			case y1-y0 > touch && (math.Abs(p.X1-q.X0) < touch || math.Abs(q.X1-p.X0) < touch):
				l.joints = append(l.joints, joint{a: a, b: b, y0: y0, y1: y1, x0: max(p.X0, q.X0), x1: max(p.X0, q.X0)})
			case x1-x0 > touch && (math.Abs(p.Y0-q.Y1) < touch || math.Abs(q.Y0-p.Y1) < touch):
				l.joints = append(l.joints, joint{a: a, b: b, level: true, y0: max(p.Y0, q.Y0), y1: max(p.Y0, q.Y0), x0: x0, x1: x1})
			}
		}
	}
}

// edgeWithin is the length in mm of the border of a region that lies in a box. What lies on
// a border two boxes share counts for the one the field is in; an opening that stands on
// the outline breaks it.
func edgeWithin(r geom.Region, box geom.Bounds) float64 {
	sum := 0.0
	for _, part := range r {
		for i := range part.Outer {
			e, in := part.Outer.Edge(i), inward(part.Outer.Edge(i))
			sum += clipped(shifted(e.A, in, 1), shifted(e.B, in, 1), box)
		}
		for _, hole := range part.Holes {
			for i := range hole {
				e, in := hole.Edge(i), inward(hole.Edge(i))
				middle := shifted(geom.Point{X: (e.A.X + e.B.X) / 2, Y: (e.A.Y + e.B.Y) / 2}, in, 2)
				if part.Outer.Contains(middle) {
					sum += clipped(shifted(e.A, in, 1), shifted(e.B, in, 1), box)
				} else {
					sum -= clipped(shifted(e.A, in, -1), shifted(e.B, in, -1), box)
				}
			}
		}
	}
	return max(0, sum)
}

// inward is a short way from a border into the field, which lies to its left.
func inward(e geom.Segment) geom.Point {
	long := e.A.To(e.B)
	if long == 0 {
		return geom.Point{}
	}
	return geom.Point{X: -(e.B.Y - e.A.Y) / long * aside, Y: (e.B.X - e.A.X) / long * aside}
}

func shifted(p, by geom.Point, times float64) geom.Point {
	return geom.Point{X: p.X + times*by.X, Y: p.Y + times*by.Y}
}

// aside is how far into the field its border is looked at, mm.
const aside = 0.01

// clipped is the length of a segment in a box (Liang and Barsky 1984).
func clipped(a, b geom.Point, box geom.Bounds) float64 {
	from, to := 0.0, 1.0
	for _, c := range [4][2]float64{{a.X - b.X, a.X - box.Min.X}, {b.X - a.X, box.Max.X - a.X}, {a.Y - b.Y, a.Y - box.Min.Y}, {b.Y - a.Y, box.Max.Y - a.Y}} {
		step, room := c[0], c[1]
		switch {
		case step == 0 && room < 0:
			return 0
		case step < 0:
			from = max(from, room/step)
		case step > 0:
			to = min(to, room/step)
		}
	}
	if from >= to {
		return 0
	}
	return a.To(b) * (to - from)
}
