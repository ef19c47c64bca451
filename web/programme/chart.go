package programme

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"slices"
	"strings"
	"time"

	"scumble/method"
	"scumble/schedule"
	"scumble/web/frame"
)

// Widths of a day on the chart, px: its hours of work, its night, and a day without work.
const (
	workWide   = 62.0
	nightWide  = 26.0
	closedWide = 34.0
	rowHigh    = 30.0
	headHigh   = 44.0
)

// axis turns moments into px.
type axis struct {
	days  []dayBand
	width float64
	from  time.Duration // of the day's work
	to    time.Duration
}

type dayBand struct {
	day    time.Time
	left   float64
	wide   float64 // of its hours of work
	closed bool
}

func newAxis(p *schedule.Programme, from, to time.Duration) axis {
	a := axis{from: from, to: to}
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
		b := dayBand{day: day, left: a.width, wide: workWide, closed: !attended[day.Format("2006-01-02")]}
		if b.closed {
			b.wide = closedWide
		}
		a.days = append(a.days, b)
		a.width += b.wide + nightWide
		day = day.AddDate(0, 0, 1)
	}
	return a
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
		return math.Max(0, d.left-nightWide*(1-share))
	case clock <= a.to:
		return d.left + d.wide*float64(clock-a.from)/float64(a.to-a.from)
	}
	return d.left + d.wide + nightWide*float64(clock-a.to)/float64(night)
}

// row is one line of the chart.
type row struct {
	Group, Name string
	tasks       []*schedule.Task
	person      string // the pieces of this person only
}

// chart is the programme as a drawing, and the names of its rows.
type chart struct {
	Rows []row
	SVG  template.HTML
}

func draw(s *frame.Sheet, rows []row) chart {
	p := s.Board.Plan.Programme
	opens, closes := s.Board.Job.Crew.OpenHours()
	c := &canvas{axis: newAxis(p, opens, closes), steps: steps(s.Board.Plan.Method)}
	high := headHigh + rowHigh*float64(len(rows)) + 6
	c.put(`<svg width="%.0f" height="%.0f" viewBox="0 0 %.0f %.0f" role="img" aria-label="Programme from %s to %s. The table below holds its figures.">`, c.axis.width+70, high, c.axis.width+70, high,
		frame.Day(p.Start), frame.Day(p.Finish))
	c.bands(high)
	for i, r := range rows {
		y := headHigh + rowHigh*float64(i)
		c.put(`<path class="rule" d="M0 %.1fH%.1f"/>`, y, c.axis.width)
		for _, t := range r.tasks {
			c.task(t, y, r.person)
		}
	}
	x := c.axis.x(p.Finish)
	c.put(`<path class="edge" d="M%.1f 22V%.1f"/><text class="t-b" x="%.1f" y="36">ready</text></svg>`, x, high, x+5)
	return chart{rows, template.HTML(c.String())}
}

type canvas struct {
	strings.Builder
	axis  axis
	steps map[string]*method.Step
}

func (c *canvas) put(format string, values ...any) { fmt.Fprintf(c, format, values...) }

// bands are the nights and the days without work, with the names of the days.
func (c *canvas) bands(high float64) {
	for i, d := range c.axis.days {
		night := d.left + d.wide
		if d.closed {
			c.put(`<path class="f-night" d="M%.1f 40h%.1fV%.1fh-%.1fz"/><path class="f-line2" d="M%.1f 36h%.1fv4h-%.1fz"/>`, d.left, d.wide, high, d.wide, d.left, d.wide+nightWide, d.wide+nightWide)
		}
		c.put(`<path class="f-night" d="M%.1f 40h%.1fV%.1fh-%.1fz"/><path class="f-line2" d="M%.1f 36h%.1fv4h-%.1fz"/>`, night, nightWide, high, nightWide, night, nightWide, nightWide)
		c.put(`<path class="mid" d="M%.1f 20V%.1f"/>`, d.left, high)
		if i == 0 || !d.closed || !c.axis.days[i-1].closed {
			words := d.day.Format("Mon 2")
			if d.closed {
				words = "no work"
			}
			c.put(`<text x="%.1f" y="14">%s</text>`, d.left+2, words)
		}
		if i == 0 || d.day.Day() == 1 {
			c.put(`<text class="t-2" x="%.1f" y="30">%s</text>`, d.left+4, d.day.Format("January"))
		}
	}
}

// task is a bar of work and the drying behind it, whose slanted end runs from the
// earliest to the latest.
func (c *canvas) task(t *schedule.Task, y float64, person string) {
	if person != "" && !slices.Contains(t.People, person) {
		return
	}
	top, foot := y+5, y+rowHigh-5
	step := c.steps[t.Step]
	if person == "" && !t.Ready.Latest.IsZero() {
		a, b := c.axis.x(t.Ready.Earliest), c.axis.x(t.Ready.Latest)
		end := c.axis.x(t.End)
		c.put(`<path class="fine" fill="url(#h-mid)" d="M%.1f %.1fH%.1fL%.1f %.1fH%.1fZ"/>`, end, top, b, a, foot, end)
		if !t.Ready.Until.IsZero() {
			u := c.axis.x(t.Ready.Until)
			c.put(`<path class="fine" d="M%.1f %.1fv4H%.1fv-4"/>`, a, foot+1, u)
		}
	}
	label := html.EscapeString(fmt.Sprintf("%s: %s, %s to %s, %s", t.Title, t.Face, t.Start.Format("Mon 2 Jan 15:04"), t.End.Format("Mon 15:04"), strings.Join(t.People, " and ")))
	for _, piece := range t.Pieces {
		x0, x1 := c.axis.x(piece.From), c.axis.x(piece.To)
		wide := math.Max(2, x1-x0)
		fill := ` class="edge f-sheet"`
		if step != nil && step.Kind == method.Glaze {
			fill = fmt.Sprintf(` class="edge" fill="%s"`, html.EscapeString(step.Colour.Hex))
		}
		c.put(`<g class="bar"><title>%s</title><path%s d="M%.1f %.1fh%.1fV%.1fh-%.1fz"/>`, label, fill, x0, top, wide, foot, wide)
		if step != nil && step.Kind == method.Mark && wide > 5 {
			c.put(`<path class="fine" d="M%.1f %.1fV%.1fM%.1f %.1fV%.1f"/>`, x0+wide/3, top, foot, x0+wide*2/3, top, foot)
		}
		c.put("</g>")
	}
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
