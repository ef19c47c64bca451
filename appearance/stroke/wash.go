package stroke

import (
	"math"
	"slices"

	"scumble/geom"
)

// washer is a brush or a sponge that moves a wash about: each stroke leaves the film
// somewhat thicker or thinner than it was, with faint lines, and fades out all round.
type washer struct {
	film   []soft
	carry  float32 // the share it carries away at press 1
	window soft    // how firmly it lies on, without lines
}

// soft is what a stroke does to the film in parts of its width and of its length.
type soft struct {
	across [washLevels][]float32 // each level has places twice as wide
	along  []float32
}

const (
	washBins   = 512
	washLevels = 4
	washKinds  = 32
)

// newWasher makes the strokes of a tool, width mm wide: tone is the standard
// deviation from stroke to stroke and hair that of its lines, which are as wide as
// line mm; fade is the part of each side over which it fades.
func newWasher(seed uint64, width, tone, hair, line, fade float64) *washer {
	w := &washer{}
	for n := range washKinds {
		d := dice{key: mix(seed, uint64(n))}
		wide := ripples(&d, washBins, int(width/line/6)+2)
		fine := ripples(&d, washBins, int(width/line))
		bias := tone * math.Sqrt(3) * (2*(float64(n)+0.5)/washKinds - 1) // even chance, so that the mean is 0
		across, along := make([]float32, washBins), make([]float32, washBins)
		lead := d.in(0, 0.5)
		for k := range across {
			part := (float64(k) + 0.5) / washBins
			across[k] = float32(fading(part, fade) * (bias + hair*(0.6*float64(wide[k])+0.8*float64(fine[k]))))
			along[k] = float32(fading(part, 0.3) * (1 + lead*(1-2*part)))
		}
		w.film = append(w.film, soften(across, along))
	}
	across, along := make([]float32, washBins), make([]float32, washBins)
	for k := range across {
		part := (float64(k) + 0.5) / washBins
		across[k], along[k] = float32(fading(part, fade)), float32(fading(part, 0.3))
	}
	w.window = soften(across, along)
	return w
}

// fading is 1 in the middle of 0..1 and falls smoothly to 0 over a part at both ends.
func fading(v, part float64) float64 {
	return float64(smooth(float32(min(1, min(v, 1-v)/part))))
}

// soften adds the coarser levels.
func soften(across, along []float32) soft {
	s := soft{along: along}
	s.across[0] = across
	for n := 1; n < washLevels; n++ {
		fine := s.across[n-1]
		coarse := make([]float32, len(fine)/2)
		for k := range coarse {
			coarse[k] = (fine[2*k] + fine[2*k+1]) / 2
		}
		s.across[n] = coarse
	}
	return s
}

func (w *washer) mark(t *Tile, s *Stroke, press float64) {
	i0, i1, j0, j1 := t.window(s.Reach)
	if i0 == i1 {
		return
	}
	r := drawn(s)
	bow := float32(s.Bow)
	outer := r
	outer.wide += abs(bow) / 2
	kind := &w.film[s.Key%washKinds]
	level := 0
	for wide := 2 * r.wide / washBins; level < washLevels-1 && 1.5*wide < t.Pitch; level++ {
		wide *= 2
	}
	across, window := kind.across[level], w.window.across[level]
	last := len(across) - 1
	du, dv := washBins/(2*r.long), float32(len(across))/(2*r.wide)
	carried := w.carry * float32(press) * float32(1-0.2*s.Load)
	for j := j0; j < j1; j++ {
		y := t.Y[j]
		from, to := outer.row(t, i0, i1, y)
		u0, v0 := r.local(y)
		x := t.X[from:to]
		line := t.First[j*len(t.X)+from:][:len(x)]
		for k, xk := range x {
			u, v := r.cos*xk+u0, v0-r.sin*xk
			q := u / r.long
			side := v - bow*(0.5-q*q) + r.wide
			kv := int(side * dv)
			if side <= 0 || kv > last {
				continue
			}
			along := kind.along[min(washBins-1, max(0, int((u+r.long)*du)))]
			change := 1 + along*(across[kv]-carried*window[kv])
			if change < 0.05 {
				change = 0.05
			}
			line[k] *= change
		}
	}
}

// colourwash brushes a wash on in crossed strokes, crosses them with the sponge and
// evens it in arcs or in swirls.
func colourwash(p *Panel, f *figures) work {
	c := f.recipe.Contrast
	brush, length, line := f.of("brush"), f.of("stroke-length"), f.of("hair-width")
	tone, hair := f.of("cloud")*c, f.of("hair")*c
	angle, spread := f.of("cross-angle")*math.Pi/180, f.of("cross-spread")*math.Pi/180
	e := evening{wide: f.of("sponge"), carry: f.of("carried"), tone: 0.8 * tone, hair: 0.7 * hair, line: 2 * line}
	cover := 2.4 // how often a brush crosses a place, by eye
	runWidth, runLength := 0.0, 0.0
	switch f.recipe.Variation {
	case "swirl":
		e.swirl = f.of("swirl")
		cover, e.tone, e.hair = 1.5, 1.1*tone, 1.2*hair
	case "upwards":
		e.arc, runWidth, runLength = 1.3*f.of("arc-length"), f.of("run-width"), f.of("run-length")
		angle, length = (angle+math.Pi/2)/2, 1.5*length
	default:
		e.arc = f.of("arc-length")
	}
	w := work{tools: []tool{newWasher(mix(p.Seed, 1), brush, tone, hair, line, 0.25)}, lay: clouds(p, f.recipe.Laid[0], tone)}
	if f.err() != nil {
		return w
	}
	d := &dice{key: mix(p.Seed, 0xc0a5)}
	w.strew(p, d, math.Sqrt(brush*length/cover), func(middle geom.Point) {
		direction := angle + spread*d.normal()
		if d.unit() < 0.5 {
			direction = math.Pi - direction
		}
		w.strokes = append(w.strokes, stroked(d.next(), middle, length*d.in(0.8, 1.3), brush*d.in(0.9, 1.1), direction, 0.12*length*d.signed()))
	})
	w.evenOut(p, d, &e)
	if runLength > 0 {
		w.runs(p, d, runWidth, runLength)
	}
	w.inOrder(p, runLength > 0)
	return w
}

// evening is how the sponge evens a wash: in arcs, or in swirls.
type evening struct {
	wide, arc, swirl float64 // mm
	tone, hair, line float64
	carry            float64 // the share it carries away at press 1
}

// evenOut crosses the brush strokes with the sponge.
func (w *work) evenOut(p *Panel, d *dice, e *evening) {
	sponge := newWasher(mix(p.Seed, 2), e.wide, e.tone, e.hair, e.line, 0.42)
	sponge.carry = float32(e.carry)
	w.tools = append(w.tools, sponge)
	if e.swirl > 0 {
		w.strew(p, d, 0.65*e.swirl, func(middle geom.Point) {
			w.swirl(middle, e.swirl/2*d.in(0.75, 1.25), e.wide, d)
		})
		return
	}
	w.outOfCorners(p, d, e.wide, e.arc)
	w.strew(p, d, math.Sqrt(e.wide*e.arc/1.3), func(middle geom.Point) {
		s := stroked(d.next(), middle, e.arc*d.in(0.8, 1.3), e.wide*d.in(0.9, 1.1), d.in(-math.Pi, math.Pi), e.arc*0.4*math.Copysign(d.in(0.5, 1), d.signed()))
		s.Tool = 1
		w.strokes = append(w.strokes, s)
	})
}

// swirl turns the sponge outward round a place in arcs that run one into the next.
func (w *work) swirl(centre geom.Point, radius, wide float64, d *dice) {
	const quarter = 0.95 // half of what one arc turns, radians, by eye
	hand := math.Copysign(1, d.signed())
	direction := d.in(-math.Pi, math.Pi)
	stretch := d.in(0.8, 1.25)
	for r := 0.25 * radius; r < radius; r *= 1.19 {
		out := 0.5 * (1 + math.Cos(quarter)) * r
		middle := geom.Point{X: centre.X + stretch*out*math.Cos(direction), Y: centre.Y + out/stretch*math.Sin(direction)}
		s := stroked(d.next(), middle, 2.5*math.Sin(quarter)*r, min(wide, 1.5*r)*d.in(0.7, 1), direction+hand*math.Pi/2, -hand*1.4*r*(1-math.Cos(quarter)))
		s.Tool = 1
		w.strokes = append(w.strokes, s)
		direction += hand * 1.5 * quarter
	}
}

// clouds lays the wash in firm strokes, here more and there less.
func clouds(p *Panel, film, strength float64) func(*Tile) {
	key := mix(p.Seed, 0xc10d)
	return func(t *Tile) {
		w := len(t.X)
		for j, y := range t.Y {
			row := t.First[j*w : (j+1)*w]
			clear(t.row)
			addNoise(t.row, t.X, y, key, 230, float32(1.3*strength))
			for i, n := range t.row {
				row[i] += float32(film) * max(0.1, 1+n)
			}
		}
	}
}

// strew calls for strokes all over the panel, once in every square of a step, anywhere in it.
func (w *work) strew(p *Panel, d *dice, step float64, stroke func(geom.Point)) {
	box := p.Region.Bounds()
	for y := box.Min.Y - step; y < box.Max.Y+step; y += step {
		for x := box.Min.X - step; x < box.Max.X+step; x += step {
			stroke(geom.Point{X: x + step*d.unit(), Y: y + step*d.unit()})
		}
	}
}

// outOfCorners draws the sponge out of both ends of the wall.
func (w *work) outOfCorners(p *Panel, d *dice, wide, arc float64) {
	box := p.Region.Bounds()
	for y := box.Max.Y; y > box.Min.Y; y -= wide * d.in(0.6, 1) {
		for _, end := range []struct{ x, out float64 }{{box.Min.X, 1}, {box.Max.X, -1}} {
			s := stroked(d.next(), geom.Point{X: end.x + end.out*0.3*arc, Y: y}, arc*d.in(0.7, 1), wide, (1-end.out)/2*math.Pi+0.25*d.signed(), 0.15*arc*d.signed())
			s.Tool = 1
			w.strokes = append(w.strokes, s)
		}
	}
}

// runs lets a thin wash run down here and there, softly.
func (w *work) runs(p *Panel, d *dice, wide, long float64) {
	run := newWasher(mix(p.Seed, 4), wide, 0.16, 0.02, wide/3, 0.5)
	w.tools = append(w.tools, run)
	w.strew(p, d, 0.8*long, func(middle geom.Point) {
		s := stroked(d.next(), middle, long*math.Exp(0.4*d.normal()), wide*d.in(0.6, 1.8), -math.Pi/2+0.02*d.normal(), 3*d.signed())
		s.Tool = 2
		w.strokes = append(w.strokes, s)
	})
}

// inOrder sorts strokes by section, from the bottom when upwards, brush before sponge.
func (w *work) inOrder(p *Panel, upwards bool) {
	sections := slices.Clone(p.Sections)
	if upwards {
		slices.SortStableFunc(sections, func(a, b geom.Bounds) int { return int(a.Min.Y) - int(b.Min.Y) })
	}
	number := make(map[uint64]int, len(w.strokes))
	for n := range w.strokes {
		s := &w.strokes[n]
		s.Load = float64(n%7) / 7 // rinsed every seventh stroke, by eye
		number[s.Key] = sectionOf(sections, &turned{x: float32((s.From.X + s.To.X) / 2), y: float32((s.From.Y + s.To.Y) / 2)})
	}
	slices.SortStableFunc(w.strokes, func(a, b Stroke) int {
		if a.Tool != b.Tool && number[a.Key] == number[b.Key] {
			return a.Tool - b.Tool
		}
		return number[a.Key] - number[b.Key]
	})
}
