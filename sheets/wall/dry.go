package wall

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"scumble/draw"
	"scumble/drying"
	"scumble/method"
	"scumble/schedule"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/sheets/pattern"
)

// dryPage is the page of a wall that shows how its coats dry over the days on site, and the
// air they dry in.
type dryPage struct {
	desk    *desk.Desk
	face    *method.Face
	coats   []coat
	climate drying.Climate
	first   time.Time // midnight before the first day on site
	strip   float64   // how high a curve of the air is drawn, mm
}

// coat is a step that lays something, placed.
type coat struct {
	step *method.Step
	task *schedule.Task
}

// newDryPage gathers what the page shows; nil for a wall whose coats or days are not known.
func newDryPage(d *desk.Desk, face *method.Face) *dryPage {
	p := &dryPage{desk: d, face: face}
	tasks := d.Tasks()
	for i := range face.Steps {
		if t := tasks[face.Steps[i].ID]; t != nil && !t.Ready.Latest.IsZero() {
			p.coats = append(p.coats, coat{&face.Steps[i], t})
		}
	}
	room, wall, _ := d.Plan.Survey.FaceByID(face.ID)
	first, err := time.Parse(time.DateOnly, string(d.Plan.Job.Crew.Start))
	if len(p.coats) == 0 || wall == nil || err != nil {
		return nil
	}
	p.first = first
	p.climate = drying.Place{Air: room.Climate, Surface: wall.Surface, Outside: wall.Outside, First: first}.Climate(d.Plan.Catalog.Defaults)
	return p
}

// drySheet is that page.
func drySheet(d *desk.Desk, book *drafting.Book, face *method.Face) {
	p := newDryPage(d, face)
	if p == nil {
		return
	}
	fl := book.Part(strings.Replace(face.ID, "/", ", ", 1), d.Upright())
	drafting.AddTitle(fl, "Coats and their drying", "When each coat is laid and may be gone over, and the air it dries in. Days on which nothing is laid or dries are left out.")
	p.table(fl)
	p.chart(fl)
	p.holds(fl)
}

// table lists the coats with the moments the chart shows.
func (p *dryPage) table(fl *draw.Flow) {
	t := drafting.Table([]draw.Column{{Title: "No", Width: 6, Align: draw.Right}, drafting.Words("Coat", 3), drafting.Words("Laid", 2.6), drafting.Words("Dry for the next, from", 2), drafting.Words("at the latest", 2), drafting.Words("Next coat before", 1.6)})
	t.Pad, t.Gap = 0.5, 2.5
	short := func(at time.Time) string { return at.Format("Mon 2 Jan, 15:04") }
	for _, c := range p.coats {
		until := "no limit"
		if !c.task.Ready.Until.IsZero() {
			until = c.task.Ready.Until.Format("Mon 2 Jan")
		}
		row := drafting.Row(fmt.Sprint(c.step.Number), c.step.Title, desk.Moment(c.task.Start, c.task.End), short(c.task.Ready.Earliest), short(c.task.Ready.Latest), until)
		row.Cells[0].Bold = true
		t.Rows = append(t.Rows, row)
	}
	fl.Table(t)
	fl.Space(2)
}

// days on which a coat is laid or dries.
func (p *dryPage) days() []time.Time {
	var days []time.Time
	for _, c := range p.coats {
		for day := c.task.Start.Truncate(24 * time.Hour); day.Before(c.task.Ready.Latest); day = day.AddDate(0, 0, 1) {
			days = append(days, day)
		}
	}
	slices.SortFunc(days, time.Time.Compare)
	return slices.CompactFunc(days, time.Time.Equal)
}

const (
	dryLabels = 21.0 // kept for names and scales
	dryHead   = 7.5
	dryLane   = 9.5
	dryGap    = 2.6
	dryFoot   = 3.0
)

func (p *dryPage) height() float64 { return dryHead + dryLane + 2.6 + 3*(p.strip+dryGap) + dryFoot }

// chart sets the days in as many lines as they need, a week at most in each.
func (p *dryPage) chart(fl *draw.Flow) {
	const week = 7
	days := p.days()
	lines := (len(days) + week - 1) / week
	each := (len(days) + lines - 1) / lines
	if p.strip = 12; lines > 2 { // so that three lines still go on a page
		p.strip = 7.5
	}
	scale := math.Inf(1)
	var axes []*dayAxis
	for part := range slices.Chunk(days, each) {
		a := &dayAxis{desk: p.desk, days: part, left: fl.Body().X + dryLabels, scale: 1}
		scale = min(scale, (fl.Body().W-dryLabels-1)/(a.right()-a.left))
		axes = append(axes, a)
	}
	const widest = 5.5 // mm an hour; a wall of two days is not drawn coarse
	signs := p.signs()
	_, high := p.desk.LegendPlaces(signs, fl.Body().W, 4.2)
	fl.Keep(func() {
		drafting.AddHead(fl, "Day by day")
		fl.Block(high+1, func(b draw.Box) []draw.Item { return p.desk.LegendItems(signs, b, 4.2) })
		for i, a := range axes {
			a.scale = min(scale, widest)
			if i == 0 {
				fl.Block(p.height(), func(b draw.Box) []draw.Item { return p.line(b, a) })
			}
		}
	})
	for _, a := range axes[1:] {
		fl.Block(p.height(), func(b draw.Box) []draw.Item { return p.line(b, a) })
	}
}

// line draws some days: nights, coats, windows, and beneath them the air.
func (p *dryPage) line(b draw.Box, a *dayAxis) []draw.Item {
	top := b.Y + dryHead
	foot := b.Y + p.height() - dryFoot
	var items []draw.Item
	for _, n := range a.nights() {
		items = append(items, drafting.Night(draw.Box{X: n[0], Y: top - 0.9, W: n[1] - n[0], H: foot - top + 0.9})...)
	}
	items = append(items, p.head(a, b.Y, top, foot)...)
	lane := top + 1.4
	var under, over []draw.Item
	for _, c := range p.coats {
		u, o := p.bars(a, c, lane, lane+dryLane-3)
		under, over = append(under, u...), append(over, o...)
	}
	frame := draw.Rect(a.left, top-0.9, a.right()-a.left, foot-top+0.9)
	items = append(items, draw.Label(b.X, lane+4.4, "Coats", drafting.Letters().InBold(), draw.Left),
		draw.Group{Clip: frame.Outline, Items: append(under, over...)})
	items = append(items, p.numbers(a, lane)...)
	items = append(items, p.air(a, b.X, top+dryLane+2.6)...)
	return append(items, draw.Line(a.left, top+dryLane+1.2, a.right(), top+dryLane+1.2, draw.Ink(drafting.RuleWidth, drafting.Line)))
}

// head letters the days and marks noon; where days are left out the line is broken.
func (p *dryPage) head(a *dayAxis, y, top, foot float64) []draw.Item {
	var items []draw.Item
	style := drafting.Letters()
	for n, day := range a.days {
		x, next := a.start(n), a.start(n+1)
		name := day.Format("Mon 2")
		if n == 0 || day.Day() == 1 {
			name = day.Format("Mon 2 Jan")
		}
		bold := style.InBold()
		if !p.desk.Plan.Job.Crew.WorksOn(day) {
			bold = style.Coloured(drafting.Grey)
			if p.desk.Fonts.Width(name, bold) > next-x-1 {
				name = day.Format("2")
			}
		}
		items = append(items, draw.Label(x+0.6, y+2.8, name, bold, draw.Left),
			draw.Line(x, top-4.2, x, foot, draw.Ink(drafting.RuleWidth, drafting.Line)))
		if p.desk.Plan.Job.Crew.WorksOn(day) {
			opens, closes := p.desk.Plan.Job.Crew.OpenHours()
			for _, h := range []time.Duration{opens, 12 * time.Hour, closes} {
				at := a.place(day.Add(h))
				items = append(items, draw.Line(at, top-1.6, at, top-0.9, drafting.Faint()),
					draw.Label(at, top-2, day.Add(h).Format("15"), style.Sized(7).Coloured(drafting.Grey), draw.Centre))
			}
		}
		if n > 0 && !a.follows(n) {
			items = append(items, draw.Line(x-0.4, top-1, x-0.4, foot, draw.Ink(1.1, drafting.Paper)), drafting.BreakMark(x-0.4, top-2.6, 3))
		}
	}
	return items
}

// bars are a coat: the hours of work, and its drying with an end from the earliest to the
// latest; the window in which the next coat must fall, where it closes on these days.
func (p *dryPage) bars(a *dayAxis, c coat, top, bottom float64) (under, over []draw.Item) {
	r := c.task.Ready
	end := a.place(c.task.End)
	under = drafting.Drying.Fill(drafting.Slanted(end, a.place(r.Earliest), end, a.place(r.Latest), top, bottom))
	if last := a.days[len(a.days)-1].AddDate(0, 0, 1); !r.Until.IsZero() && r.Until.Before(last) {
		under = append(under, drafting.Window(a.place(r.Latest), a.place(r.Until), bottom+1.6))
	}
	fill := draw.Colour(0)
	if c.task.Kind == method.Glaze {
		fill = pattern.Colour(c.step.Colour)
	}
	for _, piece := range c.task.Pieces {
		x1, x2 := a.place(piece.From), a.place(piece.To)
		over = append(over, draw.Group{Title: c.step.ID, Items: []draw.Item{drafting.Work(draw.Rect(x1, top, max(x2-x1, 0.7), bottom-top).Outline, fill)}})
	}
	return under, over
}

// numbers stand over the drying of each coat, right behind its work.
func (p *dryPage) numbers(a *dayAxis, top float64) []draw.Item {
	var items []draw.Item
	for _, c := range p.coats {
		x := a.place(c.task.End)
		if x < a.left || x > a.right()-1 || !slices.ContainsFunc(a.days, func(day time.Time) bool { return desk.SameDay(day, c.task.End) }) {
			continue
		}
		style := number().Sized(8.5)
		items = append(items, draw.Text{At: draw.Pt(x+1, top+3+style.CapHeight()/2), Text: fmt.Sprint(c.step.Number), Style: style, Halo: 1})
		if c.step.Begin != "" {
			items = append(items, drafting.HoldShape.Mark(a.place(c.task.Start), top-0.2, 2.4)...)
		}
		if c.step.Hold != "" {
			items = append(items, drafting.HoldShape.Mark(x, top-0.2, 2.4)...)
		}
	}
	return items
}

// signs explain the chart.
func (p *dryPage) signs() []desk.Sign {
	return []desk.Sign{
		{Words: "coat laid, then drying: slanted end, foot earliest, head latest", Width: 12, Draw: func(x, y float64) []draw.Item {
			return append(drafting.Drying.Fill(drafting.Slanted(x+2, x+8, x+2, x+12, y-2.6, y+0.2)), drafting.Work(draw.Rect(x, y-2.6, 2, 2.8).Outline, 0))
		}},
		{Words: "the next coat falls in here", Width: 7, Draw: func(x, y float64) []draw.Item { return []draw.Item{drafting.Window(x, x+7, y)} }},
		{Words: "check before you begin, or before you go on", Width: 2.6, Draw: func(x, y float64) []draw.Item { return drafting.HoldShape.Mark(x+1.3, y-1, 2.6) }},
		{Words: "night or closed day, drawn narrower", Width: 6, Draw: func(x, y float64) []draw.Item {
			return drafting.Night(draw.Box{X: x, Y: y - 2.8, W: 6, H: 3})
		}},
		{Words: "nobody paints in this air", Width: 6, Draw: func(x, y float64) []draw.Item { return onHold(x, x+6, y-1) }},
	}
}
