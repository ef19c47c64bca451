package geom

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// dust is the area in mm2 below which a clipped piece is rounding, not surface.
const dust = 1e-9

// hair is the distance in mm below which a corner stands on the clipping line, and a
// crossing is the corner beside it: two ways to work out one place differ by less.
const hair = 1e-6

// halfPlane is all on the left of a straight line through (x, y): the points at a
// distance above zero along the inward normal (nx, ny).
type halfPlane struct {
	x, y, nx, ny float64
}

// leftOf is the half plane left of the line from a to b, which are apart.
func leftOf(a, b Point) halfPlane {
	length := a.To(b)
	return halfPlane{a.X, a.Y, (a.Y - b.Y) / length, (b.X - a.X) / length}
}

func (h halfPlane) depth(p Point) float64 { return h.nx*(p.X-h.x) + h.ny*(p.Y-h.y) }

// along orders points on the line in the sense in which the surface lies left of it.
func (h halfPlane) along(p Point) float64 { return h.ny*(p.X-h.x) - h.nx*(p.Y-h.y) }

// crossing is where the side from a to b, at depths da and db, meets the line. On
// upright and level lines the coordinate is exact, so that neighbouring strips
// share their seam to the last bit.
func (h halfPlane) crossing(a, b Point, da, db float64) Point {
	p := a
	if da != 0 {
		p = Segment{a, b}.At(da / (da - db))
	}
	if h.ny == 0 {
		p.X = h.x
	}
	if h.nx == 0 {
		p.Y = h.y
	}
	return p
}

// chain is a run of a ring inside the half plane, from where it enters to where it leaves.
type chain []Point

// clipRing adds the runs of a ring that lie inside to chains, and says whether the
// ring lies inside as a whole.
func (h halfPlane) clipRing(ring Polygon, chains []chain) (whole bool, _ []chain) {
	depths := make([]float64, len(ring))
	in, out := 0, 0
	for i, p := range ring {
		switch d := h.depth(p); {
		case d > hair:
			depths[i], in = d, in+1
		case d < -hair:
			depths[i], out = d, out+1
		}
	}
	if out == 0 || in == 0 {
		return out == 0 && in > 0, chains
	}
	n := len(ring)
	inside := func(i int) bool { return depths[i] > 0 }
	for i := range ring {
		before := (i + n - 1) % n
		if !inside(i) || inside(before) {
			continue
		}
		run := make(chain, 0, n+2)
		run = append(run, h.crossing(ring[before], ring[i], depths[before], depths[i]))
		last := i
		for ; inside(last % n); last++ {
			run = append(run, ring[last%n])
		}
		j, k := (last-1)%n, last%n
		chains = append(chains, append(run, h.crossing(ring[j], ring[k], depths[j], depths[k])))
	}
	return false, chains
}

// gate is the place on the line where a chain enters or leaves.
type gate struct {
	along float64
	chain int
	leave bool
}

// joined closes the chains along the line. Going along it with the surface on the
// left, every stretch of surface starts where a chain leaves and ends where the
// next one enters, so the gates alternate.
func (h halfPlane) joined(chains []chain) []Polygon {
	gates := make([]gate, 0, 2*len(chains))
	for i, c := range chains {
		gates = append(gates, gate{h.along(c[0]), i, false}, gate{h.along(c[len(c)-1]), i, true})
	}
	slices.SortStableFunc(gates, func(a, b gate) int { return cmp.Compare(a.along, b.along) })
	next := make([]int, len(chains))
	for k := range gates {
		wanted := k%2 == 0
		j := k
		for gates[j].leave != wanted { // gates in one place may stand in the wrong order
			j++
		}
		found := gates[j]
		copy(gates[k+1:j+1], gates[k:j])
		gates[k] = found
		if !wanted {
			next[gates[k-1].chain] = found.chain
		}
	}
	var rings []Polygon
	done := make([]bool, len(chains))
	for i := range chains {
		var ring Polygon
		for c := i; !done[c]; c = next[c] {
			done[c] = true
			for _, p := range chains[c] {
				if len(ring) == 0 || ring[len(ring)-1].To(p) > hair {
					ring = append(ring, p)
				}
			}
		}
		for len(ring) > 1 && ring[0].To(ring[len(ring)-1]) <= hair {
			ring = ring[:len(ring)-1]
		}
		if ring.Area() > dust {
			rings = append(rings, ring)
		}
	}
	return rings
}

// clip returns what of a region lies in the half plane.
func (h halfPlane) clip(r Region) Region {
	var result Region
	for _, part := range r {
		if part.Outer.Area() == 0 {
			continue
		}
		whole, chains := h.clipRing(part.Outer.turned(true), nil)
		if whole {
			result = append(result, part)
			continue
		}
		var holes []Polygon
		for _, hole := range part.Holes {
			if hole.Area() == 0 {
				continue
			}
			turned := hole.turned(false)
			if whole, chains = h.clipRing(turned, chains); whole {
				holes = append(holes, turned)
			}
		}
		first := len(result)
		for _, ring := range h.joined(chains) {
			result = append(result, Part{Outer: ring})
		}
		result[first:].share(holes)
	}
	return result
}

// share gives each opening to the part it lies in.
func (r Region) share(holes []Polygon) {
	for _, hole := range holes {
		for i := range r {
			if len(r) == 1 || i == len(r)-1 || r[i].Outer.surrounds(hole.Edge(0).At(0.5)) {
				r[i].Holes = append(r[i].Holes, hole)
				break
			}
		}
	}
}

// ClipBand returns what of a region lies between the upright lines x0 and x1 (mm),
// as separate clean parts. A bound may be infinite. Empty when x0 >= x1. This and the
// other clips may move a corner by up to 1e-6 mm; BandArea and CutArea move none.
func ClipBand(r Region, x0, x1 float64) Region {
	if !(x0 < x1) {
		return nil
	}
	if !math.IsInf(x0, 0) {
		r = halfPlane{x: x0, nx: 1}.clip(r)
	}
	if !math.IsInf(x1, 0) {
		r = halfPlane{x: x1, nx: -1}.clip(r)
	}
	return r
}

// Cut returns what of a region lies between the heights y0 and y1 (mm); a bound may
// be infinite, as for all above reach: Cut(r, reach, math.Inf(1)). Empty when y0 >= y1.
func Cut(r Region, y0, y1 float64) Region {
	if !(y0 < y1) {
		return nil
	}
	if !math.IsInf(y0, 0) {
		r = halfPlane{y: y0, ny: 1}.clip(r)
	}
	if !math.IsInf(y1, 0) {
		r = halfPlane{y: y1, ny: -1}.clip(r)
	}
	return r
}

// ClipLeft returns what of a region lies left of the straight line through a and b,
// looking from a to b. Empty when they are in one place.
func ClipLeft(r Region, a, b Point) Region {
	if length := a.To(b); !(length > 0) || math.IsInf(length, 0) {
		return nil
	}
	return leftOf(a, b).clip(r)
}

// ClipConvex returns what of a region lies in a convex polygon, such as a leaning
// strip. The error says why the polygon cannot be used.
func ClipConvex(r Region, convex Polygon) (Region, error) {
	if err := Simple(convex); err != nil {
		return nil, err
	}
	ring := convex.Anticlockwise()
	for i := range ring {
		side, after := ring.Edge(i), ring.Edge((i+1)%len(ring)).B
		if leftOf(side.A, side.B).depth(after) < -Near {
			return nil, fmt.Errorf("the clipping outline is not convex at %v", side.B)
		}
	}
	for i := range ring {
		side := ring.Edge(i)
		r = ClipLeft(r, side.A, side.B)
	}
	return r, nil
}

// BandArea is the area in mm2 of what lies between the upright lines x0 and x1,
// without making the outline: the areas of bands side by side add up to the whole.
func BandArea(r Region, x0, x1 float64) float64 {
	return bandArea(r, x0, x1, func(p Point) (float64, float64) { return p.X, p.Y })
}

// CutArea is the area in mm2 of what lies between the heights y0 and y1; a bound
// may be infinite.
func CutArea(r Region, y0, y1 float64) float64 {
	return bandArea(r, y0, y1, func(p Point) (float64, float64) { return p.Y, p.X })
}

// bandArea sums the trapezoids under the sides of every ring, limited to the band.
func bandArea(r Region, x0, x1 float64, axes func(Point) (float64, float64)) float64 {
	if !(x0 < x1) {
		return 0
	}
	sum := 0.0
	for _, part := range r {
		sum += ringBand(part.Outer, x0, x1, axes)
		for _, hole := range part.Holes {
			sum -= ringBand(hole, x0, x1, axes)
		}
	}
	return max(sum, 0)
}

func ringBand(ring Polygon, x0, x1 float64, axes func(Point) (float64, float64)) float64 {
	if len(ring) < 3 {
		return 0
	}
	sum := 0.0
	ax, ay := axes(ring[len(ring)-1])
	base := ay
	for _, p := range ring {
		bx, by := axes(p)
		from, to := min(max(ax, x0), x1), min(max(bx, x0), x1)
		if from != to {
			slope := (by - ay) / (bx - ax)
			sum += (to - from) * (ay - base + slope*((from+to)/2-ax))
		}
		ax, ay = bx, by
	}
	if math.IsNaN(sum) || math.IsInf(sum, 0) {
		return 0
	}
	return math.Abs(sum)
}
