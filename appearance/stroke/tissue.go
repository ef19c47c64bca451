package stroke

import (
	"math"

	"scumble/geom"
)

// tissue is a torn sheet of crumpled tissue bedded in primer. It raises a relief and
// leaves the glaze alone.
type tissue struct {
	turned
	cut
	height float32 // from valley to ridge, mm
}

// Shapes of a bedded sheet, by eye: how far a tear strays and how soon it feathers
// out, mm, and how much of the folds below shows through a sheet.
const (
	tear        = 16
	feather     = 5
	showThrough = 0.42
	bed         = 0.9 // depth of the primer in parts of the height of the folds
)

func (s *tissue) mark(t *Tile, stroke *Stroke, _ float64) {
	i0, i1, j0, j1 := t.window(stroke.Reach)
	if i0 == i1 {
		return
	}
	scratch := make([]float32, i1-i0)
	level, ground := s.level(t.Pitch), bed*s.height
	for j := j0; j < j1; j++ {
		y := t.Y[j]
		from, to := s.row(t, i0, i1, y)
		if from == to {
			continue
		}
		h := scratch[:to-from]
		s.heights(h, t.X[from:to], y, level)
		u0, v0 := s.local(y)
		inner := s.turned
		inner.long, inner.wide = inner.long-2*tear-feather, inner.wide-2*tear-feather
		in, out := inner.row(t, from, to, y)
		line := t.Relief[j*len(t.X)+from:][:len(h)]
		for k, x := range t.X[from:to] {
			raised := 0.25 * s.height * (4.4*ramp((h[k]+2)/4.4) - 2)
			if k+from >= in && k+from < out {
				line[k] = ground + showThrough*(line[k]-ground) + raised
				continue
			}
			depth := s.depth(s.cos*x+u0, v0-s.sin*x)
			w := ramp((depth - tear*ramp(0.5+0.4*h[k])) / feather)
			// the torn edge stands up in a low bead of fibres
			line[k] += w * (raised + (showThrough-1)*(line[k]-ground) + 0.1*s.height*(1-w))
		}
	}
}

// sponge washes a section in a spiral: it rides on the ridges and reaches less far
// into the valleys.
type sponge struct {
	box    geom.Bounds // the section
	inner  [4]bool     // left, right, lower and upper border lie inside the wall
	seed   uint64
	height float32 // of the relief
	// ridge and valley are the shares taken there at press 1.
	ridge, valley float32
	steep         bool // only the folds keep their glaze
	x, y          float32
	pitch         float32
	trail         []float32 // what one turn of the spiral takes more or less, outward
	logs          []float32 // natural logarithms of 0..1, with a floor near 0
}

const logBins = 512

// washEdge is over how many mm two sections share their border, by eye.
const washEdge = 40

func (s *sponge) mark(t *Tile, stroke *Stroke, press float64) {
	i0, i1, j0, j1 := t.window(stroke.Reach)
	if i0 == i1 {
		return
	}
	scale, ground := 1/(0.85*s.height), bed*s.height
	ridge, valley := float32(press)*s.ridge, float32(press)*s.valley
	for j := j0; j < j1; j++ {
		y := t.Y[j]
		left, right := s.border(0, y), s.border(1, y)
		upright := s.upright(y)
		line, relief := t.First[j*len(t.X):], t.Relief[j*len(t.X):]
		for i := i0; i < i1; i++ {
			x := t.X[i]
			share := upright
			if s.inner[0] && x < left+washEdge/2 {
				share *= ramp((x-left)/washEdge + 0.5)
			}
			if s.inner[1] && x > right-washEdge/2 {
				share *= ramp((right-x)/washEdge + 0.5)
			}
			if share == 0 {
				continue
			}
			z := ramp(0.5 + (relief[i]-ground)*scale)
			if s.steep {
				z = ramp(1.25 * z) // a damp sponge stays on the ridges
				z *= z * (3 - 2*z)
			}
			keep := 1 - (valley+(ridge-valley)*z)*(1+s.trailAt(x-s.x, y-s.y))
			if keep < 0.03 {
				keep = 0.03
			}
			if share < 1 {
				keep = s.partly(keep, share)
			}
			line[i] *= keep
		}
	}
}

// partly is keep to the power of a share, so that two sections together take what one would.
func (s *sponge) partly(keep, share float32) float32 {
	u := keep * (logBins - 1)
	k := min(int(u), logBins-2)
	return float32(math.Exp(float64(share * (s.logs[k] + (s.logs[k+1]-s.logs[k])*(u-float32(k))))))
}

// trailAt is what the turning sponge takes more or less at a place from its start.
func (s *sponge) trailAt(dx, dy float32) float32 {
	r := float32(math.Sqrt(float64(dx*dx + dy*dy)))
	u := (r/s.pitch + angle(dx, dy) + 8) * float32(len(s.trail))
	k := int(u)
	n := len(s.trail)
	a, b := s.trail[k&(n-1)], s.trail[(k+1)&(n-1)]
	return (a + (b-a)*(u-float32(k))) * ramp(r/(2*s.pitch))
}

// angle is the direction of a place in whole turns, -0.5 to 0.5, within 0.001
// (S. Rajan et al., "Efficient Approximations for the Arctangent Function", IEEE
// Signal Processing Magazine 23(3), 2006).
func angle(x, y float32) float32 {
	ax, ay := abs(x), abs(y)
	low, high := ax, ay
	if ax > ay {
		low, high = ay, ax
	}
	q := low / (high + 1e-6)
	a := (math.Pi/4*q + 0.273*q*(1-q)) / (2 * math.Pi)
	if ay > ax {
		a = 0.25 - a
	}
	if x < 0 {
		a = 0.5 - a
	}
	if y < 0 {
		return -a
	}
	return a
}

// border is where the left (0) or right (1) border of the section runs at height y;
// two sections side by side draw the same ragged line.
func (s *sponge) border(which int, y float32) float32 {
	x := s.box.Min.X
	if which == 1 {
		x = s.box.Max.X
	}
	return float32(x + 35*noise1(mix(s.seed, uint64(int64(x))), float64(y), 170))
}

// upright is the part of a row that this section washes, apart from its sides.
func (s *sponge) upright(y float32) float32 {
	w := float32(1)
	if s.inner[2] {
		w *= ramp((y-float32(s.box.Min.Y))/washEdge + 0.5)
	}
	if s.inner[3] {
		w *= ramp((float32(s.box.Max.Y)-y)/washEdge + 0.5)
	}
	return w
}

// tissueRelief beds crumpled tissue, lays glaze over it and washes it off the ridges.
func tissueRelief(p *Panel, f *figures) work {
	height := float32(f.of("ridge-height"))
	film := even(f.recipe.Laid[0])
	w := work{relief: true, lay: func(t *Tile) {
		film(t)
		for k := range t.Relief {
			t.Relief[k] += bed * height
		}
	}}
	box := p.Region.Bounds()
	size, overlap := sheetSize(p.Sheet)
	pitch, turn := f.of("ridge-pitch"), f.of("sheet-turn")*math.Pi/180
	ridge, valley := f.of("ridge-left"), f.of("valley-left")
	if f.recipe.Variation == "brushed-back" {
		ridge, valley = f.of("clean-ridge-left"), f.of("dark-valley-left")
	}
	spiral := float32(f.of("spiral-pitch"))
	if f.err() != nil {
		return w
	}
	for n, r := range layout(box, nil, size, overlap+tear, turn, p.Seed) {
		key := at(p.Seed, n, 0x7155)
		w.add(&tissue{turned: r, cut: newCut(paper(), key, n, float64(r.x), pitch), height: height}, key, &r, 0)
	}
	middle, half := 1-(ridge+valley)/2, (valley-ridge)/2*f.recipe.Contrast
	w.wash(p, sponge{
		seed: p.Seed, height: height, pitch: spiral,
		ridge: float32(middle + half), valley: float32(max(0, middle-half)),
		steep: f.recipe.Variation == "brushed-back", trail: spongeTrail(p.Seed, 0.06),
	})
	return w
}

// even lays an even film, where the tool leaves nothing of the stipple of a roller.
func even(film float64) func(*Tile) {
	return func(t *Tile) {
		for k := range t.First {
			t.First[k] += float32(film)
		}
	}
}

// wash adds a stroke of the sponge for every section.
func (w *work) wash(p *Panel, like sponge) {
	box := p.Region.Bounds()
	sections := p.Sections
	if len(sections) == 0 {
		sections = []geom.Bounds{box}
	}
	like.logs = make([]float32, logBins)
	for k := range like.logs {
		like.logs[k] = float32(math.Log(max(float64(k), 0.5) / (logBins - 1)))
	}
	for n, section := range sections {
		s := like
		key := at(p.Seed, n, 0x5091)
		d := dice{key: key}
		s.box = section
		const near = 1 // mm
		s.inner = [4]bool{section.Min.X > box.Min.X+near, section.Max.X < box.Max.X-near, section.Min.Y > box.Min.Y+near, section.Max.Y < box.Max.Y-near}
		s.x = float32((section.Min.X+section.Max.X)/2 + 90*d.signed())
		s.y = float32((section.Min.Y+section.Max.Y)/2 + 90*d.signed())
		reach := section
		reach.Min.X, reach.Min.Y = reach.Min.X-washEdge-35, reach.Min.Y-washEdge
		reach.Max.X, reach.Max.Y = reach.Max.X+washEdge+35, reach.Max.Y+washEdge
		start := geom.Point{X: float64(s.x), Y: float64(s.y)}
		w.strokes = append(w.strokes, Stroke{Tool: len(w.tools), Key: key, From: start, To: start, Width: float64(s.pitch), Reach: reach})
		w.tools = append(w.tools, &s)
	}
}

// spongeTrail is one turn of a sponge, outward: pores draw lines and its outer edge
// leaves a little more. The mean is 0.
func spongeTrail(seed uint64, strength float64) []float32 {
	const bins = 256
	v := make([]float64, bins)
	for n, lines := range []int{2, 9, 27} {
		d := dice{key: at(seed, n, 0x7a11)}
		knots := make([]float64, lines)
		for k := range knots {
			knots[k] = d.normal() / math.Sqrt(float64(n+1))
		}
		for k := range v {
			u := float64(k) / bins * float64(lines)
			i := int(u)
			v[k] += knots[i] + (knots[(i+1)%lines]-knots[i])*float64(smooth(float32(u-float64(i))))
		}
	}
	trail := standard(v)
	for k := range trail {
		trail[k] *= float32(strength)
	}
	return trail
}
