package stroke

import (
	"math"

	"scumble/geom"
)

// dragging draws a stiff brush from the ceiling to the skirting in one go, then turns
// it and feathers up from the skirting over the same path. Criss-cross then draws it
// level through the same glaze, section by section.
func dragging(p *Panel, f *figures) work {
	cross := f.recipe.Variation == "criss-cross"
	cut := newColumns(p.Region)
	upright := newDragger(p, f)
	upright.columns = &cut
	upright.pile, upright.pileStart, upright.pileOver = f.of("pile"), f.of("pile-start"), f.of("pile-length")
	contrast := f.recipe.Contrast
	crossing := 0.0
	if cross { // the level brush disturbs the lines it crosses
		contrast *= f.of("crossed-contrast")
		crossing = f.recipe.Contrast * f.of("cross-contrast")
	}
	upright.bristles(mix(p.Seed, 1), f.of("bristle"), f.of("groove"), f.of("ridge"), contrast)
	turned := newDragger(p, f) // what it draws up from the skirting fades out
	turned.take, turned.leave = 0.3, f.of("feather")
	turned.bristles(mix(p.Seed, 3), f.of("bristle"), f.of("groove"), f.of("ridge"), 0.5*contrast)
	f.wider("tool-width", "overlap")
	if f.err() != nil {
		return work{}
	}
	w := work{tools: []tool{upright, turned}, lay: rolled(p, 0, f.recipe.Laid[0], 0.06), even: evensOut * upright.width}
	w.strokes = dragged(p, &cut, upright, turned)
	if cross {
		level := newDragger(p, f)
		level.touch, level.leave = 12, f.of("feather")/4
		level.bristles(mix(p.Seed, 2), f.of("bristle"), f.of("groove"), f.of("ridge"), crossing)
		w.tools = append(w.tools, level)
		w.strokes = append(w.strokes, crossed(p, &cut, level, len(w.tools)-1)...)
	}
	return w
}

// newDragger is a dragging brush without its lines.
func newDragger(p *Panel, f *figures) *brush {
	return &brush{
		width: f.of("tool-width"), overlap: f.of("overlap"), keep: 0.62, knot: 420,
		wander: f.of("wander"), sway: f.of("wander-length"), take: 1, fills: f.of("fills"), keeps: f.recipe.keeps,
	}
}

// dragged are the upright passes from left to right, each a little over the last.
func dragged(p *Panel, cut *columns, down, up *brush) []Stroke {
	var strokes []Stroke
	box := p.Region.Bounds()
	pitch := down.width - down.overlap
	n := 0
	for x := box.Min.X + down.width/2 - down.overlap; x-down.width/2 < box.Max.X; x += pitch {
		for _, span := range cut.uprights(x-pitch/2, x+pitch/2) {
			n++
			key := at(p.Seed, n, 0xd7a6)
			floor, ceiling := geom.Point{X: x, Y: span[0]}, geom.Point{X: x, Y: span[1]}
			strokes = append(strokes, straight(key, ceiling, floor, down.width, down.wander))
			high := math.Min(span[1]-span[0], up.leave*(1+0.35*signed(mix(key, 1))))
			s := straight(mix(key, 2), floor, geom.Point{X: x, Y: span[0] + high}, up.width, up.wander)
			s.Tool = 1
			strokes = append(strokes, s)
		}
	}
	return strokes
}

// meeting is where the level strokes of two sections meet in a row, mm: now before and
// now after their edge, so that no seam runs up the wall.
func meeting(p *Panel, b *brush, edge float64, row int) float64 {
	return edge + 2*b.leave*signed(at(mix(p.Seed, 0x3ee7), row, int(math.Round(edge))))
}

// crossed are level strokes through each section, from the top down.
func crossed(p *Panel, cut *columns, b *brush, tool int) []Stroke {
	sections := p.Sections
	if len(sections) == 0 {
		sections = []geom.Bounds{p.Region.Bounds()}
	}
	var strokes []Stroke
	pitch := b.width - b.overlap
	for k, box := range sections {
		for n, y := 0, box.Max.Y-b.width/2+b.overlap; y+b.width/2 > box.Min.Y; n, y = n+1, y-pitch {
			for m, run := range cut.levels(y-pitch/2, y+pitch/2) {
				d := dice{key: at(mix(p.Seed, uint64(k)), n, 0xc405+m)}
				if run[1] <= box.Min.X || run[0] >= box.Max.X {
					continue
				}
				from, to := run[0]-b.leave, run[1]+b.leave // past the end of the wall it makes no end
				if box.Min.X > run[0]+1 {
					from = meeting(p, b, box.Min.X, n) - b.leave*d.in(0.2, 0.5)
				}
				if box.Max.X < run[1]-1 {
					to = meeting(p, b, box.Max.X, n) + b.leave*d.in(0.2, 0.5)
				}
				if to <= from {
					continue
				}
				if n%2 == 1 {
					from, to = to, from
				}
				s := straight(d.next(), geom.Point{X: from, Y: y}, geom.Point{X: to, Y: y}, b.width, b.wander)
				s.Tool = tool
				strokes = append(strokes, s)
			}
		}
	}
	return strokes
}
