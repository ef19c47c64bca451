package stroke

import (
	"math"

	"scumble/geom"
)

// sheet is a crumpled paper pressed on the wall by the palm and peeled off.
type sheet struct {
	turned
	cut
	// under are the sheets laid before this one that keep it off the glaze.
	under []turned
	// second and choice cut in another part of the bank, so that a sheet larger than the bank
	// does not repeat; nil on a smaller one.
	second, choice *cut
	palm           float32 // size of a palm, mm
	sweep          float32 // how many palms long one press is; above 1 where a brush sweeps it
	split          float32 // the share of the film that full contact takes at press 1
	contrast       float32
}

// rim is over how many mm the press fades towards the edge of a sheet, by eye.
const rim = 14

// meanContact is about the mean contact of a sheet; Contrast is round it.
const meanContact = 0.6

func (s *sheet) mark(t *Tile, stroke *Stroke, press float64) {
	i0, i1, j0, j1 := t.window(stroke.Reach)
	if i0 == i1 {
		return
	}
	plane := t.plane(stroke.Glaze)
	found := make([]touch, 2*(i1-i0))
	scratch := make([]float32, 2*(i1-i0))
	level := s.level(t.Pitch)
	take := s.split * float32(press) * float32(1-0.15*stroke.Load)
	for j := j0; j < j1; j++ {
		y := t.Y[j]
		from, to := s.open(t, i0, i1, y)
		if from >= to {
			continue
		}
		x, n := t.X[from:to], to-from
		touches := found[:n]
		s.look(touches, found[n:2*n], scratch, x, y, t.Pitch, level)
		weight, force := scratch[:n], scratch[n:2*n]
		s.weigh(t, weight, touches, from, to, y)
		for k := range force {
			force[k] = 0.5
		}
		addNoise(force, x, y/s.sweep, stroke.Key, s.palm, 1.3)
		line := plane[j*len(t.X)+from:][:n]
		for k, f := range touches {
			contact := f.light + ramp(force[k])*(f.firm-f.light)
			contact = meanContact + s.contrast*(contact-meanContact)
			keep := 1 - take*weight[k]*contact
			if keep < 0.02 {
				keep = 0.02
			}
			line[k] *= keep
		}
	}
}

// open is the part of a row between the ends that earlier sheets cover altogether.
func (s *sheet) open(t *Tile, i0, i1 int, y float32) (from, to int) {
	from, to = s.row(t, i0, i1, y)
	for n := 0; n < len(s.under) && from < to; n++ {
		whole := s.under[n]
		whole.long, whole.wide = whole.long-rim, whole.wide-rim
		a, b := whole.row(t, from, to, y)
		if a == from {
			from = b
		} else if b == to {
			to = a
		}
	}
	return from, to
}

// weigh is how far the paper lies on the glaze along a row: less towards its edge,
// which the folds make ragged, and not at all where an earlier sheet is under it.
func (s *sheet) weigh(t *Tile, weight []float32, touches []touch, from, to int, y float32) {
	for k := range weight {
		weight[k] = 1
	}
	inner := s.turned
	inner.long, inner.wide = inner.long-2*rim, inner.wide-2*rim
	in, out := inner.row(t, from, to, y)
	u0, v0 := s.local(y)
	for i := from; i < to; i++ {
		if i == in && out > in {
			i = out
			if i >= to {
				break
			}
		}
		depth := s.depth(s.cos*t.X[i]+u0, v0-s.sin*t.X[i])
		weight[i-from] = ramp((depth + rim*(touches[i-from].light-0.6)) / rim)
	}
	for n := range s.under {
		r := &s.under[n]
		a, b := r.row(t, from, to, y)
		u0, v0 := r.local(y)
		for i := a; i < b; i++ {
			weight[i-from] *= 1 - ramp(r.depth(r.cos*t.X[i]+u0, v0-r.sin*t.X[i])/rim)
		}
	}
}

// look reads the folds of a row.
func (s *sheet) look(touches, other []touch, scratch, x []float32, y, pitch float32, level int) {
	s.touches(touches, x, y, level)
	if s.second == nil {
		return
	}
	s.second.touches(other, x, y, level)
	choice := scratch[:len(x)]
	s.choice.heights(choice, x, y, s.choice.level(pitch))
	for k := range touches {
		w := ramp(0.5 + 2.5*choice[k])
		touches[k].light += w * (other[k].light - touches[k].light)
		touches[k].firm += w * (other[k].firm - touches[k].firm)
	}
}

// frottage lays sheets of crumpled paper at random and presses them with the palm.
func frottage(p *Panel, f *figures) work {
	w := work{lay: rolled(p, 0, f.recipe.Laid[0], 0.06)}
	size, overlap := sheetSize(p.Sheet)
	cell, palm, sweep := f.of("crease-cell"), f.of("palm"), 1.0
	turn := f.of("sheet-turn") * math.Pi / 180
	box := p.Region.Bounds()
	if f.recipe.Variation == "full-height" {
		size.Height, cell, turn, sweep = box.Height()+2*rim+60, f.of("tight-cell"), turn/12, 3
	}
	split, bank := float32(f.of("split")), paper
	if f.recipe.Variation == "plastic" {
		split, bank, cell = float32(f.of("plastic-split")), plastic, creaseRun*f.of("fold-line")
		size.Width, size.Height = f.of("plastic-sheet"), 1.2*f.of("plastic-sheet")
	}
	corner := f.of("corner")
	if f.err() != nil {
		return w
	}
	laid := append(cornerPieces(box, corner, p.Seed), layout(box, p.Sections, size, overlap, turn, p.Seed)...)
	for n, r := range laid {
		key := at(p.Seed, n, 0xf207)
		s := &sheet{turned: r, cut: newCut(bank(), key, n, float64(r.x), cell), palm: float32(palm), sweep: float32(sweep), split: split, contrast: float32(f.recipe.Contrast)}
		for _, earlier := range laid[:n] {
			if meets(&r, &earlier) {
				s.under = append(s.under, earlier)
			}
		}
		if 2*math.Hypot(float64(r.long), float64(r.wide)) > 2.5*side*float64(s.texel) {
			second, choice := newCut(bank(), key+1, n+2, float64(r.x), cell), newCut(paper(), key+2, n+4, float64(r.x), 5*cell)
			s.second, s.choice = &second, &choice
		}
		w.add(s, key, &r, float64(n%3)/3)
	}
	return w
}

// add puts a stroke with a tool of its own at the end.
func (w *work) add(m tool, key uint64, r *turned, load float64) {
	middle := geom.Point{X: float64(r.x), Y: float64(r.y)}
	w.strokes = append(w.strokes, Stroke{Tool: len(w.tools), Key: key, From: middle, To: middle, Width: 2 * float64(r.wide), Load: load, Reach: r.reach()})
	w.tools = append(w.tools, m)
}
