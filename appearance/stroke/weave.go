package stroke

import (
	"math"
	"slices"

	"scumble/geom"
)

// weave crosses level and upright strokes over the strips of the ground. The first
// glaze is brushed level and sets; the second is brushed upright over it. With one
// glaze both are brushed into it while it is wet, upright first.
func weave(p *Panel, f *figures) work {
	one := f.recipe.Variation == "one-glaze"
	cut := newColumns(p.Region)
	level, upright := newWeaver(p, f), newWeaver(p, f)
	level.touch, level.leave = f.of("end"), f.of("end")
	calm := f.of("level-contrast")
	level.bristles(mix(p.Seed, 11), f.of("bristle"), f.of("groove"), f.of("ridge"), calm*f.recipe.Contrast)
	upright.bristles(mix(p.Seed, 12), f.of("bristle"), f.of("groove"), f.of("ridge"), f.recipe.Contrast)
	reach := f.of("stroke-length")
	f.wider("tool-width", "overlap")
	if f.err() != nil {
		return work{}
	}
	w := work{tools: []tool{level, upright}, even: evensOut * level.width}
	crossing := levelStrokes(p, &cut, level, reach)
	standing := uprightStrokes(p, &cut, upright)
	for i := range standing {
		standing[i].Tool = 1
	}
	if one {
		w.lay = rolled(p, 0, f.recipe.Laid[0], 0.06)
		w.strokes = append(standing, crossing...)
		return w
	}
	for i := range standing {
		standing[i].Glaze = 1
	}
	w.second = true
	first, second := rolled(p, 0, f.recipe.Laid[0], 0.06), rolled(p, 1, f.recipe.Laid[1], 0.06)
	w.lay = func(t *Tile) { first(t); second(t) }
	w.strokes = append(crossing, standing...)
	return w
}

// newWeaver is an effect brush without its lines: coarser and more open than a
// dragging brush, so its lines change sooner.
func newWeaver(p *Panel, f *figures) *brush {
	return &brush{
		width: f.of("tool-width"), overlap: f.of("overlap"), keep: 0.5, knot: 190,
		wander: f.of("wander"), sway: f.of("wander-length"), take: 1, fills: f.of("fills"), keeps: f.recipe.keeps,
	}
}

// levelStrokes go across the wall from the top down. The brush is lifted at strip
// joints only, and starts again there; which joint it reaches differs from row to row.
func levelStrokes(p *Panel, cut *columns, b *brush, long float64) []Stroke {
	var joints []float64
	for _, j := range p.Joints {
		joints = append(joints, (j.A.X+j.B.X)/2)
	}
	slices.Sort(joints)
	box := p.Region.Bounds()
	var strokes []Stroke
	pitch := b.width - b.overlap
	for n, y := 0, box.Max.Y-b.width/2+b.overlap; y+b.width/2 > box.Min.Y; n, y = n+1, y-pitch {
		for m, run := range cut.levels(y-pitch/2, y+pitch/2) {
			d := dice{key: at(mix(p.Seed, 0x3ea), n, m)}
			for _, stretch := range lifts(run, joints, long, &d) {
				from := geom.Point{X: stretch[0] + b.leave*(0.5*d.signed()-0.35), Y: y}
				to := geom.Point{X: stretch[1] + b.leave*(0.5*d.signed()+0.35), Y: y}
				s := straight(d.next(), from, to, b.width, b.wander+maxTilt*(to.X-from.X)/2)
				s.Turn = maxTilt * d.signed()
				strokes = append(strokes, s)
			}
		}
	}
	return strokes
}

// maxTilt is how far a level stroke may lean along a level line, as a slope.
const maxTilt = 0.004

// lifts cuts a run across the wall where the brush is lifted: at joints, no further
// apart than an arm reaches where joints allow it. Without joints it is lifted anywhere.
func lifts(run [2]float64, joints []float64, long float64, d *dice) [][2]float64 {
	var cuts [][2]float64
	reach := long * d.in(0.3, 1)
	from := run[0]
	for run[1]-from > reach {
		to := from + reach*d.in(0.8, 1)
		if len(joints) > 0 {
			to = run[1]
			for _, j := range joints {
				if j > from+1 && (to == run[1] || j <= from+reach) && j < run[1]-1 {
					to = j
				}
			}
		}
		cuts = append(cuts, [2]float64{from, to})
		from, reach = to, long
	}
	if from < run[1] {
		cuts = append(cuts, [2]float64{from, run[1]})
	}
	return cuts
}

// uprightStrokes run through the wall from left to right; small sections are brushed
// on into one another, so they show no ends.
func uprightStrokes(p *Panel, cut *columns, b *brush) []Stroke {
	var strokes []Stroke
	box := p.Region.Bounds()
	pitch := b.width - b.overlap
	for n, x := 0, box.Min.X+b.width/2-b.overlap; x-b.width/2 < box.Max.X; n, x = n+1, x+pitch {
		for m, span := range cut.uprights(x-pitch/2, x+pitch/2) {
			key := at(mix(p.Seed, 0x0b1), n, m)
			top, foot := geom.Point{X: x, Y: span[1]}, geom.Point{X: x, Y: span[0]}
			s := straight(key, top, foot, b.width, b.wander+maxTilt*math.Abs(top.Y-foot.Y)/2)
			strokes = append(strokes, s)
		}
	}
	return strokes
}
