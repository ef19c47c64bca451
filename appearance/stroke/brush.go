package stroke

import (
	"math"

	"scumble/geom"
)

// brush is a stiff brush drawn upright or level: its bristles leave lines that run
// the whole stroke. Each line is a share of the film found there, and what one
// bristle ploughs aside stands as a ridge beside it.
type brush struct {
	width float64
	// overlap is the part at each side that is shared with the next stroke, mm.
	overlap float64
	// lines are the bristles of a few brushes. A stroke keeps this share of the lines
	// of one brush from end to end; the rest changes, a new brush every knot mm.
	lines []profile
	keep  float32
	knot  float64
	// wander is how far the hand strays, mm, over a length of sway mm.
	wander, sway float64
	// take is the share taken at press 1; a brush that fills takes less by this part.
	take, fills float64
	// touch and leave are over how many mm the brush comes down on and off the wall.
	touch, leave float64
	// pile is the film that heaps up at the far end, as a share of what lies there, and
	// pileStart that at the near end, over a length of pileOver mm.
	pile, pileStart, pileOver float64
	// keeps is how much of ripples of a wavelength in mm is left when the film has set.
	keeps func(wavelength float64) float64
	// columns are where upright strokes end; needed where film piles up.
	columns *columns
}

// brushes is how many sets of bristles are kept; each is also used mirrored.
const brushes = 24

// bristles makes the lines of brushes: groove and ridge are the film left in the
// lightest and darkest lines, and bristle is how wide a line is, mm. A contrast under
// 1 brings the lines nearer to their mean.
func (b *brush) bristles(key uint64, bristle, groove, ridge, contrast float64) {
	n := int(math.Round(b.width / profileStep))
	weights := make([]float64, n)
	for i := range weights {
		weights[i] = b.weight((float64(i) + 0.5) * profileStep)
	}
	for k := range brushes {
		shares := make([]float64, n)
		var mean float64
		for i, z := range bristleLines(mix(key, uint64(k)), n, bristle, b.keeps) {
			shares[i] = groove + (ridge-groove)/(1+math.Exp(-lineGain*float64(z)))
			mean += shares[i] / float64(n)
		}
		for i, v := range shares {
			shares[i] = math.Max(0.02, mean+contrast*(v-mean))
		}
		b.lines = append(b.lines, newProfile(shares, weights))
	}
}

// lineGain is how sharply a line is either groove or ridge, chosen by eye.
const lineGain = 2.4

// bristleLines is chance across a brush, mean 0 and variance 1: fine hairs, bristles,
// tufts and the sweep of the ferrule, each of uneven width, weighted by eye. Levelling
// takes from the fine ones, and the variance falls by what they lose.
func bristleLines(key uint64, n int, bristle float64, keeps func(wavelength float64) float64) []float32 {
	lines := make([]float64, n)
	var drawn, kept float64
	for k, part := range []struct{ size, weight float64 }{{0.45, 0.5}, {1, 1}, {2.7, 0.7}, {8, 0.4}} {
		d := dice{key: mix(key, uint64(k))}
		cell := part.size * bristle
		drawn += part.weight * part.weight
		part.weight *= keeps(2 * cell) // a line and the gap beside it
		kept += part.weight * part.weight
		from, to := d.normal(), d.normal()
		wide, place := cell*math.Exp(0.45*d.normal()), cell*d.unit()
		for i := range lines {
			for place > wide {
				place -= wide
				from, to = to, d.normal()
				wide = math.Max(profileStep, cell*math.Exp(0.45*d.normal()))
			}
			lines[i] += part.weight * (from + (to-from)*float64(smooth(float32(place/wide))))
			place += profileStep
		}
	}
	out := standard(lines)
	height := float32(math.Sqrt(kept / drawn))
	for i := range out {
		out[i] *= height
	}
	return out
}

// weight is how much of the brush bears on a place across it, 0..1: strokes that
// overlap share the work.
func (b *brush) weight(p float64) float64 {
	if p < 0 || p > b.width {
		return 0
	}
	return math.Min(1, math.Min(p, b.width-p)/b.overlap)
}

// trace is a stroke of a brush on a tile: what it does across at one place along.
type trace struct {
	*brush
	stroke *Stroke
	press  float64
	pitch  float32
	far    float64 // length of the stroke, mm
	// from is the near line of the brush at no travel, begin where it starts.
	side, begin float64
	// factor is what the film is multiplied with across the brush, for the step at and,
	// near an end, the place end; lines are the shares behind it, between those of a
	// knot and of the next.
	factor, lines, one, two []float32
	// share is how much of the brush bears on each place across, and rags how unevenly
	// its ends come down there.
	share, rags []float32
	at, knot    int
	end         float64
	// first and last are the entries across that a tile needs.
	first, last int
}

// blendSteps is into how many steps the change from knot to knot is cut; finer ones
// cannot be seen.
const blendSteps = 32

// mark draws the brush along a stroke that is upright or level.
func (b *brush) mark(t *Tile, s *Stroke, press float64) {
	i0, i1, j0, j1 := t.window(s.Reach)
	if i0 == i1 || j0 == j1 {
		return
	}
	n := entries(b.width, t.Pitch)
	room := t.room(6*n + len(t.X))
	r := trace{brush: b, stroke: s, press: press, pitch: t.Pitch, far: s.From.To(s.To), at: -1, knot: -1,
		factor: room[:n], lines: room[n : 2*n], one: room[2*n : 3*n], two: room[3*n : 4*n], share: room[4*n : 5*n], rags: room[5*n : 6*n]}
	r.last = n
	r.across()
	if s.From.X == s.To.X {
		r.side, r.begin = s.From.X-s.Width/2, s.From.Y
		r.upright(t, i0, i1, j0, j1)
		return
	}
	r.side, r.begin = s.From.Y-s.Width/2, s.From.X
	r.level(t, i0, i1, j0, j1, room[6*n:])
}

// stray is how far the hand is off the line after a length of stroke, mm.
func (r *trace) stray(travelled float64) float64 {
	return r.wander*noise1(r.stroke.Key, travelled, r.sway) + r.stroke.Turn*(travelled-r.far/2)
}

// ready works out what the brush does across after a length of stroke.
func (r *trace) ready(travelled float64) {
	at, end := r.step(travelled)
	if at == r.at && end == r.end {
		return
	}
	r.blend(at)
	r.end = end
	load := math.Min(1, r.stroke.Load+(float64(at)+0.5)/blendSteps*r.brush.knot/r.far)
	left := float32(1 - r.take*r.press*(1-r.fills*(load-0.5)))
	lines := r.lines[r.first:r.last]
	share, factor := r.share[r.first:r.last], r.factor[r.first:r.last]
	if end < 0 {
		for i, v := range lines {
			factor[i] = 1 - share[i]*(1-left*v)
		}
		return
	}
	rags := r.rags[r.first:r.last]
	for i, v := range lines {
		factor[i] = 1 - share[i]*r.bears(float32(end), rags[i])*(1-left*v)
	}
}

// across works out what stays the same all along the stroke.
func (r *trace) across() {
	step := grain(r.pitch)
	ends := r.touch > 0 || r.leave > 0
	for i := range r.share {
		p := float64(i) * step
		r.share[i] = float32(r.weight(p))
		if ends {
			r.rags[i] = float32(ragged * noise1(r.stroke.Key^0xe4d, p, tuft))
		}
	}
}

// step is the blend a place along the stroke shares with its neighbours and, where the
// brush is coming down or being lifted, how far it has come; else end is -1.
func (r *trace) step(travelled float64) (at int, end float64) {
	end = -1
	if travelled < r.touch*(1+ragged) || r.far-travelled < r.leave*(1+ragged) {
		fine := max(r.touch, r.leave) / endSteps
		end = (math.Floor(travelled/fine) + 0.5) * fine
	}
	return int(travelled / r.brush.knot * blendSteps), end
}

// endSteps is into how many steps an end is cut.
const endSteps = 24

// ragged is by which part of its length an end differs from tuft to tuft, and tuft is
// how wide those are, mm; chosen by eye.
const ragged, tuft = 0.6, 7

// bears is how hard the bristles bear on the wall after a length of stroke, 0..1.
func (r *trace) bears(travelled, rag float32) float32 {
	down := float32(1)
	if r.touch > 0 {
		down = smooth(min(max(travelled/float32(r.touch)+rag, 0), 1))
	}
	if r.leave > 0 {
		down = min(down, smooth(min(max((float32(r.far)-travelled)/float32(r.leave)-rag, 0), 1)))
	}
	return down
}

// blend is the lines at one step: mostly those of one brush, and a part that goes
// over from one brush to another.
func (r *trace) blend(at int) {
	if at == r.at {
		return
	}
	r.at = at
	knot := at / blendSteps
	if knot != r.knot {
		r.knot = knot
		r.knotLines(r.one, knot)
		r.knotLines(r.two, knot+1)
	}
	part := smooth((float32(at%blendSteps) + 0.5) / blendSteps)
	lines, two := r.lines[r.first:r.last], r.two[r.first:r.last]
	for i, v := range r.one[r.first:r.last] {
		lines[i] = v + (two[i]-v)*part
	}
}

// knotLines are the lines of the brush at a knot.
func (r *trace) knotLines(into []float32, knot int) {
	step, pitch, key := grain(r.pitch), float64(r.pitch), r.stroke.Key
	if pitch >= evensOut*r.width {
		for i := range into {
			into[i] = 1
		}
		return
	}
	own, passing := &r.brush.lines[key%brushes], &r.brush.lines[mix(key, uint64(knot))%brushes]
	mirror := key>>32&1 == 1
	for i := range into {
		p := float64(i) * step
		if mirror {
			p = r.width - p
		}
		into[i] = r.keep*float32(own.mean(p, pitch)) + (1-r.keep)*float32(passing.mean(p, pitch))
	}
}

// evensOut is over how many breadths of a brush its lines are taken as their mean.
const evensOut = 2

// upright works an upright stroke row by row.
func (r *trace) upright(t *Tile, i0, i1, j0, j1 int) {
	plane, w := t.plane(r.stroke.Glaze), len(t.X)
	scale := float32(1 / grain(t.Pitch))
	for j := j0; j < j1; j++ {
		travelled := math.Abs(float64(t.Y[j]) - r.begin)
		r.ready(travelled)
		from := r.side + r.stray(travelled)
		lo, hi := between(t.X[i0:i1], from, from+r.width)
		row, x := plane[j*w+i0+lo:j*w+i0+hi], t.X[i0+lo:i0+hi]
		start, factor := float32(from), r.factor
		if r.columns != nil {
			r.heap(row, x, float64(t.Y[j]))
		}
		for i := range row {
			p := max(0, (x[i]-start)*scale)
			k := int(p)
			row[i] *= factor[k] + (factor[k+1]-factor[k])*(p-float32(k))
		}
	}
}

// heap adds the film that is heaped up where upright strokes begin and end. It lies
// in the lines of the brush and reaches unevenly far.
func (r *trace) heap(row, x []float32, y float64) {
	if len(row) == 0 {
		return
	}
	for n := r.columns.number(float64(x[0])); n <= r.columns.number(float64(x[len(x)-1])); n++ {
		below, above, inside := r.columns.toEnds(n, y)
		if !inside || min(below, above) >= 1.5*r.pileOver {
			continue
		}
		left := r.columns.left + float64(n)*columnStep
		far := r.pileOver * (1 + 0.3*noise1(r.stroke.Key^1, left, 17))
		gain := float32(r.pile*ease(below/far) + r.pileStart*ease(above/far))
		if gain == 0 {
			continue
		}
		lo, hi := between(x, left, left+columnStep)
		for i := lo; i < hi && x[i] < float32(left+columnStep); i++ {
			row[i] *= 1 + gain*float32(r.weight(float64(x[i])-r.side))
		}
	}
}

// ease is 1 at 0 and fades to nothing at 1.
func ease(v float64) float64 {
	if v >= 1 {
		return 0
	}
	return (1 - v) * (1 - v) * (1 + 2*v)
}

// level works a level stroke, a few columns at a time that share their lines.
func (r *trace) level(t *Tile, i0, i1, j0, j1 int, from []float32) {
	plane, w := t.plane(r.stroke.Glaze), len(t.X)
	scale, wide := float32(1/grain(t.Pitch)), float32(r.width/grain(t.Pitch))
	// Only entries that some row can meet are worked out, as the brush strays.
	loose := r.wander + math.Abs(r.stroke.Turn)*(r.far/2+r.brush.knot)
	r.first = min(max(int((float64(t.Y[j0])-r.side-loose)/grain(t.Pitch))-1, 0), r.last)
	r.last = max(min(int((float64(t.Y[j1-1])-r.side+loose)/grain(t.Pitch))+3, r.last), r.first)
	for i0 < i1 {
		first := i0
		for ; i0 < i1; i0++ {
			travelled := math.Abs(float64(t.X[i0]) - r.begin)
			if at, end := r.step(travelled); i0 > first && (at != r.at || end != r.end) {
				break
			}
			r.ready(travelled)
			from[i0] = float32(r.side + r.stray(travelled))
		}
		factor := r.factor
		for j := j0; j < j1; j++ {
			y, row := t.Y[j], plane[j*w:(j+1)*w]
			for i := first; i < i0; i++ {
				p := (y - from[i]) * scale
				if p < 0 || p > wide {
					continue
				}
				k := int(p)
				row[i] *= factor[k] + (factor[k+1]-factor[k])*(p-float32(k))
			}
		}
	}
}

// straight is a stroke from one place to another with a tool of a width; stray is
// how far it may wander to a side.
func straight(key uint64, from, to geom.Point, width, stray float64) Stroke {
	s := Stroke{Key: key, From: from, To: to, Width: width}
	s.Reach = around(geom.Segment{A: from, B: to}, 0)
	side := width/2 + stray
	if from.X == to.X {
		s.Reach.Min.X -= side
		s.Reach.Max.X += side
	} else {
		s.Reach.Min.Y -= side
		s.Reach.Max.Y += side
	}
	return s
}
