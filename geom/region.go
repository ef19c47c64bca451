package geom

import (
	"fmt"
	"math"
	"slices"

	"scumble/unit"
)

// Part is one connected piece: an outline with the openings cut out of it. As
// made here the outline runs anticlockwise and the openings clockwise.
type Part struct {
	Outer Polygon   `json:"outer"`
	Holes []Polygon `json:"holes"`
}

// Region is a paintable surface in one or several parts that do not overlap; nil
// is the empty region. Areas and clips take outlines that run either way, and rely
// on openings that lie in their outline and do not overlap each other, as NewRegion
// checks and Subtract makes.
type Region []Part

// NewRegion makes a region of one outline with openings, which may touch the
// outline (a door on the floor) or each other: those are cut out of it, so that it
// runs round them, and may come apart. The error names the outline or the opening
// (counted from 1) and what is wrong with it.
func NewRegion(outer Polygon, holes ...Polygon) (Region, error) {
	if err := Simple(outer); err != nil {
		return nil, fmt.Errorf("outline: %w", err)
	}
	part := Part{Outer: outer.Anticlockwise()}
	var touching []Polygon
	for i, hole := range holes {
		if err := Simple(hole); err != nil {
			return nil, fmt.Errorf("opening %d: %w", i+1, err)
		}
		if !Inside(hole, outer) {
			return nil, fmt.Errorf("opening %d: does not lie within the outline", i+1)
		}
		for j, other := range holes[:i] {
			if Overlap(hole, other) {
				return nil, fmt.Errorf("opening %d: overlaps opening %d", i+1, j+1)
			}
		}
		free := !touch(hole, outer) && !slices.ContainsFunc(holes[:i], func(other Polygon) bool { return touch(hole, other) })
		if free {
			part.Holes = append(part.Holes, hole.turned(false))
		} else {
			touching = append(touching, hole)
		}
	}
	r := Region{part}
	for _, hole := range touching {
		var err error
		if r, err = Subtract(r, hole.Region()); err != nil {
			return nil, err
		}
	}
	return r, nil
}

// each calls f with every ring, outlines with sign +1 and openings with -1.
func (r Region) each(f func(ring Polygon, sign float64)) {
	for _, part := range r {
		f(part.Outer, 1)
		for _, hole := range part.Holes {
			f(hole, -1)
		}
	}
}

// Area in mm2: outlines less openings.
func (r Region) Area() float64 {
	sum := 0.0
	r.each(func(ring Polygon, sign float64) { sum += sign * ring.Area() })
	return sum
}

// AreaM2 is the area in square metres.
func (r Region) AreaM2() unit.Area { return unit.Area(r.Area() / 1e6) }

// Perimeter in millimetres, with the edges of the openings.
func (r Region) Perimeter() float64 {
	sum := 0.0
	r.each(func(ring Polygon, _ float64) { sum += ring.Perimeter() })
	return sum
}

// Bounds of all parts.
func (r Region) Bounds() Bounds {
	var all Polygon
	for _, part := range r {
		if len(part.Outer) > 0 {
			b := part.Outer.Bounds()
			all = append(all, b.Min, b.Max)
		}
	}
	return all.Bounds()
}

// Contains reports whether a point lies in the region or on its edge.
func (r Region) Contains(p Point) bool {
	inside, near := false, false
	r.each(func(ring Polygon, _ float64) {
		if ring.surrounds(p) {
			inside = !inside
		}
		near = near || !inside && ring.edgeDistance(p) <= Near
	})
	if inside || near {
		return true
	}
	r.each(func(ring Polygon, _ float64) { near = near || ring.edgeDistance(p) <= Near })
	return near
}

// SpanAt returns the stretches [from, to] in mm of the upright line at x that lie
// in the region, from the floor up. Where x meets an upright edge it is the stretch
// just right of it, at the right end of the region the one just left.
func (r Region) SpanAt(x float64) [][2]float64 {
	return r.spans(x, len(r) > 0 && x == r.Bounds().Max.X, func(p Point) (along, across float64) { return p.X, p.Y })
}

// SpanAcross is the same for the level line at y, from left to right.
func (r Region) SpanAcross(y float64) [][2]float64 {
	return r.spans(y, len(r) > 0 && y == r.Bounds().Max.Y, func(p Point) (along, across float64) { return p.Y, p.X })
}

// spans are the stretches inside on the line where one coordinate is at.
func (r Region) spans(at float64, atEnd bool, of func(Point) (along, across float64)) [][2]float64 {
	var crossings []float64
	r.each(func(ring Polygon, _ float64) {
		for i := range ring {
			a, c := of(ring[i])
			b, d := of(ring[(i+1)%len(ring)])
			crosses := (a <= at) != (b <= at)
			if atEnd {
				crosses = (a < at) != (b < at)
			}
			if crosses {
				crossings = append(crossings, c+(at-a)/(b-a)*(d-c))
			}
		}
	})
	slices.Sort(crossings)
	var spans [][2]float64
	for i := 0; i+1 < len(crossings); i += 2 {
		from, to := crossings[i], crossings[i+1]
		switch last := len(spans) - 1; {
		case !(to > from):
		case last >= 0 && from <= spans[last][1]:
			spans[last][1] = to
		default:
			spans = append(spans, [2]float64{from, to})
		}
	}
	return spans
}

// InnerPoint is a place well inside the region, for a label or a test; false when
// the region is empty. It lies halfway up the roomiest upright stretch.
func (r Region) InnerPoint() (Point, bool) {
	var xs []float64
	r.each(func(ring Polygon, _ float64) {
		for _, p := range ring {
			if p.placed() {
				xs = append(xs, p.X)
			}
		}
	})
	slices.Sort(xs)
	var best Point
	room := 0.0
	for i := 1; i < len(xs); i++ {
		if gap := xs[i] - xs[i-1]; gap > room {
			x := xs[i-1] + gap/2
			for _, span := range r.SpanAt(x) {
				if tight := min(gap, span[1]-span[0]); tight > room {
					best, room = Point{x, (span[0] + span[1]) / 2}, tight
				}
			}
		}
	}
	return best, room > 0
}

// Overlap reports whether two simple polygons share more than edges and corners:
// a common surface deeper than Near.
func Overlap(a, b Polygon) bool {
	if a.Area() == 0 || b.Area() == 0 {
		return false
	}
	p, q := a.Bounds(), b.Bounds()
	if p.Max.X <= q.Min.X+Near || q.Max.X <= p.Min.X+Near || p.Max.Y <= q.Min.Y+Near || q.Max.Y <= p.Min.Y+Near {
		return false
	}
	return runsInto(a, b) || runsInto(b, a) || middleIn(a, b) || middleIn(b, a)
}

// Inside reports whether a simple polygon lies within another; it may touch the edge.
// What a ring encloses lies within an outline without openings as soon as the ring does.
func Inside(inner, outer Polygon) bool {
	if inner.Area() == 0 || outer.Area() == 0 {
		return false
	}
	return !slices.ContainsFunc(stretches(inner, outer), func(p Point) bool {
		return !outer.Contains(p)
	})
}

// touch reports whether two rings come within Near of each other; for rings that do
// not cross, that is where a corner of one stands on the other.
func touch(a, b Polygon) bool {
	onto := func(ring Polygon) func(Point) bool {
		return func(p Point) bool { return ring.edgeDistance(p) <= Near }
	}
	return slices.ContainsFunc(a, onto(b)) || slices.ContainsFunc(b, onto(a))
}

// runsInto reports whether the ring of a has a stretch deeper than Near inside b.
func runsInto(a, b Polygon) bool {
	return slices.ContainsFunc(stretches(a, b), func(p Point) bool {
		return b.surrounds(p) && b.edgeDistance(p) > Near
	})
}

// middleIn tells polygons with the same ring from neighbours.
func middleIn(a, b Polygon) bool {
	p, ok := a.Region().InnerPoint()
	return ok && b.surrounds(p)
}

// stretches cuts the ring of a wherever it meets the ring of b and returns the
// middle of every piece, and the corners: between two cuts a ring is on one side.
func stretches(a, b Polygon) []Point {
	points := slices.Clone(a)
	for i := range a {
		edge := a.Edge(i)
		shares := edge.splits(b, []float64{0, 1})
		slices.Sort(shares)
		for j := 1; j < len(shares); j++ {
			points = append(points, edge.At((shares[j-1]+shares[j])/2))
		}
	}
	return slices.DeleteFunc(points, func(p Point) bool { return math.IsNaN(p.X) || math.IsNaN(p.Y) })
}
