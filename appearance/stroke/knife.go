package stroke

import (
	"math"
	"slices"

	"scumble/geom"
)

// knife is a flat blade drawn through the film. Behind it the film is a thin ramp,
// thinner where the blade was leant on; along the open side and where the blade
// leaves, glaze stands in a ridge with a crisp edge.
type knife struct {
	film  float32 // as laid, um
	ridge float32 // width of a ridge, mm
	high  float32 // its height in parts of the film laid
	carry float32 // the share that goes back to the tray at press 1
	hold  float32 // how much of the film under the blade takes its new shape
	draws []draw
}

// draw is one way the blade may run, in parts of its width and length.
type draw struct {
	across, along, skip [knifeBins]float32
}

const (
	knifeBins  = 256
	knifeDraws = 32 // kept; strokes side by side use different ones
)

// newDraws makes ways to draw a blade: a ramp across it with fine lines of grit, and
// the chatter of a blade that sticks and slips. The mean of the product is 1.
func newDraws(seed uint64, slope, chatter, contrast float64) []draw {
	draws := make([]draw, knifeDraws)
	for n := range draws {
		d := dice{key: at(seed, n, 0xb1ade)}
		w := &draws[n]
		lean := slope * d.in(0.6, 1.3) * contrast
		bent := d.in(0.6, 1.8)
		grit, stick := 0.022*contrast, chatter*contrast*math.Pow(d.unit(), 2)
		lines, slips, skips := ripples(&d, knifeBins, 40), ripples(&d, knifeBins, int(d.in(14, 34))), ripples(&d, knifeBins, 22)
		for k := range knifeBins {
			part := (float64(k) + 0.5) / knifeBins
			level := 1 + lean*(1-(1+bent)*math.Pow(part, bent))
			w.across[k] = float32(max(0.05, level+grit*float64(lines[k])))
			w.along[k] = float32(max(0.05, 1+stick*float64(slips[k])*part+0.25*lean*(part-0.5)))
			w.skip[k] = float32(skips[k])
		}
		toOne(w.across[:])
		toOne(w.along[:])
	}
	return draws
}

// toOne scales values to a mean of 1.
func toOne(v []float32) {
	sum := float32(0)
	for _, x := range v {
		sum += x
	}
	for k := range v {
		v[k] *= float32(len(v)) / sum
	}
}

func (b *knife) mark(t *Tile, s *Stroke, press float64) {
	i0, i1, j0, j1 := t.window(s.Reach)
	if i0 == i1 {
		return
	}
	r := drawn(s)
	w := &b.draws[s.Key%knifeDraws]
	long, wide, pitch := r.long, r.wide, max(t.Pitch, 0.25)
	bow := float32(s.Bow)
	outer := r
	outer.long, outer.wide = long+pitch/2+2, wide+pitch/2+1+abs(bow)/2
	// What stands in the ridges is missing from the rest.
	inRidges := b.high * b.ridge * (1/(2*long) + 0.4/(2*wide))
	body := b.film * (1 - b.carry*float32(press)) * (1 - inRidges)
	high := b.film * b.high * (1 - b.carry*float32(press))
	mirror := float32(1)
	if s.Key>>9&1 == 1 {
		mirror = -1
	}
	dry := 1.15 + 1.8*float32(unit(mix(s.Key, 3))) - 0.4*float32(s.Load)
	du, dv := knifeBins/(2*long), knifeBins/(2*wide)
	inner := r // clear of every edge and ridge
	inner.long, inner.wide = long-b.ridge-3-pitch, wide-b.ridge-2-pitch-abs(bow)/2
	for j := j0; j < j1; j++ {
		y := t.Y[j]
		from, to := outer.row(t, i0, i1, y)
		if from == to {
			continue
		}
		u0, v0 := r.local(y)
		line := t.First[j*len(t.X):]
		in, out := inner.row(t, from, to, y)
		for i := in; i < out; i++ {
			u, v := r.cos*t.X[i]+u0, v0-r.sin*t.X[i]
			q := u / long
			v = mirror * (v - bow*(0.5-q*q))
			kv := int(dv*(wide+v)) & (knifeBins - 1)
			cover := b.hold * ramp(2.2*(dry-w.skip[kv]*(0.6+0.4*q))+0.5)
			line[i] += cover * (body*w.across[kv]*w.along[int(du*(u+long))&(knifeBins-1)] - line[i])
		}
		for i := from; i < to; i++ {
			if i == in && out > in {
				if i = out; i >= to {
					break
				}
			}
			u, v := r.cos*t.X[i]+u0, v0-r.sin*t.X[i]
			q := u / long
			v = mirror * (v - bow*(0.5-q*q))
			ku, kv := min(knifeBins-1, max(0, int(du*(u+long)))), min(knifeBins-1, max(0, int(dv*(wide+v))))
			rough, uneven := w.skip[kv], w.skip[knifeBins-1-ku]
			end, side := long-u+0.7*rough, wide+v+0.35*uneven
			cover := ramp(end/pitch+0.5) * ramp((long+u)/pitch+0.5) * ramp(side/pitch+0.5) * ramp((wide-v)/pitch+0.5)
			if cover == 0 {
				continue
			}
			// towards the end the blade runs dry and skips in lines
			cover *= b.hold * ramp(2.2*(dry-rough*(0.6+0.4*q))+0.5)
			target := body*w.across[kv]*w.along[ku] +
				high*(2*ramp(0.5+0.3*rough)*edge(end, b.ridge, pitch)+ramp(0.4+0.35*q+0.3*uneven)*edge(side, b.ridge, pitch))
			line[i] += cover * (target - line[i])
		}
	}
}

// edge is the part of a place, pitch mm wide and d mm inside of an edge, that lies
// on the ridge along it.
func edge(d, ridge, pitch float32) float32 {
	if d <= -pitch/2 || d >= ridge+pitch/2 {
		return 0
	}
	return (min(d+pitch/2, ridge) - max(d-pitch/2, 0)) / pitch
}

// drawn is the rectangle a straight stroke sweeps, u from its start to its end.
func drawn(s *Stroke) turned {
	dx, dy := s.To.X-s.From.X, s.To.Y-s.From.Y
	length := math.Max(1e-3, math.Hypot(dx, dy))
	return turned{
		x: float32((s.From.X + s.To.X) / 2), y: float32((s.From.Y + s.To.Y) / 2),
		cos: float32(dx / length), sin: float32(dy / length),
		long: float32(length / 2), wide: float32(s.Width / 2),
	}
}

// stroked is a stroke of a blade, brush or sponge about its middle, drawn to a direction.
func stroked(key uint64, middle geom.Point, length, width, direction, bow float64) Stroke {
	dx, dy := math.Cos(direction)*length/2, math.Sin(direction)*length/2
	s := Stroke{
		Key: key, Width: width, Turn: direction, Bow: bow,
		From: geom.Point{X: middle.X - dx, Y: middle.Y - dy}, To: geom.Point{X: middle.X + dx, Y: middle.Y + dy},
	}
	r := drawn(&s)
	r.wide += float32(math.Abs(bow)) + 2
	r.long += 2
	s.Reach = r.reach()
	return s
}

// paletteKnife draws the edges of the wall first and then the field, in strokes that
// cross at random.
func paletteKnife(p *Panel, f *figures) work {
	c := f.recipe.Contrast
	b := &knife{
		film: float32(f.recipe.Laid[0]), ridge: float32(f.of("ridge-width")), high: float32(f.of("ridge-height") * c),
		carry: float32(f.of("carried")), hold: 0.92, draws: newDraws(p.Seed, f.of("ramp"), f.of("chatter"), c),
	}
	over := *b
	over.hold = 0.55 // the first pass has set and shows through
	w := work{tools: []tool{b, &over}, lay: even(f.recipe.Laid[0])}
	blade, length, bow := f.of("blade"), f.of("stroke-length"), 0.03
	if f.recipe.Variation == "crossed" {
		bow = f.of("bow")
	}
	if f.err() != nil {
		return w
	}
	if len(p.Laps) > 0 { // a lapped edge has set: the blade takes the glaze over it, not the edge
		w.settle = func(t *Tile, _ float64) { lapped(t, p, f.recipe.Laid[0]) }
	}
	d := &dice{key: mix(p.Seed, 0x6e1f)}
	w.knifeEdges(p, blade, length, d)
	w.knifeField(p, blade, length, bow, 0, d)
	if f.recipe.Variation == "crossed" {
		w.knifeField(p, blade, length, bow, 1, d)
	}
	return w
}

// knifeEdges draws out of the sides, down from the ceiling and up from the skirting.
func (w *work) knifeEdges(p *Panel, blade, length float64, d *dice) {
	box := p.Region.Bounds()
	stroke := func(x, y, direction float64) {
		long := length * d.in(0.7, 1.1)
		middle := geom.Point{X: x + 0.47*long*math.Cos(direction), Y: y + 0.47*long*math.Sin(direction)}
		w.strokes = append(w.strokes, stroked(d.next(), middle, long, blade*d.in(0.9, 1.1), direction+0.16*d.signed(), 0))
	}
	step := func() float64 { return blade * d.in(0.55, 0.85) }
	for x := box.Min.X + blade*d.unit()/2; x < box.Max.X; x += step() {
		for _, span := range p.Region.SpanAt(x) {
			stroke(x, span[1], -math.Pi/2)
			stroke(x, span[0], math.Pi/2)
		}
	}
	for y := box.Max.Y - blade*d.unit()/2; y > box.Min.Y; y -= step() {
		stroke(box.Min.X, y, 0)
		stroke(box.Max.X, y, math.Pi)
	}
}

// knifeField covers the field, from top to bottom and left to right; the second pass
// leaves a fifth of it.
func (w *work) knifeField(p *Panel, blade, length, bow float64, pass int, d *dice) {
	box := p.Region.Bounds()
	first := len(w.strokes)
	cover := 2.4 // how often the blade crosses a place, by eye
	if bow > 0.05 {
		cover = 1.7 // in each of two passes
	}
	step := math.Sqrt(blade * length / cover)
	for y := box.Max.Y; y > box.Min.Y; y -= step {
		for x := box.Min.X; x < box.Max.X; x += step {
			middle := geom.Point{X: x + step*d.unit(), Y: y - step*d.unit()}
			long := length * math.Exp(0.25*d.normal())
			key, direction, arc := d.next(), d.in(-math.Pi, math.Pi), math.Copysign(bow*long*d.in(0.5, 1.5), d.signed())
			clear := 0.42 * long // it stops short of ceiling, skirting and corners
			if middle.X < box.Min.X+clear || middle.X > box.Max.X-clear || pass == 1 && d.unit() < 0.2 {
				continue
			}
			if !inSpan(p.Region.SpanAt(middle.X), middle.Y, clear) {
				continue
			}
			s := stroked(key, middle, long, blade*d.in(0.85, 1.1), direction, arc)
			s.Tool = pass
			w.strokes = append(w.strokes, s)
		}
	}
	wiped := 9 // strokes between two wipes of the blade, by eye
	for n := range w.strokes[first:] {
		w.strokes[first+n].Load = float64(n%wiped) / float64(wiped)
	}
	// Inside a band as high as a stroke is long the hand goes back and forth.
	slices.SortStableFunc(w.strokes[first:], func(a, b Stroke) int {
		return int((box.Max.Y-a.From.Y)/(3*length)) - int((box.Max.Y-b.From.Y)/(3*length))
	})
}

// inSpan tells whether a height lies in one of the spans, clear of its ends.
func inSpan(spans [][2]float64, y, clear float64) bool {
	for _, s := range spans {
		if y > s[0]+clear && y < s[1]-clear {
			return true
		}
	}
	return false
}
