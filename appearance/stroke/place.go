package stroke

import (
	"math"
	"slices"

	"scumble/geom"
)

// scatter is places strewn over a box and a little round it: rows a pitch apart, each
// walked along in steps of about a pitch. Steps that stray a little keep the cover even,
// and after a few of them no row stands in step with another.
func scatter(box geom.Bounds, key uint64, pitch float64) []geom.Point {
	const step, stray = 0.2, 0.26 // of the pitch
	var places []geom.Point
	for j := -1; j <= int(math.Ceil(box.Height()/pitch))+1; j++ {
		d := dice{key: mix(key, uint64(j+1))}
		for x := box.Min.X - pitch*(1+d.unit()); x < box.Max.X+pitch; x += pitch * (1 + step*d.signed()) {
			places = append(places, geom.Point{X: x, Y: box.Min.Y + pitch*(float64(j)+stray*d.signed())})
		}
	}
	return places
}

// inOrder sorts strokes by the section their middle lies in, and leaves those of one
// section as they stand.
func (p *Panel) inOrder(strokes []Stroke) {
	slices.SortStableFunc(strokes, func(a, b Stroke) int { return p.section(a) - p.section(b) })
}

// section is the number of the section a stroke belongs to: the one nearest to its middle.
func (p *Panel) section(s Stroke) int {
	x, y := (s.From.X+s.To.X)/2, (s.From.Y+s.To.Y)/2
	nearest, best := math.Inf(1), 0
	for n, b := range p.Sections {
		off := math.Hypot(max(b.Min.X-x, 0, x-b.Max.X), max(b.Min.Y-y, 0, y-b.Max.Y))
		if off < nearest {
			nearest, best = off, n
		}
		if off == 0 {
			break
		}
	}
	return best
}

// edges knows how far each place of a region is from its edge, to about a cell.
type edges struct {
	box    geom.Bounds
	across int
	up     int
	far    []float32 // mm
}

// edgeCell is the side of a square of it, mm.
const edgeCell = 10

// newEdges measures a region, by two sweeps over a grid (A. Rosenfeld and J. Pfaltz,
// "Distance functions on digital pictures", 1968).
func newEdges(r geom.Region) *edges {
	e := &edges{box: r.Bounds()}
	e.across = int(math.Ceil(e.box.Width()/edgeCell)) + 2 // one empty cell all round
	e.up = int(math.Ceil(e.box.Height()/edgeCell)) + 2
	e.far = make([]float32, e.across*e.up)
	for i := 1; i < e.across-1; i++ {
		for _, span := range r.SpanAt(e.box.Min.X + (float64(i)-0.5)*edgeCell) {
			for j := e.row(span[0] + edgeCell/2); j <= e.row(span[1]-edgeCell/2); j++ {
				e.far[j*e.across+i] = math.MaxFloat32 / 2
			}
		}
	}
	const side, slant = edgeCell, edgeCell * math.Sqrt2
	sweep := func(k, step int) {
		for n := e.across + 1; n < len(e.far)-e.across-1; n, k = n+1, k+step {
			if e.far[k] > 0 {
				e.far[k] = min(e.far[k], e.far[k-step]+side, e.far[k-step*e.across]+side,
					e.far[k-step*(e.across+1)]+slant, e.far[k-step*(e.across-1)]+slant)
			}
		}
	}
	sweep(e.across+1, 1)
	sweep(len(e.far)-e.across-2, -1)
	return e
}

func (e *edges) row(y float64) int {
	return min(max(int(math.Floor((y-e.box.Min.Y)/edgeCell))+1, 1), e.up-2)
}

// distance is how far a place is from the edge, mm; 0 outside.
func (e *edges) distance(p geom.Point) float64 {
	i, j := int(math.Floor((p.X-e.box.Min.X)/edgeCell))+1, int(math.Floor((p.Y-e.box.Min.Y)/edgeCell))+1
	if i < 0 || j < 0 || i >= e.across || j >= e.up {
		return 0
	}
	return max(0, float64(e.far[j*e.across+i])-edgeCell/2)
}

func (e *edges) inside(p geom.Point) bool { return e.distance(p) > 0 }

// near tells whether a place is inside or at most by away from it.
func (e *edges) near(p geom.Point, by float64) bool {
	return e.inside(p) || e.inside(geom.Point{X: p.X - by, Y: p.Y}) || e.inside(geom.Point{X: p.X + by, Y: p.Y}) ||
		e.inside(geom.Point{X: p.X, Y: p.Y - by}) || e.inside(geom.Point{X: p.X, Y: p.Y + by})
}
