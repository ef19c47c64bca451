package survey

import (
	"math"
	"slices"

	"scumble/geom"
	"scumble/unit"
)

// stairs is the slope (10 degrees) of a lower edge from which steps are not stood
// on it: what is beyond reach from the floor is then worked from a platform.
var stairs = math.Tan(math.Pi / 18)

// reached parts a field by the stand it is worked from. Heights count from the
// lower edge of the wall at the same x, which on a level floor is the floor: over
// every straight piece of lower edge the field is moved down by the slope, which
// keeps its area, and cut level.
func reached(field geom.Region, s *shape, reach Reaches) []Reach {
	tops := [3]float64{float64(reach.Floor), float64(reach.Steps), float64(reach.Platform)}
	if !(tops[0] > 0) && !(tops[1] > 0) && !(tops[2] > 0) {
		tops[2] = math.Inf(1)
	}
	tops[1] = max(tops[1], tops[0])
	tops[2] = max(tops[2], tops[1])
	var areas [4]float64
	add := func(r geom.Region, onStairs bool) {
		from := math.Inf(-1)
		for k, to := range append(tops[:], math.Inf(1)) {
			at := k
			if k == 1 && onStairs {
				at = 2
			}
			areas[at] += geom.CutArea(r, from, to)
			from = max(from, to)
		}
	}
	if s.flat {
		add(field, false)
	} else {
		columns(field, s.ring, add)
	}
	var list []Reach
	for k, name := range []string{"floor", "steps", "platform", "scaffold"} {
		if areas[k] > 1 { // mm2
			list = append(list, Reach{name, unit.Area(areas[k] / 1e6)})
		}
	}
	return list
}

// columns cuts a field at every corner of the outline and moves each column down
// so that its lower edge lies level at 0.
func columns(field geom.Region, ring geom.Polygon, add func(r geom.Region, onStairs bool)) {
	xs := make([]float64, 0, len(ring))
	for _, p := range ring {
		xs = append(xs, p.X)
	}
	slices.Sort(xs)
	outline := ring.Region()
	for i := 1; i < len(xs); i++ {
		width := xs[i] - xs[i-1]
		if width <= geom.Near {
			continue
		}
		x0, x1 := xs[i-1]+width/4, xs[i]-width/4
		a, b := outline.SpanAt(x0), outline.SpanAt(x1)
		if len(a) == 0 || len(b) == 0 {
			continue
		}
		base, slope := a[0][0], (b[0][0]-a[0][0])/(x1-x0)
		if math.Abs(slope) > steepest { // a leaning end, not a floor
			base -= math.Abs(slope) * width / 4
			if slope < 0 {
				base = b[0][0] - math.Abs(slope)*width/4
			}
			slope = 0
		}
		add(levelled(geom.ClipBand(field, xs[i-1], xs[i]), func(p geom.Point) geom.Point {
			return geom.Point{X: p.X, Y: p.Y - base - slope*(p.X-x0)}
		}), math.Abs(slope) > stairs)
	}
}

func levelled(r geom.Region, move func(geom.Point) geom.Point) geom.Region {
	moved := func(ring geom.Polygon) geom.Polygon {
		out := make(geom.Polygon, len(ring))
		for i, p := range ring {
			out[i] = move(p)
		}
		return out
	}
	out := make(geom.Region, len(r))
	for i, p := range r {
		out[i].Outer = moved(p.Outer)
		for _, h := range p.Holes {
			out[i].Holes = append(out[i].Holes, moved(h))
		}
	}
	return out
}
