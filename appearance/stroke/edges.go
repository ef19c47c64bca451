package stroke

import (
	"math"

	"scumble/geom"
)

// columnStep is how far apart the uprights lie along which a region is looked up, mm.
const columnStep = 5

// columns is a region cut into narrow uprights: where each begins and ends.
type columns struct {
	left  float64
	spans [][][2]float64 // of each column, from the floor up, mm
}

func newColumns(r geom.Region) columns {
	box := r.Bounds()
	c := columns{left: box.Min.X}
	for x := box.Min.X + columnStep/2; x < box.Max.X; x += columnStep {
		c.spans = append(c.spans, r.SpanAt(x))
	}
	return c
}

// number is the column a place lies in, the nearest one when it lies beside the region.
func (c *columns) number(x float64) int {
	return min(max(int((x-c.left)/columnStep), 0), len(c.spans)-1)
}

// uprights are the stretches from bottom to top that a tool meets on its way down
// between two places; stretches that share a height are one.
func (c *columns) uprights(x0, x1 float64) [][2]float64 {
	var all [][2]float64
	if len(c.spans) == 0 {
		return nil
	}
	for n := c.number(x0); n <= c.number(x1); n++ {
		for _, span := range c.spans[n] {
			all = joined(all, span)
		}
	}
	return all
}

// joined adds a stretch to others that lie apart, and keeps them apart.
func joined(all [][2]float64, span [2]float64) [][2]float64 {
	kept := all[:0]
	for _, other := range all {
		if span[0] < other[1] && other[0] < span[1] {
			span[0], span[1] = math.Min(span[0], other[0]), math.Max(span[1], other[1])
		} else {
			kept = append(kept, other)
		}
	}
	return append(kept, span)
}

// levels are the stretches from left to right that a tool meets between two heights.
func (c *columns) levels(y0, y1 float64) [][2]float64 {
	var all [][2]float64
	open := false
	for n, spans := range c.spans {
		met := false
		for _, span := range spans {
			met = met || span[0] < y1 && y0 < span[1]
		}
		at := c.left + float64(n)*columnStep
		switch {
		case met && open:
			all[len(all)-1][1] = at + columnStep
		case met:
			all = append(all, [2]float64{at, at + columnStep})
		}
		open = met
	}
	return all
}

// toEnds is how far a place lies from the lower and the upper end of its column, mm.
func (c *columns) toEnds(column int, y float64) (below, above float64, inside bool) {
	for _, span := range c.spans[column] {
		if span[0] <= y && y <= span[1] {
			return y - span[0], span[1] - y, true
		}
	}
	return 0, 0, false
}
