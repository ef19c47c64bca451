package stroke

import (
	"math"
	"slices"

	"scumble/geom"
)

// cell is the side of a square of the index, mm.
const cell = 250

// index finds the strokes that touch a piece of wall.
type index struct {
	box    geom.Bounds
	across int
	up     int
	cells  [][]int32 // numbers of strokes, rising
}

func newIndex(strokes []Stroke, box geom.Bounds) index {
	x := index{box: box}
	x.across = max(1, int(math.Ceil(box.Width()/cell)))
	x.up = max(1, int(math.Ceil(box.Height()/cell)))
	x.cells = make([][]int32, x.across*x.up)
	for n := range strokes {
		i0, i1, j0, j1 := x.span(strokes[n].Reach)
		for j := j0; j <= j1; j++ {
			for i := i0; i <= i1; i++ {
				c := &x.cells[j*x.across+i]
				*c = append(*c, int32(n))
			}
		}
	}
	return x
}

// span is the cells a box lies in; what is outside belongs to the cells of the rim.
func (x *index) span(b geom.Bounds) (i0, i1, j0, j1 int) {
	column := func(v float64) int { return min(max(int(math.Floor((v-x.box.Min.X)/cell)), 0), x.across-1) }
	row := func(v float64) int { return min(max(int(math.Floor((v-x.box.Min.Y)/cell)), 0), x.up-1) }
	return column(b.Min.X), column(b.Max.X), row(b.Min.Y), row(b.Max.Y)
}

// touching lists the strokes that may touch a box, in the order they are made.
func (x *index) touching(b geom.Bounds) []int32 {
	i0, i1, j0, j1 := x.span(b)
	var found []int32
	for j := j0; j <= j1; j++ {
		for i := i0; i <= i1; i++ {
			found = append(found, x.cells[j*x.across+i]...)
		}
	}
	slices.Sort(found)
	return slices.Compact(found)
}
