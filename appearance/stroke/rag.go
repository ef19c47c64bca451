package stroke

import (
	"math"

	"scumble/geom"
)

// roller is a crushed rag on a roller, or rolled by hand: its folds come down one
// after another along the stroke. The rag creeps on its core and is held at a slant,
// so that no turn prints what the one before did.
type roller struct {
	cloth *texture
	split float64 // share of the film that full contact takes at press 1
	fade  float64 // part by which a rag due to be cleaned takes less
	// overlap is the part of each side that shares with the next stroke, mm; there the
	// rag touches less and less.
	overlap float64
	// slant is how much the core is turned from square to the stroke, radians.
	slant float64
	// creep is how far the rag shifts along its core for each mm rolled, in mm.
	creep float64
	// left and right are as far as the core reaches into the corners, mm.
	left, right float64
}

// mark rolls the rag from one end of a stroke to the other.
func (r *roller) mark(t *Tile, s *Stroke, press float64) {
	i0, i1, j0, j1 := t.window(s.Reach)
	if i0 == i1 || j0 == j1 {
		return
	}
	rag := r.cloth.at(t.Pitch)
	words, side, mask := rag.words, int32(rag.side), int32(rag.side-1)
	takes := float32(min(grip(r.split, press)*weight(s, 0.08, r.fade), 1))
	plane := t.plane(s.Glaze)
	w := len(t.X)
	line := r.line(s, rag.texel)
	fade := 1 / float32(r.overlap)
	for j := j0; j < j1; j++ {
		y := t.Y[j] - float32(s.From.Y)
		o0, o1, full0, full1 := line.row(t.X[i0:i1], y, float32(r.overlap))
		row, xs := plane[j*w+i0+o0:j*w+i0+o1], t.X[i0+o0:i0+o1]
		uy, vy := y*line.uy+line.u0, y*line.vy+line.v0
		for i, x := range xs {
			u, v := int32(x*line.ux+uy), int32(x*line.vx+vy)
			word := words[v>>8&mask*side|u>>8&mask]
			touch := takes * blended(word, uint32(u&255), uint32(v&255))
			if i < full0-o0 || i >= full1-o0 {
				touch *= min(line.inside(x, y)*fade, 1)
			}
			row[i] *= 1 - touch
		}
	}
}

// rolledLine is where a stroke lies and which part of the rag comes down there.
type rolledLine struct {
	// sides are how far a place is inside each side: x*across + y*up + off, mm; the
	// first four are those of the stroke, the others those of the wall.
	sides []struct{ across, up, off float32 }
	// u and v count 256 to a value of the rag, for x and for y above the start.
	ux, uy, u0, vx, vy, v0 float32
}

func (r *roller) line(s *Stroke, texel float32) rolledLine {
	var l rolledLine
	dx, dy := s.To.X-s.From.X, s.To.Y-s.From.Y
	long := math.Hypot(dx, dy)
	// along and across the stroke; the ends slant as the core does
	ax, ay := dx/long, dy/long
	cx, cy := -ay, ax
	ax, ay = ax+math.Tan(s.Turn)*cx, ay+math.Tan(s.Turn)*cy
	start := s.From.X
	sides := [][3]float64{{cx, cy, s.Width / 2}, {-cx, -cy, s.Width / 2}, {ax, ay, 0}, {-ax, -ay, long}}
	if s.Reach.Min.X < r.left+r.overlap {
		sides = append(sides, [3]float64{1, 0, start - r.left})
	}
	if s.Reach.Max.X > r.right-r.overlap {
		sides = append(sides, [3]float64{-1, 0, r.right - start})
	}
	for _, side := range sides {
		l.sides = append(l.sides, struct{ across, up, off float32 }{float32(side[0]), float32(side[1]), float32(side[2] - side[0]*start)})
	}
	d := dice{key: s.Key}
	size := 2 * r.cloth.reach()
	u, v, creep := d.in(0, size), d.in(0, size), r.creep*d.in(0.35, 2.3)
	if d.unit() < 0.5 {
		creep = -creep
	}
	scale := 256 / float64(texel)
	l.ux, l.uy = float32(scale*ax), float32(scale*ay)
	l.vx, l.vy = float32(scale*(cx+creep*ax)), float32(scale*(cy+creep*ay))
	l.u0 = float32(scale*(u-ax*start) - 128)
	l.v0 = float32(scale*(v-(cx+creep*ax)*start) - 128)
	return l
}

// inside is how far a place lies inside the nearest side, mm.
func (l *rolledLine) inside(x, y float32) float32 {
	near := float32(math.MaxFloat32)
	for n := range l.sides {
		side := &l.sides[n]
		if d := x*side.across + y*side.up + side.off; d < near {
			near = d
		}
	}
	return near
}

// row is which places of a row lie inside all sides, and which by depth or more.
func (l *rolledLine) row(x []float32, y, depth float32) (from, to, full0, full1 int) {
	lo, hi := float32(math.Inf(-1)), float32(math.Inf(1))
	deepLo, deepHi := lo, hi
	for n := range l.sides {
		side := &l.sides[n]
		off := y*side.up + side.off
		switch {
		case side.across > 1e-6:
			lo, deepLo = max(lo, -off/side.across), max(deepLo, (depth-off)/side.across)
		case side.across < -1e-6:
			hi, deepHi = min(hi, -off/side.across), min(deepHi, (depth-off)/side.across)
		case off <= 0:
			return 0, 0, 0, 0
		case off < depth:
			deepHi = float32(math.Inf(-1))
		}
	}
	from = lowest(x, lo)
	to = max(from, lowest(x, hi))
	full0 = lowest(x, deepLo)
	full1 = max(full0, lowest(x, deepHi))
	return from, to, full0, full1
}

// rolledFrom is a stroke of the roller.
func (r *roller) rolledFrom(tool int, key uint64, from, to geom.Point, width float64) Stroke {
	d := dice{key: mix(key, 0x5107e)}
	s := Stroke{Tool: tool, Key: key, From: from, To: to, Width: width}
	s.Turn = r.slant * d.in(0.6, 1.4)
	if d.unit() < 0.5 {
		s.Turn = -s.Turn
	}
	s.Reach = around(geom.Segment{A: from, B: to}, width/2*(1+math.Tan(math.Abs(s.Turn))))
	return s
}

// astray is by what part of their pitch strokes side by side are out of place, so that
// their overlaps do not stand in step; chosen by eye.
const astray = 0.03

// pass covers a box with strokes side by side in a direction, each as long as long
// or a little longer or shorter; unsteady is how far a hand strays from the direction.
func (r *roller) pass(key uint64, box geom.Bounds, direction, width, long, unsteady float64) []Stroke {
	var strokes []Stroke
	sin, cos := math.Sincos(direction)
	middle := geom.Point{X: (box.Min.X + box.Max.X) / 2, Y: (box.Min.Y + box.Max.Y) / 2}
	broad := (math.Abs(sin)*box.Width() + math.Abs(cos)*box.Height()) / 2
	pitch := width - r.overlap
	lines := int(math.Ceil(2*broad/pitch)) + 1
	for n := range lines {
		own := mix(key, uint64(n))
		off := -broad + (float64(n)+astray*signed(own))*pitch
		// where the line enters and leaves the box, in mm along it from its middle; a
		// slanting one runs on until all its breadth is out
		a, b := crossing(box, middle, cos, sin, off)
		if on := width / 2 * min(math.Abs(sin/cos), math.Abs(cos/sin)); a < b && on > 1 {
			a, b = a-on, b+on
		}
		if a >= b {
			continue
		}
		parts := max(1, int(math.Round((b-a)/long+0.5*signed(mix(own, 1)))))
		step := (b - a) / float64(parts)
		for k := range parts {
			d := dice{key: mix(own, uint64(k)+7)}
			from := a + step*float64(k) - r.overlap/2
			to := a + step*float64(k+1) + r.overlap/2
			mid, halfway := (from+to)/2, (to-from)/2
			s, c := math.Sincos(direction + unsteady*d.signed())
			centre := geom.Point{X: middle.X + mid*cos - off*sin, Y: middle.Y + mid*sin + off*cos}
			p := geom.Point{X: centre.X - halfway*c, Y: centre.Y - halfway*s}
			q := geom.Point{X: centre.X + halfway*c, Y: centre.Y + halfway*s}
			strokes = append(strokes, r.rolledFrom(0, d.next(), p, q, width))
		}
	}
	return strokes
}

// crossing is where a line enters and leaves a box: it runs off to the left of the
// middle by off.
func crossing(box geom.Bounds, middle geom.Point, cos, sin, off float64) (a, b float64) {
	a, b = math.Inf(-1), math.Inf(1)
	for _, side := range []struct{ slope, at, half float64 }{
		{cos, -off * sin, box.Width() / 2}, {sin, off * cos, box.Height() / 2},
	} {
		if math.Abs(side.slope) < 1e-9 {
			if math.Abs(side.at) > side.half {
				return 0, 0
			}
			continue
		}
		p, q := (-side.half-side.at)/side.slope, (side.half-side.at)/side.slope
		a, b = max(a, min(p, q)), min(b, max(p, q))
	}
	return a, b
}

// ragRolling runs a rag roller through wet glaze: level along ceiling line and
// skirting, then upright, then on the diagonal; corners are dabbed with paper.
func ragRolling(p *Panel, f *figures) work {
	switch f.recipe.Variation {
	case "bagging":
		return bagging(p, f)
	case "hand-rag":
		return handRag(p, f)
	}
	r := newRoller(f)
	width, long, corner, cleaned := f.of("tool-width"), f.of("diagonal-length"), f.of("corner-width"), f.of("strokes-per-clean")
	paper := cornerPaper(f)
	if f.err() != nil {
		return work{}
	}
	r.cloth = cloth().sized(f.of("fold-length")/clothFold, f.recipe.Contrast)
	box := p.Region.Bounds()
	r.reachInto(box, corner)
	strokes := r.level(mix(p.Seed, 3), box, width)
	strokes = append(strokes, r.pass(mix(p.Seed, 1), inset(box, width-r.overlap), math.Pi/2, width, math.Inf(1), 0.01)...)
	strokes = append(strokes, r.pass(mix(p.Seed, 2), box, math.Pi/4, width, long, 0.04)...)
	return ragWork(p, f, r, paper, strokes, corner, cleaned)
}

// handRag rolls a rag with the fingertips, to and fro across each other.
func handRag(p *Panel, f *figures) work {
	r := newRoller(f)
	width, long, lean := f.of("rag-length"), f.of("rag-path"), f.of("rag-lean")*math.Pi/180
	corner, cleaned := f.of("corner-width"), f.of("strokes-per-clean")
	paper := cornerPaper(f)
	if f.err() != nil {
		return work{}
	}
	r.cloth = sausage().sized(f.of("fold-length")/clothFold, f.recipe.Contrast)
	box := p.Region.Bounds()
	r.reachInto(box, corner)
	strokes := r.pass(mix(p.Seed, 1), box, math.Pi/2-lean, width, long, 0.12)
	strokes = append(strokes, r.pass(mix(p.Seed, 2), box, math.Pi/2+lean, width, long, 0.12)...)
	return ragWork(p, f, r, paper, strokes, corner, cleaned)
}

// ragCreep is how far the rag shifts along its core for each mm rolled, mm, more or
// less from stroke to stroke, so that no turn falls on one before it; chosen by eye.
const ragCreep = 0.4

func newRoller(f *figures) *roller {
	r := &roller{split: f.of("split"), fade: loadFade, overlap: f.of("overlap"), creep: ragCreep}
	r.slant = f.of("slant") * math.Pi / 180
	f.of("fold-length")
	return r
}

// reachInto sets how far the core comes into the corners of a wall.
func (r *roller) reachInto(box geom.Bounds, corner float64) {
	r.left, r.right = box.Min.X+corner-r.overlap, box.Max.X-corner+r.overlap
}

// cornerPaper is a ball of crumpled paper; it takes less than a rag does.
func cornerPaper(f *figures) *dab {
	texel := f.of("paper-width") / (2 * paperRadius)
	return &dab{prints: sizedAll(paperPrints(), texel, f.recipe.Contrast), split: 0.7 * f.of("split"), fade: loadFade}
}

// ragWork is the work of a rag and of the paper in the corners.
func ragWork(p *Panel, f *figures, r *roller, paper *dab, strokes []Stroke, corner, cleaned float64) work {
	w := work{lay: rolled(p, 0, f.recipe.Laid[0], 0.06), tools: []tool{r, paper}}
	w.strokes = append(strokes, corners(p, 1, corner, paper.prints[0].reach())...)
	p.inOrder(w.strokes)
	soil(w.strokes, cleaned)
	return w
}

// level rolls along the ceiling line and along the skirting.
func (r *roller) level(key uint64, box geom.Bounds, width float64) []Stroke {
	var strokes []Stroke
	for n, y := range []float64{box.Max.Y - width/2 + r.overlap, box.Min.Y + width/2 - r.overlap} {
		own := mix(key, uint64(n))
		strokes = append(strokes, r.rolledFrom(0, own, geom.Point{X: box.Min.X - width, Y: y}, geom.Point{X: box.Max.X + width, Y: y}, width))
	}
	return strokes
}

// inset is a box less a margin at bottom and top, mm; nothing is left of a low one.
func inset(b geom.Bounds, up float64) geom.Bounds {
	up = min(up, b.Height()/2)
	return geom.Bounds{Min: geom.Point{X: b.Min.X, Y: b.Min.Y + up}, Max: geom.Point{X: b.Max.X, Y: b.Max.Y - up}}
}

// corners dabs paper down both ends of a wall, where nothing larger reaches.
func corners(p *Panel, tool int, breadth, reach float64) []Stroke {
	var strokes []Stroke
	box := p.Region.Bounds()
	for n, at := range scatter(box, mix(p.Seed, 0xc0), reach) {
		if min(at.X-box.Min.X, box.Max.X-at.X) < breadth {
			strokes = append(strokes, dabAt(tool, mix(p.Seed+2, uint64(n)), at, reach))
		}
	}
	return strokes
}

// bagging dabs with a bunched plastic bag, turned often.
func bagging(p *Panel, f *figures) work {
	plan := dabbed{
		whole: 0, piece: 1, paper: 1,
		width: f.of("bag-width"), pieceWidth: f.of("paper-width"), pitch: f.of("bag-pitch"),
		cleaned: f.of("strokes-per-clean"), corner: f.of("corner-width"),
	}
	bag := &dab{split: f.of("split"), fade: loadFade}
	paper := cornerPaper(f)
	if f.err() != nil {
		return work{}
	}
	bag.prints = sizedAll(plasticPrints(), plan.width/(2*plasticRadius), f.recipe.Contrast)
	w := work{lay: rolled(p, 0, f.recipe.Laid[0], 0.06), tools: []tool{bag, paper}}
	w.strokes = plan.plan(p, w.tools)
	return w
}
