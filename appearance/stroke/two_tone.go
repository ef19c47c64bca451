package stroke

import (
	"math"
	"slices"
	"sync"

	"scumble/geom"
)

// tones is where the lighter and the darker glaze were laid: the share of the darker
// at places toneCell mm apart, before the two are worked into each other.
type tones struct {
	left, low  float64 // of the first place, mm
	across, up int
	share      []float32
}

const toneCell = 18 // mm

// newTones lays the lighter glaze in arcs and the darker into the gaps, which take up
// the same area. Patch is how large a patch is across, zone how broad the band is in
// which one tone passes into the other, mm.
func newTones(p *Panel, patch, zone float64) *tones {
	box := p.Region.Bounds()
	t := &tones{left: box.Min.X - 2*toneCell, low: box.Min.Y - 2*toneCell}
	t.across, t.up = int(box.Width()/toneCell)+6, int(box.Height()/toneCell)+6
	t.share = make([]float32, t.across*t.up)
	for n, at := range scatter(box, mix(p.Seed, 0xa2c), 0.8*patch) {
		t.arc(mix(p.Seed+3, uint64(n)), at, patch)
	}
	xs := make([]float32, t.across)
	for i := range xs {
		xs[i] = float32(i * toneCell)
	}
	for j := range t.up { // no edge of a patch is smooth
		row := t.share[j*t.across : (j+1)*t.across]
		for octave, wave := range []struct{ size, strength float32 }{{1.3, 0.22}, {0.5, 0.26}, {0.22, 0.24}} {
			addNoise(row, xs, float32(j*toneCell), mix(p.Seed, uint64(0x40+octave)), wave.size*float32(patch), wave.strength)
		}
	}
	t.divide(newEdges(p.Region), zone)
	return t
}

// arc adds one arc of the lighter glaze.
func (t *tones) arc(key uint64, at geom.Point, patch float64) {
	d := dice{key: key}
	half, wide := patch*d.in(0.3, 0.75), patch*d.in(0.18, 0.34)
	sin, cos := math.Sincos(d.in(0, math.Pi))
	bow := half * (0.25 + 0.5*d.unit())
	if d.unit() < 0.5 {
		bow = -bow
	}
	reach := half + 2*wide + math.Abs(bow)
	i0, i1 := max(0, int((at.X-reach-t.left)/toneCell)), min(t.across-1, int((at.X+reach-t.left)/toneCell))
	j0, j1 := max(0, int((at.Y-reach-t.low)/toneCell)), min(t.up-1, int((at.Y+reach-t.low)/toneCell))
	for j := j0; j <= j1; j++ {
		for i := i0; i <= i1; i++ {
			x, y := t.left+float64(i)*toneCell-at.X, t.low+float64(j)*toneCell-at.Y
			s := (x*cos + y*sin) / half
			off := y*cos - x*sin - bow*(1-min(s*s, 1))
			past := max(math.Abs(s)-1, 0) * half
			far := (off*off + past*past) / (wide * wide)
			if far > 6 {
				continue
			}
			laid := float32(math.Exp(-far))
			k := j*t.across + i
			t.share[k] = 1 - (1-t.share[k])*(1-laid)
		}
	}
}

// divide turns what was laid into shares, so that over the region each tone has half.
func (t *tones) divide(e *edges, zone float64) {
	var in []int
	for j := 1; j < t.up-1; j++ {
		for i := 1; i < t.across-1; i++ {
			if e.inside(geom.Point{X: t.left + float64(i)*toneCell, Y: t.low + float64(j)*toneCell}) {
				in = append(in, j*t.across+i)
			}
		}
	}
	if len(in) == 0 {
		return
	}
	var laid []float32 // a sample will do
	for n := 0; n < len(in); n += 1 + len(in)/8000 {
		laid = append(laid, t.share[in[n]])
	}
	slices.Sort(laid)
	middle := laid[len(laid)/2]
	// how steeply it rises where the tones meet
	var steep, met float64
	for _, k := range in {
		if d := t.share[k] - middle; -0.12 < d && d < 0.12 {
			steep += math.Hypot(float64(t.share[k+1]-t.share[k-1]), float64(t.share[k+t.across]-t.share[k-t.across])) / (2 * toneCell)
			met++
		}
	}
	// a logistic step rises from a tenth to nine tenths over 4.4 of its widths
	width := max(steep/max(met, 1)*zone/4.4, 1e-3)
	dark := func(laid float32, level float64) float64 { return 1 / (1 + math.Exp((float64(laid)-level)/width)) }
	lo, hi := -1.0, 2.0
	for range 16 {
		level := (lo + hi) / 2
		var sum, n float64
		for k := 0; k < len(laid); k += 1 + len(laid)/2000 {
			sum += dark(laid[k], level)
			n++
		}
		if sum < n/2 {
			lo = level
		} else {
			hi = level
		}
	}
	for k, laid := range t.share {
		t.share[k] = float32(dark(laid, (lo+hi)/2))
	}
}

// fill writes the shares along a row of places at height y.
func (t *tones) fill(row, x []float32, y float32) {
	v := min(max((float64(y)-t.low)/toneCell, 0), float64(t.up)-1.001)
	j := int(v)
	fv := float32(v - float64(j))
	below, above := t.share[j*t.across:][:t.across], t.share[(j+1)*t.across:][:t.across]
	left, last := float32(t.left), float32(t.across)-1.01
	for k, at := range x {
		u := min(max((at-left)*(1.0/toneCell), 0), last)
		i := int(u)
		fu := u - float32(i)
		a, b := below[i]+(above[i]-below[i])*fv, below[i+1]+(above[i+1]-below[i+1])*fv
		row[k] = a + (b-a)*fu
	}
}

// merger is a sponge that is wiped across the border of two wet tones: it takes up
// the one where it sets down and leaves it on the way.
type merger struct {
	roller
	tones *tones
	// moves is the part of the film under full contact that is of the tone brought along.
	moves float32
}

func (m *merger) mark(t *Tile, s *Stroke, press float64) {
	i0, i1, j0, j1 := t.window(s.Reach)
	if i0 == i1 || j0 == j1 {
		return
	}
	var brought [1]float32
	m.tones.fill(brought[:], []float32{float32(s.From.X)}, float32(s.From.Y))
	face := m.cloth.at(t.Pitch)
	words, side, mask := face.words, int32(face.side), int32(face.side-1)
	takes := float32(min(grip(m.split, press)*weight(s, 0.16, m.fade), 1))
	w := len(t.X)
	line := m.line(s, face.texel)
	fade := 1 / float32(m.overlap)
	perLong := 1 / float32(math.Hypot(s.To.X-s.From.X, s.To.Y-s.From.Y))
	start := line.sides[2]
	for j := j0; j < j1; j++ {
		y := t.Y[j] - float32(s.From.Y)
		from, to, _, _ := line.row(t.X[i0:i1], y, 0)
		at := j*w + i0 + from
		uy, vy := y*line.uy+line.u0, y*line.vy+line.v0
		for k, x := range t.X[i0+from : i0+to] {
			u, v := int32(x*line.ux+uy), int32(x*line.vx+vy)
			touch := blended(words[v>>8&mask*side|u>>8&mask], uint32(u&255), uint32(v&255))
			touch *= min(line.inside(x, y)*fade, 1)
			spent := (x*start.across + y*start.up + start.off) * perLong
			t.First[at+k] *= 1 - takes*touch
			t.Second[at+k] += (brought[0] - t.Second[at+k]) * m.moves * touch * (1 - spent)
		}
	}
}

// wiped is the lace of a sponge drawn straight on, in one direction.
var wiped = sync.OnceValue(func() *texture {
	const side, drawn = spongeSide, 26
	face := lace(0x317ed, side)
	out := make([]float32, side*side)
	var total, squares float64
	for j := range side {
		row := face[j*side : (j+1)*side]
		var sum float32
		for i := range drawn {
			sum += row[i]
		}
		for i := range side {
			out[j*side+i] = sum / drawn
			total, squares = total+float64(sum/drawn), squares+float64(sum/drawn)*float64(sum/drawn)
			sum += row[(i+drawn)%side] - row[i]
		}
	}
	mean := total / (side * side)
	spread := float32(math.Sqrt(squares/(side*side) - mean*mean))
	for k, v := range out { // soft: it touches nearly all over, here more and there less
		out[k] = min(max(0.5+0.3*(v-float32(mean))/spread, 0), 1)
	}
	return newTexture(out, side)
})

// How merging looks, chosen by eye: the part of the film under full contact that is of
// the tone brought along, how much broader a second sponge makes the band between the
// tones, and how much of the prints it leaves.
const (
	toneMoved = 0.95
	softZone  = 1.6
	softPrint = 0.4
)

// twoToneBlend lays two glazes side by side and merges them with diagonal strokes.
// The second plane is the share of the darker glaze in the film.
func twoToneBlend(p *Panel, f *figures) work {
	width, long, lean := f.of("tool-width"), f.of("stroke-length"), f.of("stroke-lean")*math.Pi/180
	patch, zone, contrast, cleaned := f.of("patch"), f.of("blend-zone"), f.recipe.Contrast, f.of("strokes-per-clean")
	m := &merger{moves: toneMoved}
	m.split, m.fade, m.overlap, m.creep = f.of("split"), loadFade, 0.4*width, 0.05
	if f.recipe.Variation == "soft" { // the second sponge blurs the prints of the first
		zone *= softZone
		contrast *= softPrint
	}
	if f.err() != nil {
		return work{}
	}
	box := p.Region.Bounds()
	m.tones = newTones(p, patch, zone)
	m.cloth, m.left, m.right = wiped().sized(width/(2*spongeRadius), contrast), box.Min.X-width, box.Max.X+width
	even := rolled(p, 0, f.recipe.Laid[0], 0.06)
	w := work{tools: []tool{m}, second: true, mixed: true}
	w.lay = func(t *Tile) {
		even(t)
		for j, y := range t.Y {
			m.tones.fill(t.Second[j*len(t.X):(j+1)*len(t.X)], t.X, y)
		}
	}
	for n, at := range scatter(box, mix(p.Seed, 0x3e4), math.Sqrt(width*long/1.7)) {
		w.strokes = append(w.strokes, m.across(mix(p.Seed+4, uint64(n)), at, lean, width, long))
	}
	p.inOrder(w.strokes)
	soil(w.strokes, cleaned)
	return w
}

// across is a stroke over a place, up or down, leaning to one side or the other.
func (m *merger) across(key uint64, at geom.Point, lean, width, long float64) Stroke {
	d := dice{key: key}
	turn := lean + 0.3*d.signed()
	if d.unit() < 0.5 {
		turn = math.Pi - turn
	}
	if d.unit() < 0.5 {
		turn += math.Pi
	}
	sin, cos := math.Sincos(turn)
	half := long / 2 * d.in(0.8, 1.3)
	from, to := geom.Point{X: at.X - half*cos, Y: at.Y - half*sin}, geom.Point{X: at.X + half*cos, Y: at.Y + half*sin}
	return m.rolledFrom(0, d.next(), from, to, width)
}
