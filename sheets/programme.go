package sheets

import (
	"fmt"
	"strings"
	"time"

	"scumble/draw"
	"scumble/method"
	"scumble/schedule"
	"scumble/sheets/drafting"
	"scumble/sheets/elevation"
)

// programme is the chart of the whole job, then week by week and person by
// person, and a sheet for each person and day.
func (d *desk) programme() (draw.Doc, error) {
	book := d.book("Programme")
	d.wholeChart(book)
	d.weekCharts(book)
	d.peopleCharts(book)
	d.daySheets(book)
	return book.Doc("Programme: charts by wall and by person, and a sheet for each person and day"), nil
}

// allSteps finds a step of the method by its ID.
func (d *desk) allSteps() map[string]*method.Step {
	steps := map[string]*method.Step{}
	for i := range d.plan.Method.Rooms {
		for s := range d.plan.Method.Rooms[i].Steps {
			steps[d.plan.Method.Rooms[i].Steps[s].ID] = &d.plan.Method.Rooms[i].Steps[s]
		}
	}
	for i := range d.plan.Method.Faces {
		for s := range d.plan.Method.Faces[i].Steps {
			steps[d.plan.Method.Faces[i].Steps[s].ID] = &d.plan.Method.Faces[i].Steps[s]
		}
	}
	return steps
}

// verdict says what the programme comes to, and what shows that it is short.
func (d *desk) verdict() (claim, why string) {
	p := d.plan.Programme
	claim = fmt.Sprintf("%s in %s, ready on %s at %s.", counted(p.SiteDays, "site day", "site days"),
		counted(p.Visits, "visit", "visits"), dated(p.Finish), p.Finish.Format("15:04"))
	switch {
	case p.Bound <= 0:
		why = ""
	case p.Bound >= p.SiteDays:
		why = fmt.Sprintf("Proved: no plan needs fewer, because of this: %s.", p.BoundBy)
	default:
		why = fmt.Sprintf("No plan can need fewer than %s, because of this: %s. Whether one with fewer than %d exists is not proved.",
			counted(p.Bound, "day", "days"), p.BoundBy, p.SiteDays)
	}
	return claim, why
}

// longestRun is how many days one chart of the whole job may show.
const longestRun = 49

// wholeChart shows the job at one glance, all rooms and all days.
func (d *desk) wholeChart(book *drafting.Book) {
	p := d.plan.Programme
	fl := book.Part("the whole job", d.turned())
	body, legend := fl.Body(), d.legend(false)
	said := draw.NewColumn(d.fonts, body.W, false)
	d.addVerdict(said)
	d.addVerdict(fl)
	free := body.H - said.Height() - d.legendHeight(legend, body.W) - 6
	from, end := monday(p.Start), p.Finish.Truncate(24*time.Hour).AddDate(0, 0, 1)
	rows := d.chartRows()
	for ; from.Before(end); from = from.AddDate(0, 0, longestRun) {
		to := from.AddDate(0, 0, longestRun)
		if to.After(end) {
			to = end
		}
		c := d.newChart(from, to, body)
		c.pitch = min(6.5, max(3.2, (free-chartHead-1)/float64(max(1, len(rows)))))
		d.addChart(fl, c, rows, free)
		d.addLegend(fl, legend)
	}
}

// addVerdict says what the programme comes to, and what it could not keep.
func (d *desk) addVerdict(fl *draw.Flow) {
	claim, why := d.verdict()
	fl.Heading(claim, drafting.Title().Sized(16))
	fl.Paragraph(strings.TrimSpace(why+" Drying is planned at its slow end."), drafting.Body())
	for _, w := range d.plan.Programme.Warnings {
		shape := drafting.CautionShape
		if w.Hold {
			shape = drafting.HoldShape
		}
		fl.Space(0.8)
		d.addMarked(fl, shape, strings.Replace(w.Name, "/", ", ", 1)+": "+w.What+" "+w.Do, drafting.Small())
	}
	fl.Space(2)
}

// weekCharts show each week large enough to read the hour.
func (d *desk) weekCharts(book *drafting.Book) {
	p := d.plan.Programme
	rows := d.chartRows()
	legend := d.legend(true)
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
		fl := book.Part("week of "+from.Format("2 January"), d.turned())
		body := fl.Body()
		c := d.newChart(from, to, body)
		c.detail, c.pitch = true, 6
		free := body.H - 12 - d.legendHeight(legend, body.W)
		for i, part := range splitRows(seen, int((free-chartHead-1)/c.pitch)) {
			if i > 0 {
				fl.NewPage()
			}
			fl.Heading(weekTitle(from, part), drafting.Head())
			fl.Space(2)
			d.addChart(fl, c, part, free)
			d.addLegend(fl, legend)
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

func (d *desk) newChart(from, to time.Time, body draw.Box) *chart {
	return &chart{desk: d, axis: d.timeAxis(from, to, body.X+chartLabels, body.X+body.W), steps: d.allSteps()}
}

func (d *desk) addChart(fl *draw.Flow, c *chart, rows []chartRow, free float64) {
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

// sign is one entry of the legend.
type sign struct {
	words string
	width float64
	draw  func(x, y float64) []draw.Item // y is the foot of the words
}

// legend explains the signs of a chart.
func (d *desk) legend(detail bool) []sign {
	bar := func(w float64) draw.Outline { return draw.Rect(0, -2.6, w, 3.2).Outline }
	at := func(x, y float64, items ...draw.Item) []draw.Item {
		return []draw.Item{draw.Group{Place: draw.Shift(x, y), Items: items}}
	}
	glaze := draw.Colour(0)
	if len(d.plan.Method.Faces) > 0 {
		glaze = elevation.Colour(d.plan.Method.Faces[0].Finish.Glaze)
	}
	signs := []sign{
		{"ground, primer and other work", 4, func(x, y float64) []draw.Item { return at(x, y, drafting.Work(bar(4), 0)) }},
		{"glaze, in its colour", 4, func(x, y float64) []draw.Item { return at(x, y, drafting.Work(bar(4), glaze)) }},
		{"look at the wall", 1.2, func(x, y float64) []draw.Item { return at(x, y, drafting.Work(bar(1.2), drafting.Ink)) }},
		{"drying: foot earliest, head latest", 11, func(x, y float64) []draw.Item {
			return at(x, y, drafting.Drying.Fill(drafting.Slanted(0, 7, 0, 11, -2.6, 0.6))...)
		}},
		{"next coat must fall in here (limits of up to 10 days)", 9, func(x, y float64) []draw.Item { return at(x, y, drafting.Window(0, 9, 0)) }},
		{"night or closed, drawn narrower than the day", 5, func(x, y float64) []draw.Item {
			return at(x, y, drafting.Night(draw.Box{X: 0, Y: -2.6, W: 5, H: 3.2})...)
		}},
	}
	if !detail {
		return signs
	}
	return append(signs,
		sign{"setting out", 4, func(x, y float64) []draw.Item {
			items := []draw.Item{drafting.Work(bar(4), 0)}
			for _, u := range []float64{1, 2, 3} {
				items = append(items, draw.Line(u, -2.6, u, 0.6, drafting.Fine()))
			}
			return at(x, y, items...)
		}},
		sign{"hold: check before you start", 3, func(x, y float64) []draw.Item { return at(x, y, drafting.HoldShape.Mark(1.5, -1, 2.6)...) }},
		sign{"thick foot: a delay moves the end of the job", 4, func(x, y float64) []draw.Item {
			return at(x, y, drafting.Work(bar(4), 0), draw.Line(0, 0.6, 4, 0.6, drafting.Floor()))
		}},
		sign{"number of the step on the wall's method sheet", 4, func(x, y float64) []draw.Item {
			style := drafting.Letters().Sized(7).InBold()
			return at(x, y, drafting.Work(bar(4), 0), draw.Label(2, -1+style.CapHeight()/2, "3", style, draw.Centre))
		}})
}

// legendPitch is the distance of the lines of a legend, in mm.
const legendPitch = 5.0

// legendPlaces sets signs one after the other in as many lines as it takes.
func (d *desk) legendPlaces(signs []sign, width, pitch float64) (places []draw.Point, height float64) {
	x, y := 0.0, 0.0
	for _, s := range signs {
		w := s.width + 1.6 + d.fonts.Width(s.words, drafting.Note())
		if x > 0 && x+w > width {
			x, y = 0, y+pitch
		}
		places = append(places, draw.Pt(x, y))
		x += w + 5
	}
	return places, y + pitch + 1
}

func (d *desk) legendItems(signs []sign, b draw.Box, pitch float64) []draw.Item {
	places, _ := d.legendPlaces(signs, b.W, pitch)
	var items []draw.Item
	for i, s := range signs {
		x, y := b.X+places[i].X, b.Y+places[i].Y+pitch
		items = append(items, s.draw(x, y)...)
		items = append(items, draw.Label(x+s.width+1.6, y, s.words, drafting.Note().Coloured(drafting.Ink), draw.Left))
	}
	return items
}

func (d *desk) legendHeight(signs []sign, width float64) float64 {
	_, height := d.legendPlaces(signs, width, legendPitch)
	return height
}

func (d *desk) addLegend(fl *draw.Flow, signs []sign) {
	fl.Block(d.legendHeight(signs, fl.Body().W), func(b draw.Box) []draw.Item { return d.legendItems(signs, b, legendPitch) })
}

// laneHeight is that of one person's day in the chart by person.
const laneHeight = 7.4

// peopleCharts show each day from left to right, a lane a person.
func (d *desk) peopleCharts(book *drafting.Book) {
	p := d.plan.Programme
	fl := book.Part("by person", d.turned())
	body := fl.Body()
	left, right := body.X+34, body.X+body.W
	opens, closes := d.openHours()
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
		fl.Block(height, func(b draw.Box) []draw.Item { return d.drawDay(day, b, place) })
	}
}

func clockWords(h time.Duration) string { return time.Time{}.Add(h).Format("15:04") }

// drawDay draws the lanes of one day.
func (d *desk) drawDay(day schedule.Day, b draw.Box, place func(time.Time) float64) []draw.Item {
	steps := d.allSteps()
	small := drafting.Small()
	items := []draw.Item{
		draw.Line(b.X, b.Y, b.X+b.W, b.Y, draw.Ink(drafting.FineWidth, drafting.Line)),
		draw.Label(b.X, b.Y+laneHeight/2+small.CapHeight()/2, day.Date.Format("Mon 2 Jan"), small.InBold(), draw.Left),
	}
	for i, person := range day.People {
		y := b.Y + 0.5 + float64(i)*laneHeight
		items = append(items, draw.Label(b.X+32, y+laneHeight/2+small.CapHeight()/2, d.cut(person.Name, small, 12), small, draw.Right))
		for _, turn := range person.Turns {
			items = append(items, draw.Group{Title: person.Name + ": " + turn.Step,
				Items: d.turnBar(turn, steps[turn.Step], place(turn.From), place(turn.To), y)})
		}
	}
	return items
}

// turnBar is a bar with room above wall and step, cut to what fits.
func (d *desk) turnBar(turn schedule.Turn, step *method.Step, x1, x2, y float64) []draw.Item {
	h := laneHeight - 0.7
	items := []draw.Item{drafting.Work(draw.Rect(x1, y, x2-x1, h).Outline, 0)}
	start := x1 + 0.7
	if step.Kind == method.Glaze {
		band := min(2, (x2-x1)/3)
		items = append(items, drafting.Work(draw.Rect(x1, y, band, h).Outline, elevation.Colour(step.Colour)))
		start += band
	}
	style := drafting.Letters().Sized(7)
	room := x2 - start - 0.4
	below := stepName(step.ID)
	if wall := wallName(step.Face); wall != "" {
		below = wall + ": " + below
	}
	if turn.Role != "alone" && step.Product != nil {
		below += ", " + turn.Role
	}
	if d.fonts.Width(below, style) > room {
		for _, short := range []string{stepName(step.ID), fmt.Sprint(step.Number)} {
			if below = short; d.fonts.Width(short, style) <= room {
				break
			}
		}
	}
	above := d.cut(step.Room, style, room)
	if d.fonts.Width(above, style) <= room {
		items = append(items, draw.Label(start, y+2.8, above, style.Coloured(drafting.Grey), draw.Left))
	}
	if d.fonts.Width(below, style) <= room {
		items = append(items, draw.Label(start, y+5.8, below, style, draw.Left))
	}
	return items
}
