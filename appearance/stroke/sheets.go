package stroke

import (
	"math"
	"slices"

	"scumble/geom"
)

// usualSheet is a sheet of greaseproof paper as it is sold, mm, from memory: used
// where the panel names none.
var usualSheet = Sheet{Width: 380, Height: 500, Overlap: 30}

// sheetSize is the size and overlap of the sheets of a panel, mm.
func sheetSize(s Sheet) (Sheet, float64) {
	if !(s.Width > 0 && s.Height > 0) {
		s = usualSheet
	}
	s.Width, s.Height = max(s.Width, 80), max(s.Height, 80)
	return s, min(max(s.Overlap, 0), min(s.Width, s.Height)/3)
}

// layout lays sheets over a box in the order of the sections, each a little turned
// and none in line with the next, until no bare place is left.
func layout(box geom.Bounds, sections []geom.Bounds, size Sheet, overlap, turn float64, seed uint64) []turned {
	var laid []turned
	d := dice{key: mix(seed, 0x1a7)}
	// A turned sheet opens a wedge to its neighbour, half of which is given as overlap.
	stepX := max(size.Width-overlap-size.Height*math.Sin(turn)/2, size.Width/2)
	stepY := max(size.Height-overlap-size.Width*math.Sin(turn)/2, size.Height/2)
	for n, x := 0, box.Min.X-stepX*d.unit()/2; x < box.Max.X+stepX/2; n, x = n+1, x+stepX {
		top := box.Max.Y + rim - size.Height/2 + 0.45*size.Height*float64(n%2) + 0.1*size.Height*d.unit()
		if size.Height > box.Height() {
			top = (box.Min.Y + box.Max.Y) / 2
		}
		for y := top; y > box.Min.Y-size.Height/2; y -= stepY {
			middle := geom.Point{X: x + 0.15*turn*size.Width*d.signed(), Y: y + 0.5*overlap*d.signed()}
			laid = append(laid, newTurned(middle, size.Width, size.Height, turn*d.signed()))
		}
	}
	slices.SortStableFunc(laid, func(a, b turned) int { return sectionOf(sections, &a) - sectionOf(sections, &b) })
	return patch(laid, box, size, &d)
}

// sectionOf is the number of the section a sheet is in the middle of.
func sectionOf(sections []geom.Bounds, r *turned) int {
	x, y := float64(r.x), float64(r.y)
	best, nearest := 0, math.Inf(1)
	for n, s := range sections {
		away := math.Hypot(x-min(max(x, s.Min.X), s.Max.X), y-min(max(y, s.Min.Y), s.Max.Y))
		if away < nearest {
			best, nearest = n, away
		}
	}
	return best
}

// patch gives every bare place another sheet, turned any way.
func patch(laid []turned, box geom.Bounds, size Sheet, d *dice) []turned {
	const step = 20.0 // mm between the places looked at
	look := Grid(int(math.Floor(box.Min.X/step)), int(math.Floor(box.Min.Y/step)), int(math.Ceil(box.Width()/step))+1, int(math.Ceil(box.Height()/step))+1, step)
	covered := make([]bool, len(look.X)*len(look.Y))
	cover := func(r turned) {
		r.long, r.wide = r.long-rim, r.wide-rim
		i0, i1, j0, j1 := look.window(r.reach())
		for j := j0; j < j1 && i0 < i1; j++ {
			from, to := r.row(look, i0, i1, look.Y[j])
			for i := from; i < to; i++ {
				covered[j*len(look.X)+i] = true
			}
		}
	}
	for _, r := range laid {
		cover(r)
	}
	for k := range covered {
		if covered[k] {
			continue
		}
		at := geom.Point{X: float64(look.X[k%len(look.X)]) + step, Y: float64(look.Y[k/len(look.X)]) + step}
		small := min(size.Width, size.Height)
		r := newTurned(at, small, small*d.in(0.6, 1), d.in(0, math.Pi))
		cover(r)
		laid = append(laid, r)
	}
	return laid
}

// cornerPieces are small pieces dabbed along both ends of a wall, wide mm out of the
// corner, where a whole sheet will not sit.
func cornerPieces(box geom.Bounds, wide float64, seed uint64) (laid []turned) {
	d := dice{key: mix(seed, 0xdab)}
	for _, x := range []float64{box.Min.X, box.Max.X} {
		for y := box.Max.Y; y > box.Min.Y-wide/2; y -= wide * d.in(0.8, 1.1) {
			middle := geom.Point{X: x + wide*d.in(-0.25, 0.25), Y: y}
			laid = append(laid, newTurned(middle, wide*d.in(1.6, 2.2), wide*d.in(1.3, 1.6), d.in(0, math.Pi)))
		}
	}
	return laid
}

// meets tells whether the boxes round two sheets meet.
func meets(a, b *turned) bool {
	p, q := a.reach(), b.reach()
	return p.Min.X < q.Max.X && q.Min.X < p.Max.X && p.Min.Y < q.Max.Y && q.Min.Y < p.Max.Y
}
