package geom

import (
	"cmp"
	"fmt"
	"slices"

	sf "github.com/peterstace/simplefeatures/geom"
)

// speck is the area in mm2 below which a piece left by a union, cut or overlap is
// rounding and not surface.
const speck = 1e-6

// Subtract returns what of a does not lie in b.
func Subtract(a, b Region) (Region, error) { return combine("subtracting", sf.Difference, a, b) }

// Intersect returns what lies in both.
func Intersect(a, b Region) (Region, error) { return combine("intersecting", sf.Intersection, a, b) }

// Union returns what lies in either. To unite many, unite them one after another.
func Union(a, b Region) (Region, error) { return combine("uniting", sf.Union, a, b) }

type operation func(a, b sf.Geometry) (sf.Geometry, error)

// combine runs a set operation and puts the result into a fixed order, so that the
// same input gives the same bytes.
func combine(doing string, op operation, a, b Region) (result Region, err error) {
	// The library promises errors for hopeless input; a panic in it must not stop the program.
	defer func() {
		if trouble := recover(); trouble != nil {
			result, err = nil, fmt.Errorf("%s outlines: %v", doing, trouble)
		}
	}()
	left, err := a.geometry()
	if err != nil {
		return nil, fmt.Errorf("%s outlines: first: %w", doing, err)
	}
	right, err := b.geometry()
	if err != nil {
		return nil, fmt.Errorf("%s outlines: second: %w", doing, err)
	}
	out, err := op(left, right)
	if err != nil {
		return nil, fmt.Errorf("%s outlines: %w", doing, err)
	}
	return regionOf(out), nil
}

// geometry hands a region to the library. Rings that share edges, such as a door
// and the floor line, are not valid there as one polygon and are cut one by one.
func (r Region) geometry() (sf.Geometry, error) {
	var all sf.Geometry
	for i, part := range r {
		if part.Outer.Area() == 0 {
			continue
		}
		rings := []sf.LineString{}
		for _, ring := range append([]Polygon{part.Outer}, part.Holes...) {
			if slices.ContainsFunc(ring, func(p Point) bool { return !p.placed() }) {
				return sf.Geometry{}, fmt.Errorf("part %d has a corner that is not a place within 10 km", i+1)
			}
			if ring.Area() > 0 {
				rings = append(rings, lineString(ring))
			}
		}
		whole := sf.NewPolygon(rings)
		piece := whole.AsGeometry()
		if whole.Validate() != nil {
			outer := sf.NewPolygon(rings[:1])
			if err := outer.Validate(); err != nil {
				return sf.Geometry{}, fmt.Errorf("part %d is not a simple outline: %w", i+1, err)
			}
			piece = outer.AsGeometry()
			for j, hole := range rings[1:] {
				cut := sf.NewPolygon([]sf.LineString{hole})
				if err := cut.Validate(); err != nil {
					return sf.Geometry{}, fmt.Errorf("part %d, opening %d is not a simple outline: %w", i+1, j+1, err)
				}
				var err error
				if piece, err = sf.Difference(piece, cut.AsGeometry()); err != nil {
					return sf.Geometry{}, fmt.Errorf("part %d, opening %d: %w", i+1, j+1, err)
				}
			}
		}
		if all.IsEmpty() {
			all = piece
			continue
		}
		var err error
		if all, err = sf.Union(all, piece); err != nil {
			return sf.Geometry{}, fmt.Errorf("part %d: %w", i+1, err)
		}
	}
	return all, nil
}

func lineString(ring Polygon) sf.LineString {
	xy := make([]float64, 0, 2*len(ring)+2)
	for _, p := range ring {
		xy = append(xy, p.X, p.Y)
	}
	xy = append(xy, ring[0].X, ring[0].Y)
	return sf.NewLineString(sf.NewSequence(xy, sf.DimXY))
}

// regionOf takes the surfaces out of a geometry; stray points and lines are dropped.
func regionOf(g sf.Geometry) Region {
	var r Region
	for _, one := range g.Dump() {
		if one.Type() != sf.TypePolygon {
			continue
		}
		poly := one.MustAsPolygon()
		outer := polygonOf(poly.ExteriorRing(), true)
		if outer.Area() <= speck {
			continue
		}
		part := Part{Outer: outer}
		for i := range poly.NumInteriorRings() {
			if hole := polygonOf(poly.InteriorRingN(i), false); hole.Area() > speck {
				part.Holes = append(part.Holes, hole)
			}
		}
		slices.SortFunc(part.Holes, inOrder)
		r = append(r, part)
	}
	slices.SortFunc(r, func(a, b Part) int { return inOrder(a.Outer, b.Outer) })
	return r
}

// polygonOf starts every ring at its leftmost, lowest corner.
func polygonOf(line sf.LineString, anticlockwise bool) Polygon {
	seq := line.Coordinates()
	var ring Polygon
	for i := range max(seq.Length()-1, 0) {
		xy := seq.GetXY(i)
		ring = append(ring, Point{xy.X, xy.Y})
	}
	ring = ring.turned(anticlockwise)
	first := 0
	for i := range ring {
		if before(ring[i], ring[first]) < 0 {
			first = i
		}
	}
	return append(slices.Clone(ring[first:]), ring[:first]...)
}

func before(a, b Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) }

func inOrder(a, b Polygon) int { return slices.CompareFunc(a, b, before) }
