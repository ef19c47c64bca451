// Package programme holds the papers of the day: the chart, a sheet for each person
// and day, and the calendar.
package programme

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"scumble/draw"
	"scumble/method"
	"scumble/schedule"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/sheets/pattern"
)

// Programme is the chart of the whole job, then week by week and person by
// person, and a sheet for each person and day.
func Programme(d *desk.Desk) (draw.Doc, error) {
	book := d.Book("Programme")
	wholeChart(d, book)
	movedSteps(d, book)
	shortCharts(d, book)
	weekCharts(d, book)
	peopleCharts(d, book)
	daySheets(d, book)
	return book.Doc("Programme: charts by wall and by person, and a sheet for each person and day"), nil
}

// verdict says what the programme comes to, and what shows that it is short.
func verdict(d *desk.Desk) (claim, why string) {
	p := d.Plan.Programme
	claim = fmt.Sprintf("%s in %s, ready on %s at %s.", desk.Counted(p.SiteDays, "site day", "site days"),
		desk.Counted(p.Visits, "visit", "visits"), desk.Dated(p.Finish), p.Finish.Format("15:04"))
	switch {
	case p.Bound <= 0:
	case p.Proved():
		why = fmt.Sprintf("%s, because of this: %s.", desk.Capital(p.Verdict()), p.BoundBy)
	default:
		why = fmt.Sprintf("%s: no plan can need fewer than %s, because of this: %s.", desk.Capital(p.Verdict()), desk.Counted(p.Bound, "day", "days"), p.BoundBy)
	}
	return claim, why
}

// longestRun is how many days one chart of the whole job may show.
const longestRun = 49

// wholeChart shows the job at one glance, all rooms and all days.
func wholeChart(d *desk.Desk, book *drafting.Book) {
	p := d.Plan.Programme
	fl := book.Part("the whole job", d.Turned())
	body, legend := fl.Body(), legend(d, false)
	said := draw.NewColumn(d.Fonts, body.W, false)
	addVerdict(d, said)
	addVerdict(d, fl)
	free := body.H - said.Height() - legendHeight(d, legend, body.W) - 6
	from, end := monday(p.Start), p.Finish.Truncate(24*time.Hour).AddDate(0, 0, 1)
	rows := chartRows(d)
	for ; from.Before(end); from = from.AddDate(0, 0, longestRun) {
		to := from.AddDate(0, 0, longestRun)
		if to.After(end) {
			to = end
		}
		c := newChart(d, from, to, body)
		c.pitch = min(6.5, max(3.2, (free-chartHead-1)/float64(max(1, len(rows)))))
		addChart(d, fl, c, rows, free)
		addLegend(d, fl, legend)
	}
}

// shortCharts show the whole job once more with a row a room and a row a person, each where all
// of it has room on a page.
func shortCharts(d *desk.Desk, book *drafting.Book) {
	p := d.Plan.Programme
	from, to := monday(p.Start), p.Finish.Truncate(24*time.Hour).AddDate(0, 0, 1)
	if to.Sub(from) > longestRun*24*time.Hour {
		return
	}
	const titled = 12.0 // mm of a title and the space round it
	legend, body := legend(d, false), drafting.PageBody(d.Turned())
	left := 0.0 // mm of the page under way
	var fl *draw.Flow
	for _, one := range []struct {
		title string
		rows  []chartRow
	}{{"Which room is worked in when", roomRows(d)}, {"Who works when", personRows(d)}} {
		c := newChart(d, from, to, body)
		c.pitch = 8
		high := titled + c.height(len(one.rows)) + legendHeight(d, legend, body.W)
		if len(one.rows) < 2 || high > body.H {
			continue
		}
		if left < high {
			fl, left = book.Part("by room and by person", d.Turned()), body.H
		}
		fl.Heading(one.title, drafting.Head())
		fl.Space(2)
		fl.Block(c.height(len(one.rows)), func(b draw.Box) []draw.Item { return c.draw(one.rows, b) })
		addLegend(d, fl, legend)
		fl.Space(4)
		left -= high + 4
	}
}

// addVerdict says what the programme comes to, and what it could not keep.
func addVerdict(d *desk.Desk, fl *draw.Flow) {
	claim, why := verdict(d)
	fl.Heading(claim, drafting.Title().Sized(16))
	if later := d.Plan.Programme.Later; later != "" {
		why += " " + desk.Capital(later) + "."
	}
	fl.Paragraph(strings.TrimSpace(why+" Drying is planned at its slow end."), drafting.Body())
	if from := d.Plan.Programme.PlannedFrom; !from.IsZero() {
		fl.Paragraph(fmt.Sprintf("What is done lies where it was done; the rest is planned from %s.", from.Format("Monday 2 January, 15:04")), drafting.Body())
	}
	if n := len(d.Plan.Programme.Moved); n > 0 {
		fl.Paragraph(desk.Counted(n, "step begins", "steps begin")+" on another day than was agreed: see what moved, and why.", drafting.Body())
	}
	if rules := d.Plan.Programme.Conflict; len(rules) > 0 {
		d.AddMarked(fl, drafting.CautionShape, "A window is missed: these cannot all hold on the days and in the hours of the crew, so one of them has to go, or a day has to be opened that makes room for all.", drafting.Small())
		for i, rule := range rules {
			fl.Hanging(fmt.Sprintf("%d", i+1), rule, drafting.Small(), 8)
		}
	}
	for _, w := range d.Plan.Programme.Warnings {
		shape := drafting.CautionShape
		if w.Hold {
			shape = drafting.HoldShape
		}
		fl.Space(0.8)
		d.AddMarked(fl, shape, strings.Replace(w.Name, "/", ", ", 1)+": "+w.What+" "+w.Do, drafting.Small())
	}
	fl.Space(2)
}

// mostMoved are told of, the earliest first (own default): a page of them.
const mostMoved = 18

// movedSteps tells what begins on another day than was agreed, and why.
func movedSteps(d *desk.Desk, book *drafting.Book) {
	p := d.Plan.Programme
	if len(p.Moved) == 0 {
		return
	}
	steps := d.AllSteps()
	fl := book.Part("what moved", d.Turned())
	fl.Heading("What moved from the days agreed, and why", drafting.Head())
	fl.Space(1)
	for i, m := range p.Moved {
		if i == mostMoved {
			fl.Paragraph(fmt.Sprintf("And %d more, which the board lists.", len(p.Moved)-mostMoved), drafting.Body())
			break
		}
		where := steps[m.Step].Room
		if wall := desk.WallName(steps[m.Step].Face); wall != "" {
			where += ", " + wall
		}
		fl.Paragraph(fmt.Sprintf("%s, %s: %s instead of %s. %s.", where, desk.StepName(m.Step), m.To.Format("Mon 2 January"), m.From.Format("Mon 2 January"), desk.Capital(m.Why)), drafting.Small())
	}
}

// weekCharts show each week large enough to read the hour.
func weekCharts(d *desk.Desk, book *drafting.Book) {
	p := d.Plan.Programme
	rows := chartRows(d)
	legend := legend(d, true)
	for from := monday(p.Start); !from.After(p.Finish); from = from.AddDate(0, 0, 7) {
		to := from.AddDate(0, 0, 7)
		var seen []chartRow
		for _, r := range rows {
			if r.seen(from, to) {
				seen = append(seen, r)
			}
		}
		if len(seen) == 0 {
			continue
		}
		fl := book.Part("week of "+from.Format("2 January"), d.Turned())
		body := fl.Body()
		c := newChart(d, from, to, body)
		c.detail, c.pitch = true, 6
		free := body.H - 12 - legendHeight(d, legend, body.W)
		for i, part := range splitRows(seen, int((free-chartHead-1)/c.pitch)) {
			if i > 0 {
				fl.NewPage()
			}
			fl.Heading(weekTitle(from, part), drafting.Head())
			fl.Space(2)
			addChart(d, fl, c, part, free)
			addLegend(d, fl, legend)
		}
	}
}

func weekTitle(from time.Time, rows []chartRow) string {
	title := "Week of Monday " + from.Format("2 January 2006") + ": " + rows[0].room
	if last := rows[len(rows)-1].room; last != rows[0].room {
		title += " to " + last
	}
	return title
}

func newChart(d *desk.Desk, from, to time.Time, body draw.Box) *chart {
	return &chart{desk: d, axis: timeAxis(d, from, to, body.X+chartLabels, body.X+body.W), steps: d.AllSteps()}
}

func addChart(d *desk.Desk, fl *draw.Flow, c *chart, rows []chartRow, free float64) {
	for i, part := range splitRows(rows, max(1, int((free-chartHead-1)/c.pitch+1e-6))) {
		if i > 0 {
			fl.NewPage()
		}
		fl.Block(c.height(len(part)), func(b draw.Box) []draw.Item { return c.draw(part, b) })
	}
}

// splitRows parts rows into pages, between rooms where that leaves a page at
// least half full.
func splitRows(rows []chartRow, most int) [][]chartRow {
	var pages [][]chartRow
	for len(rows) > most {
		cut := most
		for cut > max(1, most/2) && rows[cut].room == rows[cut-1].room {
			cut--
		}
		if rows[cut].room == rows[cut-1].room {
			cut = most
		}
		pages = append(pages, rows[:cut])
		rows = rows[cut:]
	}
	return append(pages, rows)
}

// monday is the first midnight of the week a moment lies in.
func monday(t time.Time) time.Time {
	t = t.Truncate(24 * time.Hour)
	return t.AddDate(0, 0, -(int(t.Weekday())+6)%7)
}

// legend explains the signs of a chart.
func legend(d *desk.Desk, detail bool) []desk.Sign {
	bar := func(w float64) draw.Outline { return draw.Rect(0, -2.6, w, 3.2).Outline }
	at := func(x, y float64, items ...draw.Item) []draw.Item {
		return []draw.Item{draw.Group{Place: draw.Shift(x, y), Items: items}}
	}
	glaze := draw.Colour(0)
	if len(d.Plan.Method.Faces) > 0 {
		glaze = pattern.Colour(d.Plan.Method.Faces[0].Finish.Glaze)
	}
	signs := []desk.Sign{
		{Words: "ground, primer and other work", Width: 4, Draw: func(x, y float64) []draw.Item { return at(x, y, drafting.Work(bar(4), 0)) }},
		{Words: "glaze, in its colour", Width: 4, Draw: func(x, y float64) []draw.Item { return at(x, y, drafting.Work(bar(4), glaze)) }},
		{Words: "look at the wall", Width: 1.2, Draw: func(x, y float64) []draw.Item { return at(x, y, drafting.Work(bar(1.2), drafting.Ink)) }},
		{Words: "drying: foot earliest, head latest", Width: 11, Draw: func(x, y float64) []draw.Item {
			return at(x, y, drafting.Drying.Fill(drafting.Slanted(0, 7, 0, 11, -2.6, 0.6))...)
		}},
		{Words: "next coat must fall in here (limits of up to 10 days)", Width: 9, Draw: func(x, y float64) []draw.Item { return at(x, y, drafting.Window(0, 9, 0)) }},
		{Words: "night or closed, drawn narrower than the day", Width: 5, Draw: func(x, y float64) []draw.Item {
			return at(x, y, drafting.Night(draw.Box{X: 0, Y: -2.6, W: 5, H: 3.2})...)
		}},
	}
	if done(d) {
		signs = append(signs, desk.Sign{Words: "done, a glaze with its colour above", Width: 4, Draw: func(x, y float64) []draw.Item { return at(x, y, drafting.Work(bar(4), drafting.Line)) }})
	}
	if !detail {
		return signs
	}
	return append(signs,
		desk.Sign{Words: "setting out", Width: 4, Draw: func(x, y float64) []draw.Item {
			items := []draw.Item{drafting.Work(bar(4), 0)}
			for _, u := range []float64{1, 2, 3} {
				items = append(items, draw.Line(u, -2.6, u, 0.6, drafting.Fine()))
			}
			return at(x, y, items...)
		}},
		desk.Sign{Words: "check: before you begin, or before you go on", Width: 3, Draw: func(x, y float64) []draw.Item { return at(x, y, drafting.HoldShape.Mark(1.5, -1, 2.6)...) }},
		desk.Sign{Words: "thick foot: a delay moves the end of the job", Width: 4, Draw: func(x, y float64) []draw.Item {
			return at(x, y, drafting.Work(bar(4), 0), draw.Line(0, 0.6, 4, 0.6, drafting.Floor()))
		}},
		desk.Sign{Words: "number of the step on the wall's method sheet", Width: 4, Draw: func(x, y float64) []draw.Item {
			style := drafting.Letters().Sized(7).InBold()
			return at(x, y, drafting.Work(bar(4), 0), draw.Label(2, -1+style.CapHeight()/2, "3", style, draw.Centre))
		}})
}

// done reports whether any work is done or begun.
func done(d *desk.Desk) bool {
	return slices.ContainsFunc(d.Plan.Programme.Tasks, func(t schedule.Task) bool { return t.Done || t.Running })
}

// legendPitch is the distance of the lines of a legend, in mm.
const legendPitch = 5.0

func legendHeight(d *desk.Desk, signs []desk.Sign, width float64) float64 {
	_, height := d.LegendPlaces(signs, width, legendPitch)
	return height
}

func addLegend(d *desk.Desk, fl *draw.Flow, signs []desk.Sign) {
	fl.Block(legendHeight(d, signs, fl.Body().W), func(b draw.Box) []draw.Item { return d.LegendItems(signs, b, legendPitch) })
}

// laneHeight is that of one person's day in the chart by person.
const laneHeight = 7.4

// peopleCharts show each day from left to right, a lane a person.
func peopleCharts(d *desk.Desk, book *drafting.Book) {
	p := d.Plan.Programme
	fl := book.Part("by person", d.Turned())
	body := fl.Body()
	left, right := body.X+34, body.X+body.W
	opens, closes := d.Plan.Job.Crew.OpenHours()
	for _, t := range p.Tasks { // work that may not be broken off can run past the hours
		for _, piece := range t.Pieces {
			date := piece.From.Truncate(24 * time.Hour)
			opens, closes = min(opens, piece.From.Sub(date)), max(closes, piece.To.Sub(date))
		}
	}
	place := func(t time.Time) float64 {
		since := t.Sub(t.Truncate(24 * time.Hour))
		return left + (right-left)*(since-opens).Hours()/(closes-opens).Hours()
	}
	fl.Heading("Who is where, day by day", drafting.Head())
	fl.Paragraph("Two bars at the same hours are work for two: one lays, the other works. A gap between bars is time in hand. "+
		"What has no room here stands in full on the day sheets; a number alone is that of the step on the method sheet.", drafting.Body())
	fl.Space(1)
	room := body.H - 26
	for i, used := 0, 0.0; i < len(p.Days); i++ {
		day := p.Days[i]
		height := float64(len(day.People))*laneHeight + 1.6
		if used+height > room {
			fl.NewPage()
			used = 0
			room = body.H - 8
		}
		if used == 0 {
			fl.Block(4.5, func(b draw.Box) []draw.Item {
				var items []draw.Item
				for h := opens.Truncate(time.Hour); h <= closes; h += time.Hour {
					x := left + (right-left)*(h-opens).Hours()/(closes-opens).Hours()
					items = append(items, draw.Label(x, b.Y+2.6, clockWords(h), drafting.Letters(), draw.Centre),
						draw.Line(x, b.Y+3.3, x, b.Y+4.5, drafting.Faint()))
				}
				return items
			})
		}
		used += height
		fl.Block(height, func(b draw.Box) []draw.Item { return drawDay(d, day, b, place) })
	}
}

func clockWords(h time.Duration) string { return time.Time{}.Add(h).Format("15:04") }

// drawDay draws the lanes of one day.
func drawDay(d *desk.Desk, day schedule.Day, b draw.Box, place func(time.Time) float64) []draw.Item {
	steps := d.AllSteps()
	small := drafting.Small()
	items := []draw.Item{
		draw.Line(b.X, b.Y, b.X+b.W, b.Y, draw.Ink(drafting.FineWidth, drafting.Line)),
		draw.Label(b.X, b.Y+laneHeight/2+small.CapHeight()/2, day.Date.Format("Mon 2 Jan"), small.InBold(), draw.Left),
	}
	for i, person := range day.People {
		y := b.Y + 0.5 + float64(i)*laneHeight
		items = append(items, draw.Label(b.X+32, y+laneHeight/2+small.CapHeight()/2, d.Cut(person.Name, small, 12), small, draw.Right))
		for _, turn := range person.Turns {
			items = append(items, draw.Group{Title: person.Name + ": " + turn.Step,
				Items: turnBar(d, turn, steps[turn.Step], place(turn.From), place(turn.To), y)})
		}
	}
	return items
}

// turnBar is a bar with room above wall and step, cut to what fits.
func turnBar(d *desk.Desk, turn schedule.Turn, step *method.Step, x1, x2, y float64) []draw.Item {
	h := laneHeight - 0.7
	items := []draw.Item{drafting.Work(draw.Rect(x1, y, x2-x1, h).Outline, 0)}
	start := x1 + 0.7
	if step.Kind == method.Glaze {
		band := min(2, (x2-x1)/3)
		items = append(items, drafting.Work(draw.Rect(x1, y, band, h).Outline, pattern.Colour(step.Colour)))
		start += band
	}
	style := drafting.Letters().Sized(7)
	room := x2 - start - 0.4
	below := desk.StepName(step.ID)
	if wall := desk.WallName(step.Face); wall != "" {
		below = wall + ": " + below
	}
	if turn.Role != "alone" && step.Product != nil {
		below += ", " + turn.Role
	}
	if d.Fonts.Width(below, style) > room {
		for _, short := range []string{desk.StepName(step.ID), fmt.Sprint(step.Number)} {
			if below = short; d.Fonts.Width(short, style) <= room {
				break
			}
		}
	}
	above := d.Cut(step.Room, style, room)
	if d.Fonts.Width(above, style) <= room {
		items = append(items, draw.Label(start, y+2.8, above, style.Coloured(drafting.Grey), draw.Left))
	}
	if d.Fonts.Width(below, style) <= room {
		items = append(items, draw.Label(start, y+5.8, below, style, draw.Left))
	}
	return items
}
