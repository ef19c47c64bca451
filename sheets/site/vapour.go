package site

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"scumble/draw"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/unit"
	"scumble/vapour"
)

// addAir is the air of every room in which solvent is laid, and what the mixes give off.
func addAir(d *desk.Desk, book *drafting.Book) {
	air := d.Plan.Air
	if air == nil {
		return
	}
	told := false
	for i := range air.Rooms {
		r := &air.Rooms[i]
		if len(r.Series) == 0 {
			continue
		}
		fl := book.Part("air of "+r.Name, d.Upright())
		addRoomAir(d, fl, r)
		if !told { // once, and before the other rooms are read
			drafting.AddHead(fl, "What these pages take for granted")
			for _, n := range air.Notes {
				drafting.AddNote(fl, n)
			}
		}
		told = true
	}
	fl := book.Part("mixes", d.Upright())
	drafting.AddTitle(fl, "What the mixes give off", "Solvent in a litre as thinned here. The product's own sheet and local rules come first.")
	addMixes(fl, air)
}

// Sizes of the chart, mm, and the lowest level drawn, mg/m3.
const (
	chartHigh = 50.0
	chartHead = 6.0 // for the days
	chartFoot = 7.0 // for the windows
	chartLeft = 16.0
	lowest    = 1.0
)

// vapourChart is the solvent in a room over its days.
type vapourChart struct {
	room    *vapour.Room
	from    time.Time
	days    int
	box     draw.Box // of the plot
	highest float64
}

func addRoomAir(d *desk.Desk, fl *draw.Flow, r *vapour.Room) {
	verdict := "The limits of solvent in the air are kept."
	if slices.ContainsFunc(r.Limits, func(l vapour.RoomLimit) bool { return !l.Kept }) {
		verdict = "Not every limit of solvent in the air is kept."
	}
	drafting.AddTitleLine(d.Fonts, fl, "Air of "+r.Name, verdict)
	drafting.AddFacts(fl, 34, drafting.Fact{Name: "Back in", Value: whenWords(r.ReEntry)}, drafting.Fact{Name: "Sleep there", Value: whenWords(r.Sleep)},
		drafting.Fact{Name: "Laid", Value: fmt.Sprintf("%s of solvent in %s of air (floor: %s)", r.Solvent.Likely, r.Volume.Likely, r.FloorFrom)},
		drafting.Fact{Name: "Highest", Value: levelWords(r.Peak.Level) + ", " + moment(r.Peak.At)})
	fl.Space(2)
	c, signs := newVapourChart(r), chartSigns()
	fl.Block(chartHead+chartHigh+chartFoot, func(b draw.Box) []draw.Item { return c.draw(d, b) })
	_, high := d.LegendPlaces(signs, fl.Body().W, 4.2)
	fl.Block(high+1, func(b draw.Box) []draw.Item { return d.LegendItems(signs, b, 4.2) })
	addRoomLimits(fl, r)
	addOpenSections(fl, r)
}

// addRoomLimits lists the limits; what is not kept bears the sign of a caution.
func addRoomLimits(fl *draw.Flow, r *vapour.Room) {
	t := drafting.Table([]draw.Column{{Width: 4}, drafting.Words("Limit", 5), drafting.Words("Where", 1.6), drafting.Figures("At most", ""), drafting.Figures("Reached", "%"), drafting.Figures("Above it", "h"), drafting.Figures("Kept with", "changes an hour")})
	t.Pad, t.Gap = 0.6, 2.5
	for _, l := range r.Limits {
		needs := "as it is"
		switch {
		case l.Beyond:
			needs = "no airing"
		case l.Needed > 0:
			needs = unit.Figure(float64(l.Needed), 1)
		}
		row := drafting.Row("", l.Name+unread(l.Verified), l.Region, l.Most.String(), unit.Figure(100*float64(l.Share.Likely), 0), unit.Figure(float64(l.Hours.Likely), 0), needs)
		if !l.Kept {
			row.Cells[0], row.Cells[1].Bold = signCell("caution"), true
		}
		t.Rows = append(t.Rows, row)
	}
	fl.Table(t)
}

// unread says that a limit is known from others who repeat it.
func unread(verified bool) string {
	if verified {
		return ""
	}
	return " (not read in its own text)"
}

// addOpenSections lists what is laid with the windows shut, beside what it were with them open.
func addOpenSections(fl *draw.Flow, r *vapour.Room) {
	if len(r.Sections) == 0 {
		return
	}
	drafting.AddHead(fl, "While a section is open")
	drafting.AddBody(fl, "A draught shortens the open time, so windows stay shut while a section is worked. Air between sections, and leave the room while it clears.")
	t := drafting.Table([]draw.Column{drafting.Words("Wall", 2.4), drafting.Words("Begun", 2.4), drafting.Figures("Windows shut", ""), drafting.Figures("Windows open", ""), drafting.Words("Limit passed while shut", 3)})
	t.Pad = 0.6
	for _, s := range r.Sections {
		above := "none"
		for _, l := range r.Limits {
			if l.Limit.ID == s.Above {
				above = limitName(l)
			}
		}
		t.Rows = append(t.Rows, drafting.Row(strings.TrimPrefix(s.Face, r.Name+"/"), moment(s.Start), s.Shut.String(), s.Open.String(), above))
	}
	fl.Table(t)
}

// limitName is a limit where there is no room for its whole name.
func limitName(l vapour.RoomLimit) string {
	return l.Most.String() + ", " + strings.NewReplacer("European Union", "EU", "United States and California", "US, California", "United States", "US").Replace(l.Region)
}

func moment(t time.Time) string { return t.Format("Mon 2 Jan 15:04") }

func levelWords(l unit.Range[unit.Level]) string {
	return fmt.Sprintf("%s, from %s to %s", l.Likely, l.Low, l.High)
}

// whenWords say likely, earliest and latest; what the figures do not reach is said, too.
func whenWords(w vapour.When) string {
	at := func(t time.Time) string {
		if t.IsZero() {
			return "not within sight"
		}
		return moment(t)
	}
	if w.Earliest.IsZero() {
		return at(w.Earliest)
	}
	return "likely " + at(w.Likely) + "; earliest " + at(w.Earliest) + "; latest " + at(w.Latest)
}

// chartSigns explain the chart.
func chartSigns() []desk.Sign {
	return []desk.Sign{
		{Words: "likely, a mean over the room: near the floor there is more", Width: 7, Draw: func(x, y float64) []draw.Item {
			return []draw.Item{draw.Polyline([]draw.Point{draw.Pt(x, y), draw.Pt(x+3, y-2.4), draw.Pt(x+7, y-1.2)}, likelyInk)}
		}},
		{Words: "from low to high", Width: 7, Draw: func(x, y float64) []draw.Item { return levelBand(draw.Rect(x, y-2.6, 7, 2.8).Outline) }},
		{Words: "highest", Width: 3.2, Draw: func(x, y float64) []draw.Item { return []draw.Item{peakMark(x+1.6, y+0.6)} }},
		{Words: "a limit", Width: 7, Draw: func(x, y float64) []draw.Item { return []draw.Item{draw.Line(x, y-1, x+7, y-1, drafting.Chalk())} }},
		{Words: "nobody at work", Width: 6, Draw: func(x, y float64) []draw.Item {
			return drafting.Night(draw.Box{X: x, Y: y - 2.8, W: 6, H: 3})
		}},
		{Words: "windows open", Width: 5, Draw: func(x, y float64) []draw.Item { return []draw.Item{windowBox(x, x+5, y-1.2)} }},
	}
}

var likelyInk = draw.Ink(0.45, drafting.Ink)

func levelBand(band draw.Outline) []draw.Item {
	return []draw.Item{draw.Hatch(band, 1.3, 45, draw.Ink(0.12, drafting.Ink)), draw.Path{Outline: band, Stroke: drafting.Fine()}}
}

// peakMark stands over a point of the line.
func peakMark(x, y float64) draw.Item {
	return draw.Polygon([]draw.Point{draw.Pt(x, y-0.6), draw.Pt(x+1.6, y-3.4), draw.Pt(x-1.6, y-3.4)}).Filled(drafting.Oxide)
}

func windowBox(from, to, y float64) draw.Item {
	return draw.Rect(from, y-1.2, to-from, 2.4).Filled(drafting.Paper).Stroked(drafting.Edge())
}

func newVapourChart(r *vapour.Room) *vapourChart {
	from, days, highest := r.Shown(lowest)
	return &vapourChart{room: r, from: from, days: days, highest: float64(highest)}
}

func (c *vapourChart) x(t time.Time) float64 {
	return c.box.X + min(c.box.W, t.Sub(c.from).Hours()/24/float64(c.days)*c.box.W)
}

// y is a level on a logarithmic axis: a film loses its solvent by shares.
func (c *vapourChart) y(level float64) float64 {
	share := math.Log(max(level, lowest)/lowest) / math.Log(c.highest/lowest)
	return c.box.Y + c.box.H*(1-min(1, max(0, share)))
}

func (c *vapourChart) draw(d *desk.Desk, b draw.Box) []draw.Item {
	small, names := drafting.Letters(), 0.0
	for _, l := range c.room.Limits {
		names = max(names, d.Fonts.Width(limitName(l), small))
	}
	c.box = draw.Box{X: b.X + chartLeft, Y: b.Y + chartHead, W: b.W - chartLeft - limitReach - names, H: chartHigh}
	foot := c.box.Y + c.box.H
	items := c.nights(d)
	for level := lowest; level <= c.highest*1.001; level *= 10 {
		items = append(items, draw.Line(c.box.X, c.y(level), c.box.X+c.box.W, c.y(level), draw.Ink(drafting.RuleWidth, drafting.Line)),
			draw.Label(c.box.X-1.5, c.y(level)+1, unit.Figure(level, 0), small, draw.Right))
	}
	items = append(items, draw.Label(b.X, b.Y+3, "mg/m³", small.Coloured(drafting.Grey), draw.Left))
	items = append(items, c.levels()...)
	items = append(items, c.limits(small)...)
	items = append(items, draw.Line(c.box.X, foot+4, c.box.X+c.box.W, foot+4, drafting.Faint()), draw.Label(b.X, foot+5, "windows", small.Coloured(drafting.Grey), draw.Left))
	for _, open := range c.room.Open(c.from.AddDate(0, 0, c.days)) {
		items = append(items, windowBox(c.x(open[0]), c.x(open[1]), foot+4))
	}
	return items
}

// limitReach is how far behind the chart the names of the limits begin, mm.
const limitReach = 2.5

// nights are the hours and days on which nobody works, with the names of the days that have room.
func (c *vapourChart) nights(d *desk.Desk) (items []draw.Item) {
	opens, closes := d.Plan.Job.Crew.OpenHours()
	since, all := c.from, c.from.AddDate(0, 0, c.days)
	shut := func(until time.Time) {
		if until.After(since) {
			items = append(items, drafting.Night(draw.Box{X: c.x(since), Y: c.box.Y, W: c.x(until) - c.x(since), H: c.box.H})...)
		}
	}
	for day := c.from; day.Before(all); day = day.AddDate(0, 0, 1) {
		if d.Plan.Job.Crew.WorksOn(day) {
			shut(day.Add(opens))
			since = day.Add(closes)
		}
	}
	shut(all)
	every := 1
	for c.box.W/float64(c.days)*float64(every) < 12 {
		every++
	}
	for k := range c.days {
		day := c.from.AddDate(0, 0, k)
		items = append(items, draw.Line(c.x(day), c.box.Y-2, c.x(day), c.box.Y+c.box.H, drafting.Faint()))
		if k%every == 0 {
			items = append(items, draw.Label(c.x(day)+0.5, c.box.Y-2.5, day.Format("Mon 2"), drafting.Letters(), draw.Left))
		}
	}
	return items
}

func (c *vapourChart) levels() []draw.Item {
	var high, low, likely []draw.Point
	end := c.from.AddDate(0, 0, c.days)
	for _, p := range c.room.Series {
		if p.At.After(end) {
			break
		}
		high = append(high, draw.Pt(c.x(p.At), c.y(float64(p.Level.High))))
		low = append(low, draw.Pt(c.x(p.At), c.y(float64(p.Level.Low))))
		likely = append(likely, draw.Pt(c.x(p.At), c.y(float64(p.Level.Likely))))
	}
	slices.Reverse(low)
	band := draw.Polygon(append(high, low...)).Outline
	items := append(levelBand(band), draw.Polyline(likely, likelyInk))
	return append(items, peakMark(c.x(c.room.Peak.At), c.y(float64(c.room.Peak.Level.Likely))))
}

// limits are lines across, named at the right; names that would meet are moved apart.
func (c *vapourChart) limits(style draw.Style) (items []draw.Item) {
	list := slices.Clone(c.room.Limits)
	slices.SortStableFunc(list, func(a, b vapour.RoomLimit) int { return int(b.Most - a.Most) })
	right, before := c.box.X+c.box.W, math.Inf(-1)
	for _, l := range list {
		y := c.y(float64(l.Most))
		at := max(y+1, before+3.2)
		before = at
		items = append(items, draw.Line(c.box.X, y, right, y, drafting.Chalk()), draw.Line(right, y, right+limitReach-0.5, at-1, drafting.Faint()), draw.Label(right+limitReach, at, limitName(l), style, draw.Left))
	}
	return items
}

// addMixes lists each product and thinning once: colours do not change it. A mix that is
// not known is said to be so, lest its absence be read as nothing.
func addMixes(fl *draw.Flow, air *vapour.Air) {
	t := drafting.Table([]draw.Column{{Width: 4}, drafting.Words("Limit of", 3.8), drafting.Figures("At most", "g/L"), drafting.Words("", 7)})
	t.Pad, t.Gap = 0.6, 2.5
	for _, m := range air.Apart() {
		t.Rows = append(t.Rows, drafting.GroupRow(mixWords(&m)))
		for _, l := range m.Limits {
			where := l.Region
			if l.From != "" {
				where += ", " + l.From
			}
			row := drafting.Row("", where+unread(l.Verified), unit.Figure(float64(l.Most), 0), l.Words)
			if l.Verdict != "meets" && l.Verdict != "likely" {
				row.Cells[0], row.Cells[1].Bold = signCell("caution"), true
			}
			t.Rows = append(t.Rows, row)
		}
	}
	fl.Table(t)
}

func mixWords(m *vapour.Mix) string {
	words := m.Thinned()
	if !m.Known {
		return words + ": not known here, its sheet tells"
	}
	words += ": " + contentWords(m.Actual)
	if m.Regulated && m.LessWater.Likely-m.Actual.Likely > 0.5 {
		words += "; without its water " + contentWords(m.LessWater)
	}
	return words
}

func contentWords(c unit.Range[unit.Content]) string {
	return fmt.Sprintf("%s g/L (%s to %s)", unit.Figure(float64(c.Likely), 0), unit.Figure(float64(c.Low), 0), unit.Figure(float64(c.High), 0))
}
