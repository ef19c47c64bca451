package programme

import (
	"fmt"
	"hash/fnv"
	"html"
	"html/template"
	"math"
	"slices"
	"strings"
	"time"

	"scumble/job"
	"scumble/method"
	"scumble/schedule"
	"scumble/web/frame"
)

// size is how large a chart is drawn, px: of a day its hours of work, its night, and all of it
// where nobody works; of a row and of the names of the days the height, and what is left free
// above and below a bar.
type size struct{ work, night, closed, row, head, pad float64 }

// onScreen has room for a finger.
var onScreen = size{work: 62, night: 26, closed: 34, row: 30, head: 44, pad: 5}

// axis turns moments into px.
type axis struct {
	size
	days  []dayBand
	width float64
	from  time.Duration // of the day's work
	to    time.Duration
}

type dayBand struct {
	day    time.Time
	left   float64
	wide   float64 // of its hours of work
	closed bool    // nobody works, whether it is open or not
}

func newAxis(p *schedule.Programme, from, to time.Duration) axis {
	a := axis{size: onScreen, from: from, to: to}
	attended := map[string]bool{}
	for _, d := range p.Days {
		attended[d.Date.Format("2006-01-02")] = true
	}
	last := p.Finish
	for _, t := range p.Tasks {
		if t.Ready.Latest.After(last) {
			last = t.Ready.Latest
		}
	}
	day := p.Start.Truncate(24 * time.Hour)
	for !day.After(last) && len(a.days) < 400 {
		a.add(dayBand{day: day, closed: !attended[day.Format("2006-01-02")]})
		day = day.AddDate(0, 0, 1)
	}
	return a
}

// add lays a day behind the last.
func (a *axis) add(b dayBand) {
	b.left, b.wide = a.width, a.work
	if b.closed {
		b.wide = a.closed
	}
	a.days = append(a.days, b)
	a.width += b.wide + a.night
}

// x is the px of a moment; the night is narrower than the day.
func (a axis) x(t time.Time) float64 {
	if len(a.days) == 0 {
		return 0
	}
	i := int(t.Sub(a.days[0].day).Hours() / 24)
	if i < 0 {
		return 0
	}
	if i >= len(a.days) {
		return a.width
	}
	d := a.days[i]
	clock := t.Sub(d.day)
	night := 24*time.Hour - (a.to - a.from)
	switch {
	case clock < a.from: // the end of the night before
		share := float64(clock+24*time.Hour-a.to) / float64(night)
		return math.Max(0, d.left-a.night*(1-share))
	case clock <= a.to:
		return d.left + d.wide*float64(clock-a.from)/float64(a.to-a.from)
	}
	return d.left + d.wide + a.night*float64(clock-a.to)/float64(night)
}

// meets reports whether any of a stretch lies on the chart.
func (a axis) meets(from, to time.Time) bool {
	return len(a.days) > 0 && from.Before(a.days[len(a.days)-1].day.AddDate(0, 0, 1)) && to.After(a.days[0].day)
}

// shows reports whether a moment lies on the chart.
func (a axis) shows(t time.Time) bool {
	return len(a.days) > 0 && !t.Before(a.days[0].day) && t.Before(a.days[len(a.days)-1].day.AddDate(0, 0, 1))
}

// row is one line of the chart.
type row struct {
	Group, Name string
	tasks       []*schedule.Task
	person      string // the pieces of this person only
}

// chart is the programme as a drawing, and the names of its rows.
type chart struct {
	Rows                                       []row
	SVG                                        template.HTML
	Prints                                     []printed
	Done, Running, Supposed, Pinned, Now, From bool // which signs it uses
}

// canvas is a chart being drawn.
type canvas struct {
	strings.Builder
	axis  axis
	steps map[string]*method.Step
	from  time.Time // from when the rest is planned
	base  string    // of the addresses that ask about something; none on paper
	pins  map[string]bool
	signs *chart
}

// strokes are lines and areas, those of one look as one path, so that there is little to send and
// to lay out. Where two of a look meet, their areas are one.
type strokes struct {
	looks []string
	paths map[string]*strings.Builder
}

func (s *strokes) add(look, format string, values ...any) {
	if s.paths[look] == nil {
		if s.paths == nil {
			s.paths = map[string]*strings.Builder{}
		}
		s.looks, s.paths[look] = append(s.looks, look), &strings.Builder{}
	}
	fmt.Fprintf(s.paths[look], format, values...)
}

func (c *canvas) draw(s *strokes) {
	for _, look := range s.looks {
		c.put(`<path %s d="%s"/>`, look, s.paths[look])
	}
}

// top is where a row begins.
func (c *canvas) top(row int) float64 { return c.axis.head + c.axis.row*float64(row) }

func (c *canvas) put(format string, values ...any) { fmt.Fprintf(c, format, values...) }

func draw(s *frame.Sheet, rows []row) chart {
	p := s.Board.Plan.Programme
	opens, closes := s.Board.Job.Crew.OpenHours()
	out := chart{Rows: rows}
	c := &canvas{axis: newAxis(p, opens, closes), steps: steps(s.Board.Plan.Method), from: p.PlannedFrom, base: html.EscapeString(asking(s)), pins: map[string]bool{}, signs: &out}
	for _, pin := range s.Board.Job.Crew.Pins {
		c.pins[pin.Step] = true
	}
	c.put(` width="%.0f" height="%.0f" viewBox="0 0 %.0f %.0f" role="group" aria-label="Programme from %s to %s. The days below hold its figures.">`, c.axis.width+70, c.top(len(rows))+6, c.axis.width+70, c.top(len(rows))+6,
		frame.Day(p.Start), frame.Day(p.Finish))
	c.lay(rows, p, s)
	c.put("</svg>")
	sum := fnv.New32a()
	_, _ = sum.Write([]byte(c.String())) // a hash never fails
	// Its name follows from what it shows: a chart that is another one is put in the place of the
	// old one as a whole, which is sooner done than changing its parts one by one.
	out.SVG = template.HTML(fmt.Sprintf(`<svg id="chart-%08x"`, sum.Sum32()) + c.String())
	out.Prints = prints(c, rows, p, s)
	return out
}

// lay draws rows over the days of the axis.
func (c *canvas) lay(rows []row, p *schedule.Programme, s *frame.Sheet) {
	high := c.top(len(rows)) + 6
	c.bands(high)
	for i := range rows {
		c.put(`<path class="rule" d="M0 %.1fH%.1f"/>`, c.top(i), c.axis.width)
	}
	var drying, bars, marks strokes
	for i, r := range rows { // what dries lies under what is worked
		for _, t := range r.tasks {
			c.dries(&drying, t, c.top(i), r.person)
		}
	}
	c.draw(&drying)
	c.put(`<g data-bars>`)
	for i, r := range rows {
		for _, t := range r.tasks {
			c.task(&bars, &marks, t, c.top(i), i, r.person)
		}
	}
	c.draw(&bars)
	c.draw(&marks)
	c.put(`</g>`)
	c.moments(s.Now, high)
	if c.axis.shows(p.Finish) {
		x := c.axis.x(p.Finish)
		c.put(`<path class="edge" d="M%.1f %.0fV%.1f"/><text class="t-b" x="%.1f" y="%.1f">ready</text>`, x, c.axis.head-8, high, x+5, c.axis.head+14)
	}
	c.heads(&s.Board.Job.Crew)
}

// bands are the nights and the days without work.
func (c *canvas) bands(high float64) {
	head := c.axis.head
	dark := func(left, wide, shade float64) {
		c.put(`<path class="f-night" d="M%.1f %.0fh%.1fV%.1fh-%.1fz"/><path class="f-line2" d="M%.1f %.0fh%.1fv4h-%.1fz"/>`, left, head-4, wide, high, wide, left, head-8, shade, shade)
	}
	for _, d := range c.axis.days {
		if d.closed {
			dark(d.left, d.wide, d.wide+c.axis.night)
		}
		dark(d.left+d.wide, c.axis.night, c.axis.night)
		c.put(`<path class="mid" d="M%.1f %.0fV%.1f"/>`, d.left, head-24, high)
	}
}

// heads are the names of the days, each of which can be closed or opened. They lie over the rows,
// for on screen they stay in sight while these slide beneath.
func (c *canvas) heads(crew *job.Crew) {
	high := c.axis.head
	c.put(`<g data-heads>`)
	if c.base != "" {
		c.put(`<path class="back" d="M0 0h%.1fv%.0fh-%.1fz"/>`, c.axis.width+70, high-8, c.axis.width+70)
	}
	for i, d := range c.axis.days {
		date, wide := d.day.Format(time.DateOnly), d.wide+c.axis.night
		under, deed := "", "close"
		if !crew.WorksOn(d.day) {
			under, deed = "no work", "open"
		} else if d.closed {
			under = "free"
		}
		if i == 0 || d.day.Day() == 1 {
			under = d.day.Format("January")
		}
		words := fmt.Sprintf(`<text x="%.1f" y="%.0f">%s</text> <text class="t-2" x="%.1f" y="%.0f">%s</text>`, d.left+2, high*.32, d.day.Format("Mon 2"), d.left+2, high*.68, under)
		if c.base == "" {
			c.put("%s", words)
			continue
		}
		c.put(`<a class="head" href="%s&amp;try=%s&amp;day=%s#tried" data-day="%s" data-left="%.1f" aria-label="%s: %s this day?"><path class="hit" d="M%.1f 0h%.1fv%.0fh-%.1fz"/>%s</a>`,
			c.base, deed, date, date, d.left, strings.TrimSpace(d.day.Format("Mon 2 ")+under), deed, d.left, wide, high, wide, words)
	}
	c.put(`</g>`)
}

// moments are the line where one is now, and the one from which is planned where that is another.
func (c *canvas) moments(now time.Time, high float64) {
	if c.axis.shows(c.from) && now.Sub(c.from).Abs() > time.Hour {
		x := c.axis.x(c.from)
		c.signs.From = true
		c.put(`<path class="edge" stroke-dasharray="2 4" d="M%.1f %.0fV%.1f"/>`, x, c.axis.head-4, high)
	}
	if c.axis.shows(now) {
		x := c.axis.x(now)
		c.signs.Now = true
		c.put(`<g class="now"><path class="plumb" d="M%.1f %.0fV%.1f"/><use href="#bob" x="%.1f" y="%.0f" width="12" height="20"/></g>`, x, c.axis.head-8, high, x-6, c.axis.head-14)
	}
}

// dries is the drying behind a bar, whose slanted end runs from the earliest to the latest.
func (c *canvas) dries(drying *strokes, t *schedule.Task, y float64, person string) {
	if person != "" || t.Ready.Latest.IsZero() {
		return
	}
	top, foot := y+c.axis.pad, y+c.axis.row-c.axis.pad
	a, b := c.axis.x(t.Ready.Earliest), c.axis.x(t.Ready.Latest)
	end := c.axis.x(t.End)
	if c.axis.meets(t.End, t.Ready.Latest) {
		drying.add(`class="fine" fill="url(#h-mid)"`, "M%.1f %.1fH%.1fL%.1f %.1fH%.1fZ", end, top, b, a, foot, end)
	}
	until := t.Ready.Until
	if until.IsZero() || until.Sub(t.End) > schedule.LongWindow || !c.axis.meets(t.Ready.Earliest, until) {
		return
	}
	hook := func(t time.Time) float64 { // a window that goes on beside the chart has no end here
		if c.axis.shows(t) {
			return c.axis.pad - 1
		}
		return 0
	}
	drying.add(`class="fine"`, "M%.1f %.1fv%.1fH%.1fv-%.1f", a, foot+1, hook(t.Ready.Earliest), c.axis.x(until), hook(until))
}

// task is a bar of work, with marks over it. On screen it can be taken hold of; on paper bars are
// drawn with others of their look.
func (c *canvas) task(bars, marks *strokes, t *schedule.Task, y float64, row int, person string) {
	if person != "" && !slices.Contains(t.People, person) {
		return
	}
	state, fixed := "", ""
	switch {
	case t.Supposed:
		state, fixed, c.signs.Supposed = ", done, nobody noted when", " data-fixed", true
	case t.Done:
		state, fixed, c.signs.Done = ", done", " data-fixed", true
	case t.Running:
		state, fixed, c.signs.Running = ", in work", " data-fixed", true
	case c.pins[t.Step]:
		state = ", pinned"
	}
	if c.base != "" {
		c.put(`<a class="bar" href="%s&amp;try=step&amp;step=%s#tried" data-step="%s" data-row="%d" data-on="%s"%s aria-label="%s">`, c.base, template.URLQueryEscaper(t.Step), html.EscapeString(t.Step), row, t.Start.Format(time.DateOnly), fixed,
			html.EscapeString(fmt.Sprintf("%s: %s, %s to %s, %s%s", t.Title, placeOf(t), t.Start.Format("Mon 2 Jan 15:04"), t.End.Format("Mon 15:04"), strings.Join(t.People, " and "), state)))
		bars, marks = &strokes{}, &strokes{}
		defer func() {
			c.draw(bars)
			c.draw(marks)
			c.put("</a>")
		}()
	}
	for _, piece := range t.Pieces {
		if c.axis.meets(piece.From, piece.To) {
			c.piece(bars, marks, t, piece, y)
		}
	}
	if c.pins[t.Step] && len(t.Pieces) > 0 && c.axis.shows(t.Pieces[0].From) {
		x := c.axis.x(t.Pieces[0].From)
		c.signs.Pinned = true
		marks.add(`class="edge"`, "M%.1f %.1fv%.1f", x, y+c.axis.pad-2, c.axis.row-2*c.axis.pad+4)
		r := c.axis.pad - 1
		marks.add(`class="f-ink"`, "M%.1f %.1fa%.1f %.1f 0 1 0 %.1f 0a%.1f %.1f 0 1 0 -%.1f 0z", x-r, y+r, r, r, 2*r, r, r, 2*r)
	}
}

// piece is one unbroken stretch of a bar. What is planned is a sheet with an edge, or the glaze
// itself; what is done is solid, so that it shows in print and in the sun.
func (c *canvas) piece(bars, marks *strokes, t *schedule.Task, p schedule.Piece, y float64) {
	top, foot := y+c.axis.pad, y+c.axis.row-c.axis.pad
	x0, x1 := c.axis.x(p.From), c.axis.x(p.To)
	wide := math.Max(2, x1-x0)
	step := c.steps[t.Step]
	fill := `class="edge f-sheet"`
	glaze := step != nil && step.Kind == method.Glaze
	if glaze {
		fill = fmt.Sprintf(`class="edge" fill="%s"`, html.EscapeString(step.Colour.Hex))
	}
	if c.base != "" {
		c.put(`<path class="hit" d="M%.1f %.1fh%.1fv%.0fh-%.1fz"/>`, x0-4, y, wide+8, c.axis.row, wide+8)
	}
	bars.add(fill, "M%.1f %.1fh%.1fV%.1fh-%.1fz", x0, top, wide, foot, wide)
	if glaze { // known in grey and in the sun, too
		marks.add(`class="floor"`, "M%.1f %.1fh%.1f", x0, top, wide)
	}
	until := x0
	switch {
	case t.Done:
		until = x0 + wide
	case t.Running:
		until = math.Min(x0+wide, math.Max(x0, c.axis.x(c.from)))
	}
	if until > x0 {
		from := top
		if glaze { // its colour stays in sight above
			from = top + .4*(foot-top)
		}
		solid := `class="f-ink"`
		if t.Supposed {
			solid = `fill="url(#h-wet)"`
		}
		marks.add(solid, "M%.1f %.1fH%.1fV%.1fH%.1fz", x0, from, until, foot, x0)
		return
	}
	if step != nil && step.Kind == method.Mark && wide > c.axis.pad {
		marks.add(`class="fine"`, "M%.1f %.1fV%.1fM%.1f %.1fV%.1f", x0+wide/3, top, foot, x0+wide*2/3, top, foot)
	}
}

// placeOf is where a step is done.
func placeOf(t *schedule.Task) string {
	if t.Face == "" {
		return t.Room
	}
	return strings.Replace(t.Face, "/", ", ", 1)
}

func steps(m *method.Method) map[string]*method.Step {
	out := map[string]*method.Step{}
	if m == nil {
		return out
	}
	for f := range m.Faces {
		for i := range m.Faces[f].Steps {
			out[m.Faces[f].Steps[i].ID] = &m.Faces[f].Steps[i]
		}
	}
	for r := range m.Rooms {
		for i := range m.Rooms[r].Steps {
			out[m.Rooms[r].Steps[i].ID] = &m.Rooms[r].Steps[i]
		}
	}
	return out
}
