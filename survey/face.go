package survey

import (
	"math"
	"slices"

	"scumble/geom"
	"scumble/job"
	"scumble/unit"
)

// part says which part of a wall a face is.
type part int

const (
	whole part = iota
	above      // the dado rail
	below
)

// faces makes the faces of a wall that get a finish.
func (m *measurer) faces(w *Wall, from *job.Wall, room string, at place, s *shape, trim moulding, holes []hole, reach Reaches) {
	type wanted struct {
		id, finish string
		part       part
	}
	list := []wanted{{w.ID, from.Finish, whole}}
	if from.Dado != nil {
		list = []wanted{{w.ID, from.Finish, above}, {w.ID + ", dado", from.Dado.Finish, below}}
	}
	for _, want := range list {
		if want.finish == "" {
			continue
		}
		gross, err := s.gross(trim, want.part)
		if err != nil {
			m.problem(at.path, at.whose()+"the outline cannot be cut along skirting, cornice and dado: "+err.Error(), "draw the outline with fewer corners, or set skirting and cornice to 0 and draw the field alone")
			continue
		}
		f := Face{ID: want.id, Wall: w.ID, Room: room, Path: at.path, Finish: want.finish}
		for _, p := range gross {
			if p.Outer.Area() > f.Gross.Area() {
				f.Gross = p.Outer
			}
		}
		if f.Gross == nil {
			m.problem(at.path, at.whose()+"nothing is left to paint between skirting, dado and cornice", "measure them again, or take the finish off this part of the wall")
			continue
		}
		var cuts []geom.Polygon
		f.Field, cuts, f.Openings, err = cutOut(gross, holes)
		if err != nil {
			m.problem(at.path, at.whose()+"an opening cannot be cut out of the outline: "+err.Error(), "draw the opening or the wall with fewer corners")
			continue
		}
		f.Net = f.Field.AreaM2()
		f.Edges = edges(gross, cuts, s, trim, want.part)
		f.Reach = reached(f.Field, s, reach)
		low, high := s.paintedBetween(trim, want.part)
		for _, i := range f.Openings {
			b := s.lowest(float64(holes[i].Left+holes[i].Right) / 2)
			f.Reveals += holes[i].revealBetween(low+unit.Length(b), high+unit.Length(b))
		}
		w.Faces = append(w.Faces, f)
	}
}

// paintedBetween are the heights above the lower edge between which reveals belong
// to a face: they part at the top of the dado rail.
func (s *shape) paintedBetween(trim moulding, p part) (low, high unit.Length) {
	low, high = unit.Length(math.Inf(-1)), unit.Length(math.Inf(1))
	switch p {
	case above:
		low = trim.dado
	case below:
		high = trim.dado
	}
	return low, high
}

// cutOut takes the openings out of a field. It returns the pieces taken out and the
// openings they come from. An opening wholly inside is a hole as it stands; one
// that crosses the edge is clipped to the field first, by straight cuts where the
// field is an upright rectangle, else by a set operation.
func cutOut(gross geom.Region, holes []hole) (field geom.Region, cuts []geom.Polygon, touched []int, err error) {
	field = slices.Clone(gross)
	for i := range field {
		field[i].Holes = slices.Clip(slices.Clone(field[i].Holes))
	}
	for i := range holes {
		n := len(cuts)
		for k := range field {
			var pieces geom.Region
			if pieces, err = clip(holes[i].Outline, field[k].Outer); err != nil {
				return nil, nil, nil, err
			}
			for _, p := range pieces {
				cuts = append(cuts, p.Outer)
				hole := slices.Clone(p.Outer)
				slices.Reverse(hole)
				field[k].Holes = append(field[k].Holes, hole)
			}
		}
		if len(cuts) > n {
			touched = append(touched, i)
		}
	}
	return field, cuts, touched, nil
}

// clip is the part of an opening that lies in an outline.
func clip(opening, outer geom.Polygon) (geom.Region, error) {
	b, o := outer.Bounds(), opening.Bounds()
	if o.Max.X <= b.Min.X+joint || o.Min.X >= b.Max.X-joint || o.Max.Y <= b.Min.Y+joint || o.Min.Y >= b.Max.Y-joint {
		return nil, nil
	}
	if rectangular(outer) {
		r := opening.Region()
		if o.Min.X < b.Min.X || o.Max.X > b.Max.X {
			r = geom.ClipBand(r, b.Min.X, b.Max.X)
		}
		if o.Min.Y < b.Min.Y || o.Max.Y > b.Max.Y {
			r = geom.Cut(r, b.Min.Y, b.Max.Y)
		}
		return r, nil
	}
	if geom.Inside(opening, outer) {
		return opening.Region(), nil
	}
	return geom.Intersect(opening.Region(), outer.Region())
}

// rectangular reports an upright rectangle.
func rectangular(p geom.Polygon) bool {
	if len(p) != 4 {
		return false
	}
	for i := range p {
		if e := p.Edge(i); e.A.X != e.B.X && e.A.Y != e.B.Y {
			return false
		}
	}
	return true
}

// edges adds up the edges of a face. Where a cut-out lies on an edge of the field,
// as a door on the skirting, that stretch counts for neither.
func edges(gross geom.Region, cuts []geom.Polygon, s *shape, trim moulding, p part) Edges {
	var sum Edges
	for _, piece := range gross {
		b := piece.Outer.Bounds()
		own := edgesOf(piece.Outer, s, trim, p)
		for i, kind := range own {
			*sum.of(kind) += unit.Length(piece.Outer.Edge(i).Length())
		}
		for _, hole := range piece.Holes { // a field that goes round something
			sum.Openings += unit.Length(hole.Perimeter())
		}
		for _, cut := range cuts {
			if c := cut.Bounds(); rectangular(piece.Outer) && c.Min.X > b.Min.X+joint && c.Max.X < b.Max.X-joint && c.Min.Y > b.Min.Y+joint && c.Max.Y < b.Max.Y-joint {
				sum.Openings += unit.Length(cut.Perimeter())
				continue
			}
			for i := range cut {
				e := cut.Edge(i)
				if on := liesOn(e, piece.Outer); on >= 0 {
					*sum.of(own[on]) -= unit.Length(e.Length())
				} else if piece.Outer.Contains(e.At(0.5)) {
					sum.Openings += unit.Length(e.Length())
				}
			}
		}
	}
	for _, l := range []*unit.Length{&sum.Ceiling, &sum.Skirting, &sum.Corners, &sum.Dado} {
		if *l < joint { // rounding
			*l = 0
		}
	}
	return sum
}

type edgeKind int

const (
	ceiling edgeKind = iota
	skirting
	corner
	dado
)

func (e *Edges) of(kind edgeKind) *unit.Length {
	switch kind {
	case ceiling:
		return &e.Ceiling
	case skirting:
		return &e.Skirting
	case dado:
		return &e.Dado
	}
	return &e.Corners
}

// edgesOf tells what every edge of a field borders on.
func edgesOf(ring geom.Polygon, s *shape, trim moulding, p part) []edgeKind {
	kinds := make([]edgeKind, len(ring))
	for i := range ring {
		e := ring.Edge(i)
		mid := e.At(0.5)
		along := func(height unit.Length) bool {
			return math.Abs(mid.Y-s.lowest(mid.X)-float64(height)) < 0.1
		}
		switch on := sideOf(e); {
		case on == end:
			kinds[i] = corner
		case on == upper && p == below && along(trim.dado-trim.rail), on == lower && p == above && along(trim.dado):
			kinds[i] = dado
		case on == upper:
			kinds[i] = ceiling
		default:
			kinds[i] = skirting
		}
	}
	return kinds
}

// liesOn is the edge of the ring that a segment lies on, or -1.
func liesOn(e geom.Segment, ring geom.Polygon) int {
	for i := range ring {
		if o := ring.Edge(i); distance(o, e.A) < joint && distance(o, e.B) < joint {
			return i
		}
	}
	return -1
}
