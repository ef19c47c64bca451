package programme

import (
	"fmt"
	"slices"
	"time"

	"scumble/draw"
	"scumble/job"
	"scumble/method"
	"scumble/schedule"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/sheets/pattern"
)

// How much paper an hour of night or of a closed day gets, as a share of a
// working hour.
const (
	nightShare  = 0.15
	closedShare = 0.12
)

// axis lays time along x. Nights and closed days run narrower than the day.
type axis struct {
	at     []time.Time // ascending
	x      []float64   // mm
	nights []span
	days   []dayMark
}

type span struct{ from, to float64 }

// dayMark is where a day of the calendar starts on the axis.
type dayMark struct {
	date   time.Time
	x      float64 // of the first hour worked
	closed bool
	hours  []time.Time // every second hour of the working day
}

// timeAxis lays the days from one midnight to another between left and right.
func timeAxis(d *desk.Desk, from, to time.Time, left, right float64) *axis {
	a := &axis{}
	opens, closes := d.Plan.Job.Crew.OpenHours()
	weights := []float64{}
	add := func(until time.Time, share float64) {
		weights = append(weights, until.Sub(a.at[len(a.at)-1]).Hours()*share)
		a.at = append(a.at, until)
	}
	a.at = append(a.at, from)
	var dark []int // stretches nobody works in
	var first []int
	for date := from; date.Before(to); date = date.AddDate(0, 0, 1) {
		next := date.AddDate(0, 0, 1)
		mark := dayMark{date: date, closed: !d.Plan.Job.Crew.WorksOn(date)}
		first = append(first, len(weights)+1)
		if mark.closed {
			first[len(first)-1] = len(weights)
			dark = append(dark, len(weights))
			add(next, closedShare)
		} else {
			dark = append(dark, len(weights))
			add(date.Add(opens), nightShare)
			add(date.Add(closes), 1)
			dark = append(dark, len(weights))
			add(next, nightShare)
			for h := date.Add(opens).Truncate(2 * time.Hour); !h.After(date.Add(closes)); h = h.Add(2 * time.Hour) {
				if !h.Before(date.Add(opens)) {
					mark.hours = append(mark.hours, h)
				}
			}
		}
		a.days = append(a.days, mark)
	}
	total := 0.0
	for _, w := range weights {
		total += w
	}
	a.x = append(a.x, left)
	for _, w := range weights {
		a.x = append(a.x, a.x[len(a.x)-1]+w*(right-left)/total)
	}
	for i := range a.days {
		a.days[i].x = a.x[first[i]]
	}
	for _, i := range dark {
		if n := len(a.nights); n > 0 && a.nights[n-1].to == a.x[i] {
			a.nights[n-1].to = a.x[i+1]
			continue
		}
		a.nights = append(a.nights, span{a.x[i], a.x[i+1]})
	}
	return a
}

// place is where a moment lies; what is off the axis lies well outside it, so
// that slanted ends keep their slant until the frame cuts them.
func (a *axis) place(t time.Time) float64 {
	last := len(a.at) - 1
	if t.Before(a.at[0]) {
		return a.x[0] - a.at[0].Sub(t).Hours()
	}
	if t.After(a.at[last]) {
		return a.x[last] + t.Sub(a.at[last]).Hours()
	}
	i, _ := slices.BinarySearchFunc(a.at, t, time.Time.Compare)
	if i == 0 {
		return a.x[0]
	}
	share := t.Sub(a.at[i-1]).Hours() / a.at[i].Sub(a.at[i-1]).Hours()
	return a.x[i-1] + share*(a.x[i]-a.x[i-1])
}

func (a *axis) left() float64 { return a.x[0] }

func (a *axis) right() float64 { return a.x[len(a.x)-1] }

func (a *axis) from() time.Time { return a.at[0] }

func (a *axis) to() time.Time { return a.at[len(a.at)-1] }

// chartRow is one wall, or the work that belongs to a whole room.
type chartRow struct {
	room, label string
	finish      *job.Finish // nil for a room
	tasks       []*schedule.Task
	work        bool // work alone, without what dries: many walls share the row
}

// chartRows lists rooms and walls in walking order with their work.
func chartRows(d *desk.Desk) []chartRow {
	var rows []chartRow
	for _, room := range d.Plan.Method.Rooms {
		rows = append(rows, chartRow{room: room.Name, label: "whole room"})
		for _, face := range d.Plan.Method.Faces {
			if face.Room == room.Name {
				rows = append(rows, chartRow{room: room.Name, label: desk.WallName(face.ID), finish: face.Finish})
			}
		}
	}
	tasks := d.Plan.Programme.Tasks
	for i := range tasks {
		for r := range rows {
			if rows[r].room == tasks[i].Room && (tasks[i].Face == "" && rows[r].finish == nil || rows[r].finish != nil && desk.WallName(tasks[i].Face) == rows[r].label) {
				rows[r].tasks = append(rows[r].tasks, &tasks[i])
			}
		}
	}
	return slices.DeleteFunc(rows, func(r chartRow) bool { return len(r.tasks) == 0 })
}

// roomRows is a row for each room with all its work.
func roomRows(d *desk.Desk) []chartRow {
	var rows []chartRow
	for _, room := range d.Plan.Method.Rooms {
		r := chartRow{room: room.Name, work: true}
		for i := range d.Plan.Programme.Tasks {
			if t := &d.Plan.Programme.Tasks[i]; t.Room == room.Name {
				r.tasks = append(r.tasks, t)
			}
		}
		rows = append(rows, r)
	}
	return slices.DeleteFunc(rows, func(r chartRow) bool { return len(r.tasks) == 0 })
}

// personRows is a row for each person with all their work.
func personRows(d *desk.Desk) []chartRow {
	var rows []chartRow
	for _, person := range d.Plan.Job.Crew.People {
		r := chartRow{room: person.Name, work: true}
		for i := range d.Plan.Programme.Tasks {
			if t := &d.Plan.Programme.Tasks[i]; slices.Contains(t.People, person.Name) {
				r.tasks = append(r.tasks, t)
			}
		}
		rows = append(rows, r)
	}
	return slices.DeleteFunc(rows, func(r chartRow) bool { return len(r.tasks) == 0 })
}

// seen reports whether any work or drying of the row falls between two moments.
func (r chartRow) seen(from, to time.Time) bool {
	return slices.ContainsFunc(r.tasks, func(t *schedule.Task) bool {
		end := t.End
		if t.Ready.Latest.After(end) {
			end = t.Ready.Latest
		}
		return t.Start.Before(to) && end.After(from)
	})
}

// chart is the drawing of some rows over some days.
type chart struct {
	desk   *desk.Desk
	axis   *axis
	steps  map[string]*method.Step
	pitch  float64 // mm from row to row
	detail bool    // step numbers and hours
}

// The head of a chart holds days and, in detail, hours.
const (
	chartHead   = 8.5
	chartLabels = 58.0 // mm kept for rooms and walls
)

func (c *chart) height(rows int) float64 { return chartHead + float64(rows)*c.pitch + 1 }

func (c *chart) draw(rows []chartRow, box draw.Box) []draw.Item {
	top, bottom := box.Y+chartHead, box.Y+chartHead+float64(len(rows))*c.pitch
	var items []draw.Item
	for _, n := range c.axis.nights {
		items = append(items, drafting.Night(draw.Box{X: n.from, Y: top - 0.9, W: n.to - n.from, H: bottom - top + 0.9})...)
	}
	items = append(items, c.head(box.Y, top, bottom)...)
	frame := draw.Rect(c.axis.left(), top, c.axis.right()-c.axis.left(), bottom-top)
	var bars []draw.Item
	for i, r := range rows {
		y := top + float64(i)*c.pitch
		newRoom := i == 0 || rows[i-1].room != r.room
		items = append(items, c.label(r, box.X, y, newRoom)...)
		rule := draw.Ink(drafting.RuleWidth, drafting.Pale)
		x := box.X + 27
		if newRoom {
			rule, x = draw.Ink(drafting.FineWidth, drafting.Line), box.X
		}
		items = append(items, draw.Line(x, y, c.axis.right(), y, rule))
		bars = append(bars, c.row(r, y)...)
	}
	items = append(items, draw.Group{Clip: frame.Outline, Items: bars})
	items = append(items, c.ready(top, bottom)...)
	if from := c.desk.Plan.Programme.PlannedFrom; !from.Before(c.axis.from()) && from.Before(c.axis.to()) {
		x := c.axis.place(from)
		items = append(items, draw.Line(x, top-1.2, x, bottom, drafting.Chalk()))
	}
	return append(items, draw.Line(box.X, bottom, c.axis.right(), bottom, drafting.Edge()))
}

// head letters the days, and in detail every second hour.
func (c *chart) head(y, top, bottom float64) []draw.Item {
	var items []draw.Item
	letters := drafting.Letters()
	for i, day := range c.axis.days {
		next := c.axis.right()
		if i+1 < len(c.axis.days) {
			next = c.axis.days[i+1].x
		}
		style := letters.InBold()
		if day.closed {
			style = letters.Coloured(drafting.Grey)
		}
		if !c.detail {
			items = append(items, c.narrowDay(day, i == 0, next, y, style)...)
			items = append(items, draw.Line(day.x, top-1.2, day.x, bottom, draw.Ink(drafting.RuleWidth, drafting.Line)))
			continue
		}
		name := day.date.Format("Mon 2")
		if day.date.Day() == 1 || i == 0 {
			name = day.date.Format("Mon 2 Jan")
		}
		items = append(items, draw.Label(day.x, y+2.8, name, style, draw.Left),
			draw.Line(day.x, top-1.2, day.x, bottom, draw.Ink(drafting.RuleWidth, drafting.Line)))
		if day.closed {
			items = append(items, draw.Label(day.x, y+5.9, "closed", letters.Coloured(drafting.Grey), draw.Left))
		}
		for _, h := range day.hours {
			x := c.axis.place(h)
			items = append(items, draw.Line(x, top-1.2, x, top, drafting.Faint()),
				draw.Label(x, top-1.9, h.Format("15"), letters.Sized(7).Coloured(drafting.Grey), draw.Centre))
		}
	}
	return items
}

// ready marks the hour of the finish, over the bars.
func (c *chart) ready(top, bottom float64) []draw.Item {
	finish := c.desk.Plan.Programme.Finish
	if finish.Before(c.axis.from()) || !finish.Before(c.axis.to()) {
		return nil
	}
	x, words, letters := c.axis.place(finish), "ready "+finish.Format("15:04"), drafting.Letters().InBold()
	at, align := x+0.8, draw.Left
	if at+c.desk.Fonts.Width(words, letters) > c.axis.right() {
		at, align = x-0.8, draw.Right
	}
	return []draw.Item{draw.Line(x, top-1.2, x, bottom, drafting.Edge()),
		draw.Text{At: draw.Pt(at, bottom-1), Text: words, Style: letters, Align: align, Halo: 0.8}}
}

// narrowDay letters a day in two lines, as much of it as fits.
func (c *chart) narrowDay(day dayMark, first bool, next, y float64, style draw.Style) []draw.Item {
	fits := func(word string) bool { return c.desk.Fonts.Width(word, style) < next-day.x-0.3 }
	date := day.date.Format("2")
	if with := day.date.Format("2 Jan"); first || fits(with) && day.date.Day() <= 7 {
		date = with
	}
	var items []draw.Item
	for i, word := range []string{day.date.Format("Mon"), date} {
		if fits(word) {
			items = append(items, draw.Label(day.x, y+2.8+3.2*float64(i), word, style, draw.Left))
		}
	}
	return items
}

func (c *chart) label(r chartRow, x, y float64, newRoom bool) []draw.Item {
	style := drafting.Small()
	if c.pitch < 4 {
		style = drafting.Letters()
	}
	base := y + c.pitch/2 + style.CapHeight()/2
	var items []draw.Item
	if newRoom {
		items = append(items, draw.Label(x, base, c.desk.Cut(r.room, style.InBold(), 26), style.InBold(), draw.Left))
	}
	h := min(c.pitch-1.1, 3.2)
	if r.finish != nil {
		items = append(items, pattern.Chip(r.finish, draw.Box{X: x + 27, Y: y + (c.pitch-h)/2, W: 4.6, H: h}))
		return append(items, draw.Label(x+32.8, base, c.desk.Cut(r.label, style, 24.4), style, draw.Left))
	}
	return append(items, draw.Label(x+32.8, base, r.label, style.Coloured(drafting.Grey), draw.Left))
}

// row draws drying first, then windows, then work over them.
func (c *chart) row(r chartRow, y float64) []draw.Item {
	top, bottom := y+c.pitch*0.14, y+c.pitch*0.76
	var under, brackets, work []draw.Item
	var taken []span
	for _, t := range r.tasks {
		for _, p := range t.Pieces {
			taken = append(taken, span{c.axis.place(p.From), c.axis.place(p.To)})
		}
	}
	for _, t := range r.tasks {
		if t.End.After(c.axis.to()) && t.Start.After(c.axis.to()) {
			continue
		}
		end := c.axis.place(t.End)
		if t.Ready.Latest.After(c.axis.from()) && !r.work {
			under = append(under, drafting.Drying.Fill(drafting.Slanted(end, c.axis.place(t.Ready.Earliest), end, c.axis.place(t.Ready.Latest), top, bottom))...)
		}
		if u := t.Ready.Until; !u.IsZero() && !r.work && u.Sub(t.End) <= schedule.LongWindow && u.After(c.axis.from()) {
			opens := t.Ready.Latest
			if opens.After(u) {
				opens = t.End
			}
			brackets = append(brackets, drafting.Window(c.axis.place(opens), c.axis.place(u), y+c.pitch*0.9))
		}
		for i, p := range t.Pieces {
			if p.To.Before(c.axis.from()) || p.From.After(c.axis.to()) {
				continue
			}
			work = append(work, draw.Group{Title: t.Step, Items: c.bar(t, p, i == 0, i == len(t.Pieces)-1, top, bottom, taken)})
		}
	}
	return append(append(under, brackets...), work...)
}

// bar draws one unbroken stretch of work.
func (c *chart) bar(t *schedule.Task, p schedule.Piece, first, last bool, top, bottom float64, taken []span) []draw.Item {
	step := c.steps[t.Step]
	x1, x2 := c.axis.place(p.From), c.axis.place(p.To)
	x2 = max(x2, x1+0.7)
	region := draw.Rect(x1, top, x2-x1, bottom-top).Outline
	fill := draw.Colour(0)
	switch t.Kind {
	case method.Glaze:
		fill = pattern.Colour(step.Colour)
	case method.Inspect:
		fill = drafting.Ink
	}
	if !c.detail {
		if fill == 0 {
			fill = drafting.Paper
		}
		items := []draw.Item{draw.Path{Outline: region, Fill: fill, Stroke: draw.Ink(0.14, drafting.Ink)}}
		return append(items, c.solid(t, p, x1, x2, top, bottom)...)
	}
	items := append([]draw.Item{drafting.Work(region, fill)}, c.solid(t, p, x1, x2, top, bottom)...)
	if t.Done {
		return items
	}
	if t.Kind == method.Mark {
		uprights := []float64{0.25, 0.5, 0.75}
		if x2-x1 < 2 {
			uprights = nil // lines closer than half a millimetre would read as solid
		}
		for _, share := range uprights {
			x := x1 + share*(x2-x1)
			items = append(items, draw.Line(x, top, x, bottom, drafting.Fine()))
		}
	}
	if t.Critical {
		items = append(items, draw.Line(x1-0.15, bottom, x2+0.15, bottom, drafting.Floor()))
	}
	if first && step.Number > 0 && step.Face != "" {
		items = append(items, c.number(step, x1, x2, (top+bottom)/2, taken)...)
	}
	if first && step.Begin != "" {
		items = append(items, drafting.HoldShape.Mark(x1, top-0.1, 2.1)...)
	}
	if last && step.Hold != "" {
		items = append(items, drafting.HoldShape.Mark(x2, top-0.1, 2.1)...)
	}
	return items
}

// solid fills what is done of a bar; of a glaze its colour stays in sight above.
func (c *chart) solid(t *schedule.Task, p schedule.Piece, x1, x2, top, bottom float64) []draw.Item {
	switch {
	case t.Running:
		x2 = min(x2, c.axis.place(c.desk.Plan.Programme.PlannedFrom))
	case !t.Done:
		return nil
	}
	if t.Kind == method.Glaze {
		top += (bottom - top) * 0.4
	}
	if x2 <= x1 {
		return nil
	}
	return []draw.Item{draw.Path{Outline: draw.Rect(x1, top, x2-x1, bottom-top).Outline, Fill: drafting.Line}}
}

// number sets the number of a step in its bar, or beside it where there is room.
func (c *chart) number(step *method.Step, x1, x2, y float64, taken []span) []draw.Item {
	style := drafting.Letters().Sized(7).InBold()
	text := fmt.Sprint(step.Number)
	half := c.desk.Fonts.Width(text, style) / 2
	base := y + style.CapHeight()/2
	room, halo := 2*half+0.5, 0.0
	if step.Kind == method.Glaze { // a halo must leave some of the colour
		room, halo = 2*half+3, 0.8
	}
	if x2-x1 >= room && step.Kind != method.Inspect && step.Kind != method.Mark {
		return []draw.Item{draw.Text{At: draw.Pt((x1+x2)/2, base), Text: text, Style: style, Align: draw.Centre, Halo: halo}}
	}
	for _, x := range []float64{x2 + half + 0.8, x1 - half - 1.5} {
		if slices.ContainsFunc(taken, func(s span) bool { return s.from < x+half && s.to > x-half }) {
			continue
		}
		return []draw.Item{draw.Text{At: draw.Pt(x, base), Text: text, Style: style, Align: draw.Centre, Halo: 0.6}}
	}
	return nil
}
