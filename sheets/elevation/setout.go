package elevation

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"scumble/draw"
	"scumble/geom"
	"scumble/setout"
	"scumble/sheets/drafting"
	"scumble/survey"
	"scumble/unit"
)

// setOut draws what is set out on a field: joints, or else sections, rows and the
// paper.
func (e *elevation) setOut(f *Field) {
	if f.Strips != nil {
		for _, m := range f.Strips.Marks {
			foot, head := m.Joint(unit.Length(e.height))
			e.lineWithin(f.Face.Field, foot, head, halo(0.9), drafting.Chalk())
		}
		return
	}
	if f.SetOut == nil {
		return
	}
	if f.SetOut.Sheets != nil {
		e.sheet(f)
	}
	if len(f.SetOut.Rows) > 0 {
		e.rows(f)
	} else {
		e.sections(f)
	}
}

// sections draws the joints between working sections.
func (e *elevation) sections(f *Field) {
	sections := f.SetOut.Sections
	if len(sections) < 2 {
		return
	}
	b := f.Face.Field.Bounds()
	line := draw.Ink(0.2, drafting.Ink).Dashed(0.9, 0.9)
	for _, s := range sections {
		x, y := float64(s.X1), float64(s.Y1)
		if x < b.Max.X-1 {
			e.lineWithin(f.Face.Field, geom.Point{X: x, Y: float64(s.Y0)}, geom.Point{X: x, Y: y}, halo(0.6), line)
		}
		if y < b.Max.Y-1 {
			e.lineWithin(f.Face.Field, geom.Point{X: float64(s.X0), Y: y}, geom.Point{X: x, Y: y}, halo(0.6), line)
		}
	}
}

// numbers sets the number of each section where it stands clear, over all lines.
func (e *elevation) numbers(f *Field) {
	if f.Strips != nil || f.SetOut == nil || len(f.SetOut.Rows) > 0 || len(f.SetOut.Sections) < 2 {
		return
	}
	var bare []string
	for _, s := range f.SetOut.Sections {
		at, ok := e.clearSpot(f, s)
		style := drafting.Letters().Sized(8.5).InBold()
		text := fmt.Sprint(s.Number)
		if !ok || float64(s.X1-s.X0)*e.S < e.fonts.Width(text, style)+1.5 {
			bare = append(bare, text)
			continue
		}
		e.add(draw.Text{At: draw.Pt(at.X, at.Y+style.CapHeight()/2), Text: text, Style: style, Align: draw.Centre, Halo: 0.9})
	}
	if len(bare) > 0 {
		e.notes = append(e.notes, "Too small to carry its number: section "+strings.Join(bare, ", ")+".")
	}
}

// onWords tells whether a number at a point would touch words of the reach.
func (e *elevation) onWords(p draw.Point) bool {
	const halfWide, halfHigh = 2.5, 2
	return slices.ContainsFunc(e.words, func(b draw.Box) bool {
		return p.X > b.X-halfWide && p.X < b.X+b.W+halfWide && p.Y > b.Y-halfHigh && p.Y < b.Y+b.H+halfHigh
	})
}

// clearSpot finds a place in a section that no opening or slope takes away.
func (e *elevation) clearSpot(f *Field, s setout.Section) (draw.Point, bool) {
	box := geom.Rect(float64(s.X0), float64(s.Y0), float64(s.X1-s.X0), float64(s.Y1-s.Y0))
	if box == nil {
		return draw.Point{}, false
	}
	part, err := geom.ClipConvex(f.Face.Field, box)
	if err != nil {
		return draw.Point{}, false
	}
	shares := []float64{0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9}
	var places []geom.Point
	for _, across := range shares {
		for _, up := range shares {
			places = append(places, geom.Point{X: box[0].X + across*(box[1].X-box[0].X), Y: box[0].Y + up*(box[3].Y-box[0].Y)})
		}
	}
	for _, strict := range []bool{true, false} {
		for _, p := range places {
			if e.roomAt(part, p) && !e.onWords(e.At(p.X, p.Y)) && (!strict || !e.onReachLine(p.Y)) {
				return e.At(p.X, p.Y), true
			}
		}
	}
	return draw.Point{}, false
}

// onReachLine reports whether a figure at this height would touch a dotted line or
// its words.
func (e *elevation) onReachLine(y float64) bool {
	for _, line := range []unit.Length{e.options.Reach.Floor, e.options.Reach.Steps, e.options.Reach.Platform} {
		if off := (y - float64(line)) * e.S; off > -3 && off < 6.5 {
			return true
		}
	}
	return false
}

// roomAt reports whether a small figure fits about a place in a region.
func (e *elevation) roomAt(r geom.Region, p geom.Point) bool {
	dx, dy := 2/e.S, 1.8/e.S
	return r.Contains(geom.Point{X: p.X - dx, Y: p.Y - dy}) && r.Contains(geom.Point{X: p.X + dx, Y: p.Y - dy}) &&
		r.Contains(geom.Point{X: p.X - dx, Y: p.Y + dy}) && r.Contains(geom.Point{X: p.X + dx, Y: p.Y + dy})
}

// rows draws the lines between combed rows.
func (e *elevation) rows(f *Field) {
	b := f.Face.Field.Bounds()
	for _, r := range f.SetOut.Rows {
		if y := float64(r.Y0); y > b.Min.Y+1 {
			e.lineWithin(f.Face.Field, geom.Point{X: b.Min.X, Y: y}, geom.Point{X: b.Max.X, Y: y}, draw.Ink(drafting.FineWidth, drafting.Ink))
		}
	}
}

// sheet shows one paper at its true size; the papers themselves go on at random,
// so no grid of them is drawn.
func (e *elevation) sheet(f *Field) {
	sheets := f.SetOut.Sheets
	w, h := float64(sheets.Width), float64(sheets.Height)
	words := fmt.Sprintf("one paper %s × %s, laid at random", sheets.Width.MM(), sheets.Height.MM())
	b := f.Face.Field.Bounds()
	if w <= 0 || h <= 0 {
		return
	}
	for _, at := range []geom.Point{{X: 0.12, Y: 0.5}, {X: 0.6, Y: 0.5}, {X: 0.35, Y: 0.2}, {X: 0.12, Y: 0.1}, {X: 0.6, Y: 0.1}} {
		x, y := b.Min.X+at.X*b.Width(), b.Min.Y+at.Y*b.Height()
		sin, cos := math.Sincos(6 * math.Pi / 180)
		turned := geom.Polygon{}
		for _, p := range geom.Rect(0, 0, w, h) {
			turned = append(turned, geom.Point{X: x + p.X*cos - p.Y*sin, Y: y + p.X*sin + p.Y*cos})
		}
		inside := true
		for _, p := range turned {
			inside = inside && f.Face.Field.Contains(p)
		}
		for _, line := range []unit.Length{e.options.Reach.Floor, e.options.Reach.Steps, e.options.Reach.Platform} {
			inside = inside && (turned.Bounds().Max.Y < float64(line) || turned.Bounds().Min.Y > float64(line)+5/e.S)
		}
		for i := range e.view.Wall.Openings {
			inside = inside && !geom.Overlap(turned, e.view.Wall.Openings[i].Outline)
		}
		if inside {
			e.add(e.Polygon(turned).Stroked(halo(0.9)), e.Polygon(turned).Stroked(drafting.Chalk()))
			e.notes = append(e.notes, "Dashed and turned: "+words+".")
			return
		}
	}
}

// stripLetters sets A or B in a circle at the head of every strip that has room.
func (e *elevation) stripLetters(f *Field) {
	if f.Strips == nil {
		return
	}
	const r = 2.0
	style := drafting.Letters().InBold()
	for _, s := range f.Strips.Strips {
		mid := float64(s.Head[0]+s.Head[1]) / 2
		if float64(s.Head[1]-s.Head[0])*e.S < 2*r+0.4 {
			continue
		}
		spans := f.Face.Field.SpanAt(mid)
		if len(spans) == 0 {
			continue
		}
		top := spans[len(spans)-1]
		if (top[1]-top[0])*e.S < 2*r+2 {
			continue
		}
		at := e.At(mid, top[1])
		at.Y += r + 1.6
		e.add(draw.Circle(at.X, at.Y, r).Filled(drafting.Paper).Stroked(drafting.Fine()),
			draw.Label(at.X, at.Y+style.CapHeight()/2, s.Colour, style, draw.Centre))
	}
}

// reach draws the heights above which one needs another stand.
func (e *elevation) reach(face *survey.Face) {
	needs := map[string]bool{}
	for _, r := range face.Reach {
		needs[r.From] = r.Area > 0
	}
	b := face.Field.Bounds()
	for _, l := range []struct {
		stand string
		from  unit.Length
	}{{"steps", e.options.Reach.Floor}, {"platform", e.options.Reach.Steps}, {"scaffold", e.options.Reach.Platform}} {
		y := float64(l.from)
		if !needs[l.stand] || y <= b.Min.Y || y >= b.Max.Y {
			continue
		}
		pieces := (geom.Segment{A: geom.Point{X: b.Min.X, Y: y}, B: geom.Point{X: b.Max.X, Y: y}}).Within(face.Field)
		text := l.stand + " above " + l.from.MM()
		style := drafting.Letters()
		for _, p := range pieces {
			from, to := e.At(p.A.X, y), e.At(p.B.X, y)
			e.add(draw.Line(from.X, from.Y, to.X, to.Y, halo(0.9)), draw.Line(from.X, from.Y, to.X, to.Y, drafting.Doubt(drafting.Ink)))
		}
		at, ok := e.beside(face.Field, pieces, e.fonts.Width(text, style)/e.S)
		if ok {
			e.words = append(e.words, draw.Box{X: at.X, Y: at.Y - style.CapHeight(), W: e.fonts.Width(text, style), H: style.CapHeight()})
			e.add(draw.Text{At: at, Text: text, Style: style, Halo: 1})
		} else if len(pieces) > 0 {
			e.notes = append(e.notes, "Dotted line: "+text+".")
		}
	}
}

// beside finds where words this long, in mm of wall, stand clear on a level line:
// above it if they can, as far right as the field goes. The heads of the strips
// carry their letters, so words keep below those.
func (e *elevation) beside(field geom.Region, pieces []geom.Segment, long float64) (draw.Point, bool) {
	high, gap := drafting.Letters().CapHeight()/e.S, 1/e.S
	heads, keep := field.Bounds().Max.Y-6.5/e.S, 1.5
	if e.lean(false) > 0 {
		keep = 4
	}
	for _, up := range []bool{true, false} {
		for _, p := range slices.Backward(pieces) {
			foot := p.A.Y + gap
			if !up {
				foot = p.A.Y - gap - high
			}
			if foot+high > heads {
				continue
			}
			for x := p.B.X - long - keep/e.S; x > p.A.X+gap; x -= 2 / e.S {
				edge := 0.7 / e.S
				box := geom.Rect(x-edge, foot-min(edge, gap/2), long+2*edge, high+edge)
				if !slices.ContainsFunc(box, func(q geom.Point) bool { return !field.Contains(q) }) {
					return e.At(x, foot), true
				}
			}
		}
	}
	return draw.Point{}, false
}

// marks draws the rule of cumulative marks beneath the wall.
func (e *elevation) marks(f *Field, y float64) float64 {
	y += chainStep
	rule := drafting.Cumulative{Datum: e.X, End: e.X + e.length*e.S,
		Total: drafting.Length(unit.Length(e.length), e.options.Imperial)}
	for _, m := range f.Strips.Marks {
		x := float64(m.Foot)
		if x <= 0.5 || x >= e.length-0.5 {
			continue // the corner itself carries 0 or the total
		}
		rule.At = append(rule.At, e.X+x*e.S)
		rule.Figure = append(rule.Figure, m.Foot.MM())
	}
	items, h, left := rule.Draw(e.fonts, y, y-chainStep+1.2)
	e.add(items...)
	e.unmarked = left
	return y + h - 2
}
