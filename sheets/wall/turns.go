package wall

import (
	"fmt"
	"math"
	"slices"
	"time"

	"scumble/draw"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/wetedge"
)

// turnChart draws the turns of a crew on one or more lines of time.
type turnChart struct {
	desk   *desk.Desk
	answer *wetedge.Answer
	rows   []turnRow
	width  float64 // of the paper
	each   float64 // minutes on a line
	lines  int
}

// turnRow is one person.
type turnRow struct {
	name, role string
	turns      []wetedge.Turn
}

const (
	turnLabels = 20.0 // kept for names
	turnHead   = 4.6
	turnPitch  = 7.0
	turnBar    = 4.5
	restsHigh  = 8.0 // of the row of papers that rest
)

// number is the lettering of a section in its bar.
func number() draw.Style { return drafting.Letters().Sized(7.5).InBold() }

// turns sets the chart of who does what; rest is what else is on the page, in mm.
func (p *pairPage) turns(fl *draw.Flow, rest float64) {
	const around = 22 // its heading and signs
	c := newTurnChart(p.desk, p.answer, fl.Body().W, drafting.PageBody(p.desk.Upright()).H-rest-around)
	line := func(n int) {
		fl.Block(c.height(), func(b draw.Box) []draw.Item { return c.line(b, n) })
	}
	fl.Keep(func() {
		drafting.AddHead(fl, "Who does what, minute by minute")
		line(0)
	})
	for n := 1; n < c.lines; n++ {
		line(n)
	}
	signs := c.signs()
	_, high := p.desk.LegendPlaces(signs, fl.Body().W, 4.2)
	fl.Block(high, func(b draw.Box) []draw.Item { return p.desk.LegendItems(signs, b, 4.2) })
}

// newTurnChart settles how many minutes a line holds: as many as leave room for nearly all
// numbers in their bars, or where that is higher than the room left, for half of them.
func newTurnChart(d *desk.Desk, a *wetedge.Answer, width, room float64) *turnChart {
	const mostLines, roomy, tight = 5, 0.1, 0.5
	c := &turnChart{desk: d, answer: a, width: width}
	for i, who := range []string{"lays", "works", "helps"} {
		if i >= a.People {
			break
		}
		row := turnRow{name: a.Names[i], role: who}
		for _, t := range a.Turns {
			if t.Who == who || a.People == 1 {
				row.turns = append(row.turns, t)
			}
		}
		if a.People == 1 {
			row.role = "lays, works"
		}
		c.rows = append(c.rows, row)
	}
	for _, most := range []float64{roomy, tight} {
		for c.lines = 1; c.lines < mostLines; c.lines++ {
			c.each = max(5, 5*math.Ceil(a.Minutes/float64(c.lines)/5))
			if share, lost := c.crowded(); share <= most && !lost {
				break
			}
		}
		c.each = max(5, 5*math.Ceil(a.Minutes/float64(c.lines)/5))
		c.lines = int(math.Ceil(a.Minutes / c.each))
		if float64(c.lines)*c.height() <= room {
			break
		}
	}
	return c
}

// crowded is the share of the bars too short for their number, which then stands above;
// lost tells that there, too, one is in the way of another.
func (c *turnChart) crowded() (share float64, lost bool) {
	n, all := 0.0, 0.0
	for _, r := range c.rows {
		above := math.Inf(-1)
		for _, t := range r.turns {
			if !numbered(t) {
				continue
			}
			all++
			wide, mid := c.desk.Fonts.Width(fmt.Sprint(t.Piece), number()), (t.From+t.To)/2*c.pace()
			if (t.To-t.From)*c.pace() < wide+0.4 {
				n++
				lost = lost || mid-wide/2 < above+0.5
				above = mid + wide/2
			}
		}
	}
	return n / max(1, all), lost
}

// pace is how many mm of paper a minute gets.
func (c *turnChart) pace() float64 { return (c.width - turnLabels) / c.each }

func numbered(t wetedge.Turn) bool {
	return t.What == wetedge.Lay || t.What == wetedge.Work || t.What == wetedge.Press || t.What == wetedge.Lift
}

func minutes(m float64) time.Duration { return time.Duration(m * float64(time.Minute)) }

func (c *turnChart) has(what string) bool {
	return slices.ContainsFunc(c.answer.Turns, func(t wetedge.Turn) bool { return t.What == what })
}

func (c *turnChart) height() float64 {
	h := turnHead + turnPitch*float64(len(c.rows)) + 2
	if c.has(wetedge.Press) {
		h += restsHigh
	}
	return h
}

// line draws the nth stretch of time.
func (c *turnChart) line(b draw.Box, n int) []draw.Item {
	from := float64(n) * c.each
	to := min(from+c.each, 5*math.Ceil(c.answer.Minutes/5))
	left, top := b.X+turnLabels, b.Y+turnHead
	place := func(minute float64) float64 { return left + (minute-from)*c.pace() }
	bottom := b.Y + c.height() - 2
	items := c.head(place, from, to, b.Y, top, bottom)
	for i, r := range c.rows {
		y := top + turnPitch*float64(i) + (turnPitch-turnBar)/2
		items = append(items, draw.Label(b.X, y+2.2, c.desk.Cut(r.name, drafting.Letters().InBold(), turnLabels-2), drafting.Letters().InBold(), draw.Left),
			draw.Label(b.X, y+4.9, r.role, drafting.Letters().Sized(7).Coloured(drafting.Grey), draw.Left))
		var bars, numbers []draw.Item
		above := left - 2 // where the last number above a bar ends
		for _, t := range r.turns {
			if t.To <= from || t.From >= to {
				continue
			}
			x1, x2 := place(t.From), place(t.To)
			bars = append(bars, c.bar(t, x1, x2, y, turnBar)...)
			here := t.From >= from && t.To <= to || min(t.To, to)-max(t.From, from) > (t.To-t.From)/2
			numbers = append(numbers, c.words(t, max(x1, left), min(x2, place(to)), y, here, &above)...)
		}
		frame := draw.Rect(left-0.2, top, place(to)-left+0.4, bottom-top)
		items = append(items, draw.Group{Clip: frame.Outline, Items: bars})
		items = append(items, numbers...)
	}
	if c.has(wetedge.Press) {
		items = append(items, c.papers(place, from, to, b.X, top+turnPitch*float64(len(c.rows)))...)
	}
	return items
}

// head letters the minutes: the clock at the beginning of a line, then minutes from the start.
func (c *turnChart) head(place func(float64) float64, from, to, y, top, bottom float64) []draw.Item {
	style := drafting.Letters()
	step := 5.0
	if c.pace()*5 < 9 {
		step = 10
	}
	clock := c.answer.At.Add(minutes(from)).Format("15:04")
	items := []draw.Item{draw.Label(place(from)-turnLabels, y+2.8, clock, style.InBold(), draw.Left)}
	for m := from; m <= to+1e-9; m += step {
		word := fmt.Sprintf("%.0f", m)
		if m == from && from == 0 {
			word = "0 min"
		}
		items = append(items, draw.Label(place(m), y+2.8, word, style.Coloured(drafting.Grey), draw.Centre),
			draw.Line(place(m), top-1.2, place(m), bottom, draw.Ink(drafting.RuleWidth, drafting.Line)))
	}
	return items
}

// bar draws what is done between two places: laying is an open box, working a solid one,
// lifting a hatched one; cutting in is the low box before laying.
func (c *turnChart) bar(t wetedge.Turn, x1, x2, y, high float64) []draw.Item {
	box, low := draw.Rect(x1, y, x2-x1, high), 0.4*high
	switch t.What {
	case wetedge.Lay:
		return []draw.Item{drafting.Work(box.Outline, 0)}
	case wetedge.Work, wetedge.Press:
		return []draw.Item{box.Filled(drafting.Ink).Stroked(draw.Ink(0.3, drafting.Paper))}
	case wetedge.Lift:
		return []draw.Item{box.Filled(drafting.Paper), draw.Hatch(box.Outline, 1, 45, draw.Ink(0.15, drafting.Ink)), box.Stroked(drafting.Fine())}
	case wetedge.CutIn:
		return []draw.Item{draw.Rect(x1, y+high-low, x2-x1, low).Filled(drafting.Pale).Stroked(drafting.Fine())}
	case wetedge.Refill:
		return []draw.Item{box.Filled(drafting.Paper).Stroked(draw.Ink(0.25, drafting.Ink).Dashed(0.8, 0.5))}
	case wetedge.Clean:
		return []draw.Item{box.Filled(drafting.Wash).Stroked(drafting.Fine())}
	}
	mid := y + high/2 // moving: a line with a head
	items := []draw.Item{draw.Line(x1+0.2, mid, x2-0.2, mid, draw.Ink(0.25, drafting.Ink))}
	if reach := min(0.9, (x2-x1)/2); reach > 0.2 {
		items = append(items, draw.Polygon([]draw.Point{draw.Pt(x2-0.2, mid), draw.Pt(x2-0.2-reach, mid-0.8), draw.Pt(x2-0.2-reach, mid+0.8)}).Filled(drafting.Ink))
	}
	return items
}

// words are the number of the section in its bar, and what else has room to be said. A bar
// that goes on from one line to the next carries its number on the longer part; one too
// short for it has it above.
func (c *turnChart) words(t wetedge.Turn, x1, x2, y float64, here bool, above *float64) []draw.Item {
	style, text := number(), ""
	switch {
	case numbered(t):
		text = fmt.Sprint(t.Piece)
	case t.What == wetedge.Refill || t.What == wetedge.Clean:
		style, text = drafting.Letters().Sized(7), t.What
	case t.What == wetedge.CutIn && t.Who == "helps":
		style, text = drafting.Letters().Sized(7), fmt.Sprint(t.Piece)
	}
	base := y + turnBar/2 + style.CapHeight()/2
	if t.What == wetedge.CutIn {
		base = y + 2.3
	}
	if text == "" || !here {
		return nil
	}
	if wide := c.desk.Fonts.Width(text, style); x2-x1 < wide+0.4 {
		if mid := (x1 + x2) / 2; numbered(t) && mid-wide/2 > *above+0.5 {
			*above = mid + wide/2
			return []draw.Item{draw.Label(mid, y-0.4, text, style.Sized(7), draw.Centre)}
		}
		return nil
	}
	halo := 0.0
	switch t.What {
	case wetedge.Work, wetedge.Press:
		style = style.Coloured(drafting.Paper)
	case wetedge.Lift:
		halo = 0.8
	}
	return []draw.Item{draw.Text{At: draw.Pt((x1+x2)/2, base), Text: text, Style: style, Align: draw.Centre, Halo: halo}}
}

// papers draws how long each paper rests between pressing and lifting, on three levels.
func (c *turnChart) papers(place func(float64) float64, from, to, x, y float64) []draw.Item {
	style := drafting.Letters().Sized(7)
	items := []draw.Item{draw.Label(x, y+3, "Paper", drafting.Letters().InBold(), draw.Left), draw.Label(x, y+5.7, "rests", style.Coloured(drafting.Grey), draw.Left)}
	pressed := map[int]float64{}
	for _, t := range c.answer.Turns {
		if t.What == wetedge.Press {
			pressed[t.Piece] = t.To
		}
	}
	for _, t := range c.answer.Turns {
		begin, there := pressed[t.Piece]
		if t.What != wetedge.Lift || !there || t.From <= from || begin >= to {
			continue
		}
		level := y + 1.6 + 2.5*float64((t.Piece-1)%3)
		x1, x2 := place(max(begin, from)), place(min(t.From, to))
		items = append(items, draw.Line(x1, level, x2, level, drafting.Fine()), draw.Line(x1, level-0.7, x1, level+0.7, drafting.Fine()), draw.Line(x2, level-0.7, x2, level+0.7, drafting.Fine()))
		if text := fmt.Sprint(t.Piece); x2-x1 > c.desk.Fonts.Width(text, style)+2 {
			items = append(items, draw.Text{At: draw.Pt((x1+x2)/2, level+style.CapHeight()/2), Text: text, Style: style, Align: draw.Centre, Halo: 0.9})
		}
	}
	return items
}

// signs explain what is drawn, and no more.
func (c *turnChart) signs() []desk.Sign {
	var signs []desk.Sign
	for _, s := range []struct{ what, words string }{{wetedge.Lay, "lay the glaze"}, {wetedge.CutIn, "cut in the edges first"}, {wetedge.Work, "work it"},
		{wetedge.Press, "press the paper on"}, {wetedge.Lift, "lift it"}, {wetedge.Refill, "refill the tray"}, {wetedge.Clean, "clean the tool"}, {wetedge.Shift, "move, climb"}} {
		if c.has(s.what) {
			signs = append(signs, desk.Sign{Words: s.words, Width: 6, Draw: func(x, y float64) []draw.Item {
				return c.bar(wetedge.Turn{What: s.what}, x, x+6, y-2.6, 3)
			}})
		}
	}
	return signs
}
