package geom

import (
	"fmt"
	"math"
	"slices"
)

// Segment is a straight line between two points.
type Segment struct {
	A, B Point
}

// Length in millimetres.
func (s Segment) Length() float64 { return s.A.To(s.B) }

// At is the point at a share of the way from A (0) to B (1).
func (s Segment) At(share float64) Point {
	return Point{s.A.X + share*(s.B.X-s.A.X), s.A.Y + share*(s.B.Y-s.A.Y)}
}

// share is where the foot of the perpendicular from p stands, 0 at A and 1 at B,
// not limited to between them; 0 for a segment without length.
func (s Segment) share(p Point) float64 {
	dx, dy := s.B.X-s.A.X, s.B.Y-s.A.Y
	if length2 := dx*dx + dy*dy; length2 > 0 {
		return ((p.X-s.A.X)*dx + (p.Y-s.A.Y)*dy) / length2
	}
	return 0
}

// distance in millimetres from the segment to a point.
func (s Segment) distance(p Point) float64 {
	return s.At(min(max(s.share(p), 0), 1)).To(p)
}

// meeting returns the share along s at which the two straight lines meet, and
// the share along o; false when they run parallel.
func (s Segment) meeting(o Segment) (onS, onO float64, ok bool) {
	dx, dy := s.B.X-s.A.X, s.B.Y-s.A.Y
	ox, oy := o.B.X-o.A.X, o.B.Y-o.A.Y
	across := dx*oy - dy*ox
	if math.Abs(across) <= 1e-12*math.Hypot(dx, dy)*math.Hypot(ox, oy) {
		return 0, 0, false
	}
	ax, ay := o.A.X-s.A.X, o.A.Y-s.A.Y
	return (ax*oy - ay*ox) / across, (ax*dy - ay*dx) / across, true
}

// Meets reports whether two segments cross or come within Near of each other.
func (s Segment) Meets(o Segment) bool {
	if onS, onO, ok := s.meeting(o); ok && onS >= 0 && onS <= 1 && onO >= 0 && onO <= 1 {
		return true
	}
	return s.distance(o.A) <= Near || s.distance(o.B) <= Near || o.distance(s.A) <= Near || o.distance(s.B) <= Near
}

// Within returns the pieces of the segment that lie inside a region or on its
// edge, in order from A to B; pieces shorter than Near are left out.
func (s Segment) Within(r Region) []Segment {
	if !s.A.placed() || !s.B.placed() {
		return nil
	}
	shares := []float64{0, 1}
	for _, part := range r {
		shares = s.splits(part.Outer, shares)
		for _, hole := range part.Holes {
			shares = s.splits(hole, shares)
		}
	}
	slices.Sort(shares)
	var pieces []Segment
	from := -1.0 // start of the piece being gathered
	for i := 1; i < len(shares); i++ {
		piece := Segment{s.At(shares[i-1]), s.At(shares[i])}
		inside := piece.Length() > 0 && r.Contains(piece.At(0.5)) || piece.Length() == 0 && from >= 0
		if inside && from < 0 {
			from = shares[i-1]
		}
		if last := i == len(shares)-1; from >= 0 && (last || !inside) {
			to := shares[i-1]
			if inside {
				to = shares[i]
			}
			if whole := (Segment{s.At(from), s.At(to)}); whole.Length() > Near {
				pieces = append(pieces, whole)
			}
			from = -1
		}
	}
	return pieces
}

// splits adds the shares of s, strictly between its ends, where it meets or
// touches the ring.
func (s Segment) splits(ring Polygon, shares []float64) []float64 {
	for i := range ring {
		edge := ring.Edge(i)
		if onS, onE, ok := s.meeting(edge); ok && onS > 0 && onS < 1 && onE >= 0 && onE <= 1 {
			shares = append(shares, onS)
		}
		if t := s.share(edge.A); t > 0 && t < 1 && s.distance(edge.A) <= Near {
			shares = append(shares, t)
		}
	}
	return shares
}

// Flaw is why a ring is no outline. Corner is the corner it shows at, counted from 0;
// -1 when it is at none.
type Flaw struct {
	Corner int
	Text   string
}

func (f *Flaw) Error() string { return f.Text }

func flaw(corner int, format string, values ...any) error {
	return &Flaw{corner, fmt.Sprintf(format, values...)}
}

// Simple checks that a polygon is an outline one can paint inside: three corners
// or more, none in the same place, no two sides that cross or touch. Corners and
// sides are counted from 1; side 1 runs from corner 1 to corner 2. The error, a
// *Flaw, says which and where. It compares every pair of sides: meant for up to some hundreds.
func Simple(p Polygon) error {
	n := len(p)
	if n < 3 {
		return flaw(-1, "an outline needs 3 corners or more and this has %d; add the missing ones", n)
	}
	for i, q := range p {
		if !q.placed() {
			return flaw(i, "corner %d is not a place within 10 km; correct its two figures", i+1)
		}
	}
	for i, q := range p {
		if next := (i + 1) % n; q.To(p[next]) <= Near {
			return flaw(next, "corners %d and %d are both at %v; leave one out", i+1, next+1, q)
		}
	}
	for i := range p {
		e, next := p.Edge(i), p.Edge((i+1)%n)
		if e.distance(next.B) <= Near || next.distance(e.A) <= Near {
			return flaw((i+1)%n, "side %d turns back along side %d at %v; leave the spike out", (i+1)%n+1, i+1, e.B)
		}
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue // neighbours, seen when i is the last
			}
			if o := p.Edge(j); boxesMeet(e, o) && e.Meets(o) {
				return flaw(j, "side %d, %v to %v, crosses or touches side %d, %v to %v; put the corners in order round the outline",
					i+1, e.A, e.B, j+1, o.A, o.B)
			}
		}
	}
	return nil
}

func boxesMeet(a, b Segment) bool {
	return min(a.A.X, a.B.X) <= max(b.A.X, b.B.X)+Near && min(b.A.X, b.B.X) <= max(a.A.X, a.B.X)+Near &&
		min(a.A.Y, a.B.Y) <= max(b.A.Y, b.B.Y)+Near && min(b.A.Y, b.B.Y) <= max(a.A.Y, a.B.Y)+Near
}
