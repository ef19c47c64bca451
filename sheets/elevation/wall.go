package elevation

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"scumble/draw"
	"scumble/geom"
	"scumble/sheets/drafting"
	"scumble/sheets/pattern"
	"scumble/survey"
	"scumble/unit"
)

// Options say how a wall is drawn.
type Options struct {
	W, H     float64 // the room the drawing may take, in mm
	Imperial bool    // feet and inches beside the overall length
	Plain    bool    // no finish: outline, marks and dimensions only
	Reach    survey.Reaches
}

// scales are those a rule is made for; the last two only keep a huge wall on paper.
var scales = []float64{10, 20, 25, 50, 100, 200, 500}

// Wall draws a wall to the largest of the scales 1:10, 20, 25, 50 and 100 at which
// it fits the room, with its finish, openings, strips, marks and dimensions.
// Lengths on it are in mm.
func Wall(f *draw.Fonts, v View, o Options) Drawing {
	var d Drawing
	for _, scale := range scales {
		e := newElevation(f, v, o, scale)
		d = e.draw()
		if d.W <= o.W && d.H <= o.H {
			break
		}
	}
	return d
}

// elevation is one wall being drawn at one scale.
type elevation struct {
	canvas
	view    View
	options Options
	scale   float64
	whole   geom.Region // the wall without its openings
	letters []lettered  // openings too small for their words
	words   []draw.Box  // where words on the wall stand
	notes   []string

	length, height   float64 // of the wall, mm of wall
	left, right, top float64 // margins around the wall, mm of paper
	leftYs, rightYs  []float64
	peak             float64 // greatest height where neither end has it, else 0
	unmarked         int
}

// lettered is an opening that carries a letter instead of its words.
type lettered struct{ letter, words string }

const (
	chainStep = 6.2 // between rows of dimensions, mm
	edgeRoom  = 2.0 // beyond everything
)

func newElevation(f *draw.Fonts, v View, o Options, scale float64) *elevation {
	e := &elevation{view: v, options: o, scale: scale, canvas: canvas{fonts: f, Place: pattern.Place{S: 1 / scale}}}
	b := v.Wall.Outline.Bounds()
	e.length, e.height = float64(v.Wall.Length), b.Max.Y
	e.whole = v.Wall.Outline.Region()
	for i := range v.Wall.Openings {
		if rest, err := geom.Subtract(e.whole, v.Wall.Openings[i].Outline.Region()); err == nil {
			e.whole = rest
		}
	}
	e.leftYs = e.heights(b.Min.X+inset(e.lean(true)), true)
	e.rightYs = e.heights(b.Max.X-inset(e.lean(false)), false)
	if slices.EqualFunc(e.leftYs, e.rightYs, same) {
		e.rightYs = nil
	}
	if top := max(last(e.leftYs), last(e.rightYs)); e.height > top+0.5 {
		e.peak = e.height
	}
	foldL, foldR := e.folds()
	e.left, e.right = edgeRoom+foldL*e.S, edgeRoom+foldR*e.S
	if foldL > 0 {
		e.left += 1
	}
	if foldR > 0 {
		e.right += 1
	}
	if e.lean(true) != 0 {
		e.left += 4.5
	}
	if e.lean(false) != 0 {
		e.right += 4.5
	}
	e.left += chainStep
	if e.peak > 0 {
		e.left += chainStep
	}
	if len(e.rightYs) > 0 {
		e.right += chainStep + 1
	}
	words := 0.0 // the longest sentence beneath the drawing
	for _, note := range v.Notes() {
		words = max(words, f.Width(note, drafting.Note()))
	}
	e.right = max(e.right, 7, min(words+1, o.W)-e.left-e.length*e.S)
	e.top = edgeRoom + 3.4*float64(len(e.captions()))
	return e
}

// inset is how far inside a corner the wall is measured, so that a lean does not
// cut it short.
func inset(lean float64) float64 {
	if lean == 0 {
		return 0
	}
	return math.Abs(lean) + oneMark
}

func last(ys []float64) float64 {
	if len(ys) == 0 {
		return 0
	}
	return ys[len(ys)-1]
}

// heights are the heights to dimension at one end of the wall: the floor, where
// the wall begins and ends there, and on the left the rail.
func (e *elevation) heights(x float64, rail bool) []float64 {
	ys := []float64{0}
	for _, span := range e.view.Wall.Outline.Region().SpanAt(x) {
		ys = append(ys, span[0], span[1])
	}
	if d := float64(e.view.Wall.Dado); rail && d > 0 {
		ys = append(ys, d)
	}
	slices.Sort(ys)
	return slices.CompactFunc(ys, same)
}

// oneMark is the distance in mm of wall below which two places are one to a tape.
const oneMark = 0.5

func same(a, b float64) bool { return math.Abs(a-b) < oneMark }

// folds are the widths to which the end strips go on beyond the corners.
func (e *elevation) folds() (left, right float64) {
	for _, f := range e.view.Fields {
		if f.Strips != nil {
			left, right = max(left, float64(f.Strips.FoldLeft)), max(right, float64(f.Strips.FoldRight))
		}
	}
	return left, right
}

func (e *elevation) lean(left bool) float64 {
	if left {
		return float64(e.view.Wall.LeanLeft)
	}
	return float64(e.view.Wall.LeanRight)
}

// caption is a line of words above one end of the wall.
type caption struct {
	text  string
	align draw.Align
}

// captions are the lines above the wall: two captions share a line if it is long
// enough.
func (e *elevation) captions() [][]caption {
	var line []caption
	left, right := e.folds()
	if left > 0 {
		line = append(line, caption{"folds from " + lastPart(e.view.Wall.Previous) + ", " + unit.Length(left).MM(), draw.Left})
	}
	if right > 0 {
		line = append(line, caption{"folds to " + lastPart(e.view.Wall.Next) + ", " + unit.Length(right).MM(), draw.Right})
	}
	switch {
	case len(line) == 0:
		return nil
	case len(line) == 2 && e.fonts.Width(line[0].text, drafting.Letters())+e.fonts.Width(line[1].text, drafting.Letters())+4 > e.length*e.S:
		return [][]caption{line[:1], line[1:]}
	}
	return [][]caption{line}
}

// draw puts the drawing together from the finish up to the figures.
func (e *elevation) draw() Drawing {
	e.X, e.Y = e.left, e.top+e.height*e.S
	w := e.left + e.length*e.S + e.right
	e.ground()
	for i := range e.view.Fields {
		e.setOut(&e.view.Fields[i])
	}
	e.undecorated()
	e.openings()
	e.edges(w)
	e.corners()
	for i := range e.view.Fields {
		e.stripLetters(&e.view.Fields[i])
		e.reach(e.view.Fields[i].Face)
		e.numbers(&e.view.Fields[i])
	}
	e.uprights()
	y := e.levels(e.Y)
	h := e.foot(y, w)
	for _, l := range e.letters {
		e.notes = append(e.notes, l.letter+"  "+l.words)
	}
	return Drawing{W: w, H: h, Scale: e.scale, Items: e.items, Notes: e.notes, Unmarked: e.unmarked, Origin: draw.Pt(e.X, e.Y)}
}

// ground fills the wall and lays the finishes on it.
func (e *elevation) ground() {
	e.add(e.Polygon(e.view.Wall.Outline).Filled(drafting.Paper))
	if !e.options.Plain {
		e.wear(e.view, e.height, 700)
	}
	for _, f := range e.view.Fields {
		e.add(e.Polygon(f.Face.Gross).Stroked(drafting.Fine()))
	}
	if d := float64(e.view.Wall.Dado); d > 0 {
		for _, y := range []float64{d, d - float64(e.view.Wall.DadoRail)} {
			e.lineWithin(e.whole, geom.Point{Y: y}, geom.Point{X: e.length, Y: y}, drafting.Fine())
		}
	}
}

// undecorated says so below a rail where nothing is painted.
func (e *elevation) undecorated() {
	low := float64(e.view.Wall.Dado - e.view.Wall.DadoRail)
	for _, f := range e.view.Fields {
		if f.Face.Gross.Bounds().Min.Y < low-oneMark {
			return
		}
	}
	s := drafting.Letters().Coloured(drafting.Grey)
	if low*e.S > 6 && len(e.view.Fields) > 0 {
		at := e.At(e.length/2, low/2)
		e.add(draw.Label(at.X, at.Y+s.CapHeight()/2, "not decorated", s, draw.Centre))
	}
}

// edges are the outline of the wall and the floor it stands on.
func (e *elevation) edges(w float64) {
	e.add(e.Polygon(e.view.Wall.Outline).Stroked(drafting.Edge()),
		draw.Line(0, e.Y, w, e.Y, drafting.Floor()))
}

// openings draws each opening with its words inside, or with a letter.
func (e *elevation) openings() {
	for i := range e.view.Wall.Openings {
		o := &e.view.Wall.Openings[i]
		lines := e.openingWords(o)
		b := o.Outline.Bounds()
		mid := e.At((b.Min.X+b.Max.X)/2, (b.Min.Y+b.Max.Y)/2)
		s := drafting.Letters()
		wide := 0.0
		for n, l := range lines {
			if n == 0 {
				wide = e.fonts.Width(l, s.InBold())
			}
			wide = max(wide, e.fonts.Width(l, s))
		}
		high := float64(len(lines)) * s.LineHeight()
		room, clear := b.Width()*e.S-2, b.Height()*e.S-2
		if o.Shape == "round" {
			room, clear = room*0.8, clear*0.62
		}
		if wide > room || high > clear {
			letter := string(rune('a' + len(e.letters)))
			e.letters = append(e.letters, lettered{letter, strings.Join(lines, ", ")})
			lines, high = []string{letter}, s.LineHeight()
		}
		e.opening(o, drafting.Edge(), false)
		base := mid.Y - high/2 + (s.LineHeight()+s.CapHeight())/2
		for n, l := range lines {
			style := s
			if n == 0 {
				style = s.InBold()
			}
			e.add(draw.Label(mid.X, base+float64(n)*s.LineHeight(), l, style, draw.Centre))
		}
	}
}

// openingWords say what an opening is and its measures in mm.
func (e *elevation) openingWords(o *survey.Opening) []string {
	wide := (o.Right - o.Left).MM()
	size := wide + " × " + (o.Head - o.Sill).MM()
	if o.Shape == "round" {
		size = "diameter " + wide
	}
	name := o.Name
	if name == "" {
		name = o.Kind
	}
	lines := []string{name, size}
	if o.Sill > 0 {
		lines = append(lines, "sill "+o.Sill.MM(), "head "+o.Head.MM())
	}
	if o.Reveal > 0 {
		lines = append(lines, "reveal "+o.Reveal.MM())
	}
	return lines
}

// corners shows folds and leaning corners at both ends.
func (e *elevation) corners() {
	for n, line := range e.captions() {
		for _, c := range line {
			x := e.X
			if c.align == draw.Right {
				x = e.X + e.length*e.S
			}
			e.add(draw.Label(x, edgeRoom+2.4+3.4*float64(n), c.text, drafting.Letters().Coloured(drafting.Grey), c.align))
		}
	}
	left, right := e.folds()
	e.fold(0, -left, e.leftYs)
	ys := e.rightYs
	if len(ys) == 0 {
		ys = e.leftYs
	}
	e.fold(e.length, e.length+right, ys)
	e.leaning(0, e.lean(true), e.leftYs, -1)
	e.leaning(e.length, e.lean(false), ys, 1)
}

// fold draws the part of an end strip that lies on the neighbouring wall.
func (e *elevation) fold(corner, end float64, ys []float64) {
	if corner == end || len(ys) == 0 {
		return
	}
	grey := drafting.Faint().Dashed(1.8, 0.8)
	a, b := e.At(end, 0), e.At(end, last(ys))
	c := e.At(corner, last(ys))
	e.add(draw.Polyline([]draw.Point{a, b, c}, grey))
}

// leaning draws a corner out of plumb, far more than it leans, with its figure. A
// lean above zero goes into this wall.
func (e *elevation) leaning(corner, lean float64, ys []float64, side float64) {
	if lean == 0 || len(ys) < 2 {
		return
	}
	high := last(ys)
	foot, head := e.At(corner, ys[len(ys)-2]), e.At(corner, high)
	if ys[len(ys)-2] > high/2 { // a rail, not the foot of the corner
		foot = e.At(corner, ys[0])
	}
	shift := math.Copysign(2.2, lean) * -side
	e.add(draw.Line(foot.X, foot.Y, head.X+shift, head.Y, draw.Ink(0.9, draw.White.WithAlpha(0.7))),
		draw.Line(foot.X, foot.Y, head.X+shift, head.Y, drafting.Plumb()))
	way := "in"
	if lean < 0 {
		way = "out"
	}
	text := fmt.Sprintf("leans %s %s, not to scale", way, unit.Length(math.Abs(lean)).MM())
	left, right := e.folds()
	x := head.X + side*(1.2+max(0, shift*side))
	if side > 0 {
		x = max(x, head.X+right*e.S+1) + drafting.Letters().CapHeight()
	} else {
		x = min(x, head.X-left*e.S-1)
	}
	e.add(draw.Text{At: draw.Pt(x, (foot.Y+head.Y)/2), Text: text, Style: drafting.Letters().Coloured(drafting.Blue), Align: draw.Centre, Rotate: -90})
}

// uprights draws the chains of heights at both ends.
func (e *elevation) uprights() {
	left, right := e.folds()
	x := e.X - left*e.S - 4.2
	if e.lean(true) != 0 {
		x -= 4.5
	}
	e.upright(e.leftYs, x, e.X-left*e.S)
	if e.peak > 0 {
		x -= chainStep
		e.upright([]float64{0, e.peak}, x, e.At(e.peakX(), 0).X)
	}
	x = e.X + e.length*e.S + right*e.S + 5.8
	if e.lean(false) != 0 {
		x += 4.5
	}
	e.upright(e.rightYs, x, e.X+e.length*e.S+right*e.S)
}

func (e *elevation) upright(ys []float64, x, from float64) {
	if len(ys) < 2 {
		return
	}
	var places []float64
	var figures []string
	for i, y := range ys {
		places = append(places, e.Y-y*e.S)
		if y > 0 {
			e.add(drafting.Extension(from, e.Y-y*e.S, x, e.Y-y*e.S))
		}
		if i > 0 {
			figures = append(figures, unit.Length(y-ys[i-1]).MM())
		}
	}
	e.add(drafting.UprightChain(e.fonts, places, x, figures)...)
}

func (e *elevation) peakX() float64 {
	for _, p := range e.view.Wall.Outline {
		if p.Y > e.height-0.5 {
			return p.X
		}
	}
	return 0
}

// levels draws the chains of lengths beneath the floor: openings, breaks of the
// outline, and the marks or the overall length. It returns the y it came to.
func (e *elevation) levels(y float64) float64 {
	var places []float64
	for i := range e.view.Wall.Openings {
		o := &e.view.Wall.Openings[i]
		places = append(places, float64(o.Left), float64(o.Right))
	}
	y = e.level(places, y)
	places = nil
	for _, p := range e.view.Wall.Outline {
		if p.X > math.Abs(e.lean(true))+oneMark && p.X < e.length-math.Abs(e.lean(false))-oneMark {
			places = append(places, p.X)
		}
	}
	y = e.level(places, y)
	marked := false
	for i := range e.view.Fields {
		if s := e.view.Fields[i].Strips; s != nil && !marked {
			y, marked = e.marks(&e.view.Fields[i], y), true
		}
	}
	if marked {
		return y
	}
	y += chainStep
	x := e.X + e.length*e.S
	e.add(drafting.Extension(e.X, y-chainStep+1, e.X, y), drafting.Extension(x, y-chainStep+1, x, y))
	text := drafting.Length(unit.Length(e.length), e.options.Imperial)
	e.add(drafting.LevelDimension(e.fonts, e.X, x, y, text)...)
	if e.fonts.Width(text, drafting.Letters())+1.2 > e.length*e.S {
		y += 3
	}
	return y
}

// level draws one chain through places along the wall, which need not be in order.
func (e *elevation) level(places []float64, y float64) float64 {
	if len(places) == 0 {
		return y
	}
	places = append(places, 0, e.length)
	slices.Sort(places)
	places = slices.CompactFunc(places, same)
	var xs []float64
	var figures []string
	below := false
	for i, p := range places {
		xs = append(xs, e.X+p*e.S)
		if i > 0 {
			figures = append(figures, unit.Length(p-places[i-1]).MM())
			below = below || e.fonts.Width(figures[i-1], drafting.Letters())+1.2 > xs[i]-xs[i-1]
		}
	}
	y += chainStep
	for _, x := range xs {
		e.add(drafting.Extension(x, y-chainStep+0.6, x, y))
	}
	e.add(drafting.LevelChain(e.fonts, xs, y, figures)...)
	if below {
		y += 2.6
	}
	return y
}

// foot sets the scale with a bar one metre long (or half) beneath all, and says
// what the finish is. The words go beneath the bar where they are too long for it.
func (e *elevation) foot(y, w float64) float64 {
	s := drafting.Note()
	bar, name := 1000.0, "1 m"
	if e.scale <= 10 {
		bar, name = 500, "500 mm"
	}
	y += 6
	x, long := e.X, bar*e.S
	words := []string{"scale 1:" + unit.Figure(e.scale, 0) + ", lengths in mm"}
	if !e.options.Plain {
		words = append(words, e.view.Notes()...)
	}
	line := func(text string) float64 { return min(x, max(0, w-e.fonts.Width(text, s))) }
	at := line(words[0])
	if x+long+1.5+e.fonts.Width(name, s) <= w {
		e.add(draw.Rect(x, y-1.5, long, 1.2).Filled(drafting.Paper).Stroked(drafting.Fine()),
			draw.Rect(x, y-1.5, long/2, 1.2).Filled(drafting.Ink),
			draw.Label(x+long+1.5, y, name, s, draw.Left))
		at = x + long + e.fonts.Width(name, s) + 5
	}
	for _, text := range words {
		if at+e.fonts.Width(text, s) > w && at > line(text) {
			at = line(text)
			y += s.LineHeight()
		}
		e.add(draw.Label(at, y, text, s, draw.Left))
		at += e.fonts.Width(text, s) + 4
	}
	return y + 1.5
}
