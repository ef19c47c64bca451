package survey

import (
	"math"

	"scumble/geom"
	"scumble/job"
	"scumble/unit"
)

// steepest is the slope (60 degrees) up to which an edge of a wall counts as an
// upper or lower edge, which carries a cornice or a skirting; steeper ones are ends.
var steepest = math.Tan(math.Pi / 3)

// joint is the distance in mm within which two edges count as one.
const joint = 0.01

// shape is the outline of a wall and what follows from how it was measured.
type shape struct {
	ring      geom.Polygon // anticlockwise
	flat      bool         // measured by heights: convex, on a level floor at y = 0
	length    unit.Length
	left      unit.Length // height at the left end
	right     unit.Length
	greatest  unit.Length
	explicit  bool // heights were given for this wall
	leanLeft  unit.Length
	leanRight unit.Length
}

// drawn makes the shape of a wall given by its outline. Its ends are the corners
// within a fiftieth of its length of the outermost ones.
func drawn(ring geom.Polygon) shape {
	b := ring.Bounds()
	s := shape{ring: ring.Anticlockwise(), length: unit.Length(b.Max.X), greatest: unit.Length(b.Max.Y), explicit: true}
	s.left = endHeight(ring, func(p geom.Point) bool { return p.X <= b.Min.X+b.Width()/50 })
	s.right = endHeight(ring, func(p geom.Point) bool { return p.X >= b.Max.X-b.Width()/50 })
	return s
}

func endHeight(ring geom.Polygon, atEnd func(geom.Point) bool) unit.Length {
	var end geom.Polygon
	for _, p := range ring {
		if atEnd(p) {
			end = append(end, p)
		}
	}
	return unit.Length(end.Bounds().Height())
}

// upright makes the shape of a wall given by length and heights. A lean moves the
// top corner into the wall; the foot stays where the tape measured it.
func upright(w *job.Wall, room *job.Room) shape {
	left := w.Height.Or(room.Height.Value)
	s := shape{
		flat: true, length: w.Length.Value, left: left, right: w.HeightRight.Or(left),
		explicit: w.Height.Given() || w.HeightRight.Given(),
		leanLeft: w.LeanLeft.Value, leanRight: w.LeanRight.Value,
	}
	s.greatest = max(s.left, s.right)
	corners := geom.Polygon{
		{}, {X: float64(s.length)},
		{X: float64(s.length - s.leanRight), Y: float64(s.right)},
	}
	if w.Ridge != nil {
		corners = append(corners, geom.Point{X: float64(w.Ridge.At.Value), Y: float64(w.Ridge.Height.Value)})
		s.greatest = max(s.greatest, w.Ridge.Height.Value)
	}
	corners = append(corners, geom.Point{X: float64(s.leanLeft), Y: float64(s.left)})
	for _, p := range corners {
		if n := len(s.ring); n == 0 || s.ring[n-1].To(p) > geom.Near {
			s.ring = append(s.ring, p)
		}
	}
	if n := len(s.ring); n > 1 && s.ring[0].To(s.ring[n-1]) <= geom.Near {
		s.ring = s.ring[:n-1]
	}
	return s
}

// Which way an edge of an anticlockwise ring looks.
type side int

const (
	end side = iota
	lower
	upper
)

func sideOf(e geom.Segment) side {
	dx, dy := e.B.X-e.A.X, e.B.Y-e.A.Y
	switch {
	case math.Abs(dy) > steepest*math.Abs(dx):
		return end
	case dx > 0:
		return lower
	}
	return upper
}

// lowest is the height of the lower edge at x.
func (s *shape) lowest(x float64) float64 {
	if s.flat {
		return 0
	}
	if spans := s.ring.Region().SpanAt(x); len(spans) > 0 {
		return spans[0][0]
	}
	return s.ring.Bounds().Min.Y
}

// gross is what is left of the wall between its skirting and cornice and, where a
// dado parts it, above (from the top of the rail) or below the rail.
//
// The rule for moulding: skirting runs along lower edges and cornice along upper
// edges, each taking a band of its own width measured square to the edge, mitred
// where two edges meet and ended along the end of the wall. The dado stands plumb
// above the lower edge, as a rail over a stair does.
func (s *shape) gross(m moulding, part part) (geom.Region, error) {
	if s.flat {
		return s.flatGross(m, part), nil
	}
	r := s.ring.Region()
	var err error
	if part == below {
		var strip geom.Region
		for _, band := range s.bands(lower, m.dado-m.rail, true) {
			piece, e := geom.Intersect(r, band.Region())
			if e == nil {
				strip, e = geom.Union(strip, piece)
			}
			if e != nil {
				return nil, e
			}
		}
		r = strip
	}
	for _, cut := range []struct {
		on    side
		depth unit.Length
		plumb bool
		when  bool
	}{
		{lower, m.dado, true, part == above},
		{lower, m.skirting, false, part != above},
		{upper, m.cornice, false, true},
	} {
		if !cut.when || cut.depth <= 0 {
			continue
		}
		for _, band := range s.bands(cut.on, cut.depth, cut.plumb) {
			if r, err = geom.Subtract(r, band.Region()); err != nil {
				return nil, err
			}
		}
	}
	return r, nil
}

// flatGross is gross for a wall measured by heights: it is convex on a level
// floor, so straight cuts do it.
func (s *shape) flatGross(m moulding, part part) geom.Region {
	r := s.ring.Region()
	for i := range s.ring {
		e := s.ring.Edge(i)
		if m.cornice > 0 && sideOf(e) == upper {
			dx, dy := offset(e, float64(m.cornice))
			r = geom.ClipLeft(r, geom.Point{X: e.A.X + dx, Y: e.A.Y + dy}, geom.Point{X: e.B.X + dx, Y: e.B.Y + dy})
		}
	}
	switch part {
	case above:
		return geom.Cut(r, float64(m.dado), math.Inf(1))
	case below:
		return geom.Cut(r, float64(m.skirting), float64(m.dado-m.rail))
	}
	return geom.Cut(r, float64(m.skirting), math.Inf(1))
}

// offset is the step of the given length into the wall, square to an edge.
func offset(e geom.Segment, depth float64) (dx, dy float64) {
	l := e.Length()
	return -(e.B.Y - e.A.Y) / l * depth, (e.B.X - e.A.X) / l * depth
}

// bands are the strips of wall along every run of lower (or upper) edges, of the
// depth measured square to the edge, or plumb.
func (s *shape) bands(on side, depth unit.Length, plumb bool) []geom.Polygon {
	n := len(s.ring)
	first := 0 // start at an edge that is no continuation of a run
	for first < n && sideOf(s.ring.Edge((first+n-1)%n)) == on {
		first++
	}
	var bands []geom.Polygon
	for i := 0; i < n; i++ {
		at := (first + i) % n
		if sideOf(s.ring.Edge(at)) != on {
			continue
		}
		run := 1
		for i+run < n && sideOf(s.ring.Edge((at+run)%n)) == on {
			run++
		}
		bands = append(bands, s.band(at, run, float64(depth), plumb))
		i += run - 1
	}
	return bands
}

// band is the strip along count edges from edge number from on. It reaches a
// hair beyond the ends of the wall, so that no spike is left there.
func (s *shape) band(from, count int, depth float64, plumb bool) geom.Polygon {
	n := len(s.ring)
	hair := func(p geom.Point, edge int, beyond float64) geom.Point {
		e := s.ring.Edge(edge % n)
		beyond /= e.Length()
		return geom.Point{X: p.X + (e.B.X-e.A.X)*beyond, Y: p.Y + (e.B.Y-e.A.Y)*beyond}
	}
	band := make(geom.Polygon, 0, 2*count+4)
	band = append(band, hair(s.ring[from], from, -joint))
	for k := 0; k <= count; k++ {
		band = append(band, s.ring[(from+k)%n])
	}
	band = append(band, hair(s.ring[(from+count)%n], from+count-1, joint))
	for k := count; k >= 0; k-- {
		// The corner after edge k-1 of the run moves to where the shifted lines of
		// the edges on both sides meet; at the ends of the run the neighbouring
		// edge, which is the end of the wall, stays where it is.
		before := shifted(s.ring.Edge((from+k-1+n)%n), depth, plumb, k > 0)
		after := shifted(s.ring.Edge((from+k)%n), depth, plumb, k < count)
		near := after.A
		if k == count {
			near = before.B
		}
		p, ok := crossing(before, after)
		if !ok || p.To(near) > 4*depth {
			p = near
		}
		switch k {
		case 0:
			p = hair(p, from, -joint)
		case count:
			p = hair(p, from+count-1, joint)
		}
		band = append(band, p)
	}
	return band
}

func shifted(e geom.Segment, depth float64, plumb, move bool) geom.Segment {
	if !move {
		return e
	}
	dx, dy := offset(e, depth)
	if plumb {
		dx, dy = 0, math.Copysign(depth, e.B.X-e.A.X)
	}
	return geom.Segment{A: geom.Point{X: e.A.X + dx, Y: e.A.Y + dy}, B: geom.Point{X: e.B.X + dx, Y: e.B.Y + dy}}
}

// crossing is where two straight lines meet; false when they run together or parallel.
func crossing(a, b geom.Segment) (geom.Point, bool) {
	ax, ay := a.B.X-a.A.X, a.B.Y-a.A.Y
	bx, by := b.B.X-b.A.X, b.B.Y-b.A.Y
	across := ax*by - ay*bx
	if math.Abs(across) < 1e-9*a.Length()*b.Length() {
		return geom.Point{}, false
	}
	return a.At(((b.A.X-a.A.X)*by - (b.A.Y-a.A.Y)*bx) / across), true
}
