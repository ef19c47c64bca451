package stroke

import "math"

// comb is a toothed comb: each tooth cuts a groove and what it ploughs out stands as
// ridges at its sides. It levels whatever it combed before, so only the last pull over
// a place shows.
type comb struct {
	width float64 // mm
	teeth profile
	// side is how far the ridge reaches beyond the last tooth at either end, mm.
	side float64
	// take is the share the comb carries away at press 1.
	take float64
	// tremor is how far the hand shakes across the pull, mm, over a length of shake mm.
	tremor, shake float64
	// wave is how far a waved pull swings to either side, mm, once every waveLength mm.
	wave, waveLength float64
	// over tells that a pull crosses combed glaze and cuts through what stands there.
	over bool
}

// newComb cuts the teeth: pitch is the distance of teeth at the start and at the end
// of the comb, mm; groove and ridge are the film left under and between them; land is
// the part of the pitch that is tooth.
func newComb(key uint64, width, first, last, groove, ridge, contrast float64) *comb {
	c := &comb{width: width, side: 1.5, take: 1}
	n := int(math.Round((width + 2*c.side) / profileStep))
	shares := make([]float64, n)
	for i := range shares {
		shares[i] = 1
	}
	d := dice{key: key}
	land := 0.1 // low ridges hold little, so the teeth are thin
	if full := ridge * ridgeFullness; full > 1 && groove < 1 {
		land = math.Max(land, (full-1)/(full-groove))
	}
	for at := c.side; at < c.side+width; {
		pitch := math.Max(4*profileStep, (first+(last-first)*(at-c.side)/width)*d.in(0.85, 1.15))
		c.cut(shares, at, pitch, land*d.in(0.9, 1.1), groove*d.in(0.6, 1.5))
		at += pitch
	}
	for i := range shares { // the outer ridges fall off to the film beside them
		edge := math.Min(float64(i), float64(n-1-i)) * profileStep
		if edge < c.side {
			shares[i] = 1 + (ridge-1)*smoothly(edge/c.side)
		}
		shares[i] = math.Max(0.02, 1+contrast*(shares[i]-1))
	}
	c.teeth = newProfile(shares, nil)
	return c
}

// ridgeFullness is the mean height of a ridge as a share of its crest, with the round
// shape of cut.
const ridgeFullness = 0.86

// cut makes one groove and the ridge beside it, which holds all that the tooth ploughs out.
func (c *comb) cut(shares []float64, at, pitch, land, groove float64) {
	from, to := max(0, int(at/profileStep)), min(len(shares), int((at+pitch)/profileStep))
	tooth := land * pitch
	var grooves, ridges float64
	for i := from; i < to; i++ {
		p := (float64(i)+0.5)*profileStep - at
		if p < tooth {
			shares[i] = groove
			grooves += groove
			continue
		}
		across := 2*(p-tooth)/(pitch-tooth) - 1 // -1..1 over the ridge
		shares[i] = 1 - 0.42*across*across
		ridges += shares[i]
	}
	for i := from; i < to && ridges > 0; i++ {
		if (float64(i)+0.5)*profileStep-at >= tooth {
			shares[i] *= (float64(to-from) - grooves) / ridges
		}
	}
}

func smoothly(v float64) float64 { return float64(smooth(float32(v))) }

// A groove is about half a mm wide. Places up to a mm apart look at it that sharply, for a
// film averaged over groove and ridge has another mean colour than the two.
const finePitch, groovePitch = 1, 0.5

// mark pulls the comb along a stroke; a stroke of no length swings the comb round its heel.
func (c *comb) mark(t *Tile, s *Stroke, press float64) {
	i0, i1, j0, j1 := t.window(s.Reach)
	if i0 == i1 || j0 == j1 {
		return
	}
	pitch := t.Pitch
	if pitch <= finePitch {
		pitch = min(pitch, groovePitch)
	}
	n := entries(c.teeth.width, pitch)
	room := t.room(n + max(len(t.X), 3*(shakes+2)))
	c.teeth.table(room[:n], pitch)
	left := 1 - c.take*press
	p := pull{comb: c, stroke: s, table: room[:n], left: float32(left), scale: float32(1 / grain(pitch))}
	switch {
	case s.From == s.To:
		p.swing(t, i0, i1, j0, j1, room[n:n+3*(shakes+2)])
	case s.From.X == s.To.X:
		p.upright(t, i0, i1, j0, j1)
	default:
		p.level(t, i0, i1, j0, j1, room[n:n+len(t.X)])
	}
}

// pull is one pull of a comb on a tile.
type pull struct {
	*comb
	stroke      *Stroke
	table       []float32
	left, scale float32
}

// leaves is the share of film left at a place across the comb; hard is how deep it cuts.
func (p *pull) leaves(across, hard float32) float32 {
	v := across * p.scale
	k := int(v)
	z := p.table[k] + (p.table[k+1]-p.table[k])*(v-float32(k))
	return p.left * (1 + hard*(z-1))
}

// hard is how deep the comb cuts in its middle after a length of pull, 0..1, and lean
// how much deeper at its far side: the hand is not even.
func (p *pull) hard(travelled float64) (hard, lean float32) {
	own := unit(mix(p.stroke.Key, 5))
	hard = float32(0.82 + 0.1*own + 0.08*noise1(p.stroke.Key^0x4a2d, travelled, 70))
	return hard, float32(0.22 * noise1(p.stroke.Key^0x1ea0, travelled, 160) / p.teeth.width)
}

// stray is how far the comb is off the line after a length of pull, mm.
func (p *pull) stray(travelled float64) float64 {
	off := 2*p.tremor*noise1(p.stroke.Key^0x9b, travelled, 4*p.shake) + p.tremor*noise1(p.stroke.Key, travelled, p.shake) + 0.4*p.tremor*noise1(p.stroke.Key^0x51, travelled, p.shake/5)
	if p.wave > 0 {
		phase := 0.05 * signed(mix(p.stroke.Key, 3))
		slow := 0.12 * noise1(p.stroke.Key^0x77, travelled, 1.7*p.waveLength)
		off += p.wave * math.Sin(2*math.Pi*(travelled/p.waveLength+phase+slow))
	}
	return off
}

// heap is the glaze that stands where the comb is lifted off, as a share more.
func (p *pull) heap(travelled float64) float32 {
	rest := p.stroke.From.To(p.stroke.To) - travelled
	if rest >= heapLength || p.over {
		return 1
	}
	return float32(1 + 0.5*ease(1-rest/heapLength))
}

// heapLength is how long the heap is where a comb is lifted, mm, by eye.
const heapLength = 5

// upright works an upright pull row by row.
func (p *pull) upright(t *Tile, i0, i1, j0, j1 int) {
	w, s := len(t.X), p.stroke
	wide := p.teeth.width
	lowest, highest := math.Min(s.From.Y, s.To.Y), math.Max(s.From.Y, s.To.Y)
	for j := j0; j < j1; j++ {
		y := float64(t.Y[j])
		if y < lowest || y > highest {
			continue
		}
		travelled := math.Abs(y - s.From.Y)
		from := s.From.X - wide/2 + p.stray(travelled)
		lo, hi := between(t.X[i0:i1], from, from+wide)
		hard, lean := p.hard(travelled)
		heap, start := p.heap(travelled), float32(from)
		hard -= lean * float32(wide) / 2
		last, x := t.last[j*w+i0+lo:j*w+i0+hi], t.X[i0+lo:i0+hi]
		for i := range last {
			u := max(0, x[i]-start)
			v := p.leaves(u, hard+lean*u) * heap
			if p.over {
				v *= last[i]
			}
			last[i] = v
		}
	}
}

// level works a level pull; from is room for one row.
func (p *pull) level(t *Tile, i0, i1, j0, j1 int, from []float32) {
	w, s := len(t.X), p.stroke
	wide := float32(p.teeth.width)
	leftEnd, rightEnd := math.Min(s.From.X, s.To.X), math.Max(s.From.X, s.To.X)
	for i := i0; i < i1; i++ {
		x := float64(t.X[i])
		from[i] = float32(math.Inf(1))
		if x < leftEnd || x > rightEnd {
			continue
		}
		travelled := math.Abs(x - s.From.X)
		start := float32(s.From.Y - p.teeth.width/2 + p.stray(travelled))
		hard, lean := p.hard(travelled)
		heap := p.heap(travelled)
		hard -= lean * wide / 2
		for j := j0; j < j1; j++ {
			u := t.Y[j] - start
			if u < 0 || u > wide {
				continue
			}
			v := p.leaves(u, hard+lean*u) * heap
			if p.over {
				v *= t.last[j*w+i]
			}
			t.last[j*w+i] = v
		}
	}
}

// below is how far under its heel the comb is swung, and underHeel how far to either
// side there, as parts of its width: so far that no glaze stays smooth between arcs.
const below, underHeel = 0.45, 0.65

// heel is how far round the heel the teeth do not bite, mm, by eye: there they turn on
// the spot.
const heel = 14

// shakes is into how many stretches a swing is cut to look up how the hand shakes.
const shakes = 128

// combEven is the pitch of places from which on a comb is taken to leave its mean, mm.
const combEven = 100

// swing turns the comb round its heel: its teeth cut arcs round one place. How the
// hand shakes is looked up by the part of a turn, told as dx/(|dx|+|dy|).
func (p *pull) swing(t *Tile, i0, i1, j0, j1 int, hand []float32) {
	w, s := len(t.X), p.stroke
	radius := s.Width / 2
	hand, hard, lean := hand[:shakes+2], hand[shakes+2:2*shakes+4], hand[2*shakes+4:]
	for k := range hand {
		if t.Pitch >= combEven { // neither teeth nor hand can be seen
			hand[k], hard[k], lean[k] = 1, 0, 0
			continue
		}
		travelled := math.Pi * radius * float64(k) / shakes
		hand[k] = float32(1 + (p.width-radius+p.stray(travelled))/radius)
		hard[k], lean[k] = p.hard(travelled)
		hard[k] -= lean[k] * float32(p.teeth.width) / 2
	}
	wide, reach := float32(p.teeth.width), float32(radius+p.side+4*p.tremor)
	cx, cy, start := float32(s.From.X), float32(s.From.Y), float32(p.side)
	for j := j0; j < j1; j++ {
		dy := t.Y[j] - cy
		half := reach*reach - dy*dy
		if half <= 0 {
			continue
		}
		half = sqrt(half)
		if dy < 0 {
			half = min(half, underHeel*float32(radius))
		}
		lo, hi := between(t.X[i0:i1], float64(cx-half), float64(cx+half))
		last, x := t.last[j*w+i0+lo:j*w+i0+hi], t.X[i0+lo:i0+hi]
		up := max(dy, -dy)
		for i := range last {
			dx := x[i] - cx
			turn := (1 + dx/(max(dx, -dx)+up+0.001)) * (shakes / 2)
			k := int(turn)
			r := sqrt(dx*dx + dy*dy)
			u := start + r*(hand[k]+(hand[k+1]-hand[k])*(turn-float32(k)))
			if u <= wide {
				last[i] = p.leaves(u, min(1, r/heel)*(hard[k]+lean[k]*u))
			}
		}
	}
}

func sqrt(v float32) float32 { return float32(math.Sqrt(float64(v))) }
