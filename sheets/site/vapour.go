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
	for i := range air.Rooms {
		if r := &air.Rooms[i]; len(r.Series) > 0 {
			addRoomAir(d, book.Part("air of "+r.Name, d.Upright()), r)
		}
	}
	fl := book.Part("mixes", d.Upright())
	drafting.AddTitle(fl, "What the mixes give off", "Solvent in a litre as thinned here, against the limits the catalog knows. The product's own sheet comes first.")
	addMixes(fl, air)
	drafting.AddHead(fl, "What these pages take for granted")
	for _, n := range air.Notes {
		drafting.AddNote(fl, n)
	}
}

// Sizes of the chart, mm, and the lowest level drawn, mg/m3.
const (
	chartHigh  = 62.0
	chartLeft  = 16.0
	chartRight = 34.0
	lowest     = 1.0
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
	drafting.AddTitle(fl, "Air of "+r.Name, verdict)
	drafting.AddFacts(fl, 34, drafting.Fact{Name: "Back in", Value: whenWords(r.ReEntry)}, drafting.Fact{Name: "Sleep there", Value: whenWords(r.Sleep)},
		drafting.Fact{Name: "Laid", Value: fmt.Sprintf("%s of solvent in %s of air (floor: %s)", r.Solvent.Likely, r.Volume.Likely, r.FloorFrom)},
		drafting.Fact{Name: "Highest", Value: levelWords(r.Peak.Level) + ", " + r.Peak.At.Format("Mon 2 Jan 15:04")})
	c := newVapourChart(r)
	fl.Block(chartHigh+16, func(b draw.Box) []draw.Item { return c.draw(d, b) })
	drafting.AddNote(fl, "Line: likely, a mean over the room. Hatched: from low to high. Dashed: limits. Grey: nobody at work. Boxes beneath: windows open. Near the floor there is more than the mean.")
	limits := drafting.Table([]draw.Column{drafting.Words("Limit", 5), drafting.Words("Where", 2), drafting.Figures("At most", ""), drafting.Figures("Reached", "%"), drafting.Figures("Above it", "h"), drafting.Figures("Air changes that keep it", "an hour")})
	for _, l := range r.Limits {
		name := l.Name
		if !l.Verified {
			name += " (not read in its own text)"
		}
		needs := ""
		switch {
		case l.Beyond:
			needs = "none do"
		case l.Needed > 0:
			needs = unit.Figure(float64(l.Needed), 1)
		}
		limits.Rows = append(limits.Rows, drafting.Row(name, l.Region, l.Most.String(), unit.Figure(100*float64(l.Share.Likely), 0), unit.Figure(float64(l.Hours.Likely), 0), needs))
	}
	fl.Table(limits)
	if len(r.Sections) == 0 {
		return
	}
	drafting.AddHead(fl, "While a section is open")
	drafting.AddBody(fl, "A draught shortens the open time, so windows stay shut while a section is worked. Air between sections, and leave the room while it clears.")
	open := drafting.Table([]draw.Column{drafting.Words("Wall", 3), drafting.Words("Begun", 3), drafting.Figures("Windows shut", ""), drafting.Figures("Windows open", ""), drafting.Words("Limit passed while shut", 3)})
	for _, s := range r.Sections {
		above := "none"
		for _, l := range r.Limits {
			if l.Limit.ID == s.Above {
				above = l.Most.String() + ", " + l.Region
			}
		}
		open.Rows = append(open.Rows, drafting.Row(strings.TrimPrefix(s.Face, r.Name+"/"), s.Start.Format("Mon 2 Jan 15:04"), s.Shut.String(), s.Open.String(), above))
	}
	fl.Table(open)
}

func levelWords(l unit.Range[unit.Level]) string {
	return fmt.Sprintf("%s, from %s to %s", l.Likely, l.Low, l.High)
}

func whenWords(w vapour.When) string {
	switch {
	case w.Likely.IsZero():
		return "not within sight"
	case w.Latest.IsZero():
		return w.Likely.Format("Mon 2 Jan 15:04") + "; at the worst not within sight"
	}
	return w.Likely.Format("Mon 2 Jan 15:04") + ", at the latest " + w.Latest.Format("Mon 2 Jan 15:04")
}

func newVapourChart(r *vapour.Room) *vapourChart {
	c := &vapourChart{room: r, from: r.Series[0].At.Truncate(24 * time.Hour)}
	last, high := r.Series[0].At, 100.0
	for _, p := range r.Series {
		high = max(high, float64(p.Level.High))
		if float64(p.Level.Likely) > 3*lowest || p.At.Before(r.Peak.At) {
			last = p.At
		}
	}
	for _, l := range r.Limits {
		high = max(high, 1.3*float64(l.Most))
	}
	c.highest = math.Pow(10, math.Ceil(math.Log10(high)))
	c.days = max(2, int(math.Ceil(last.Sub(c.from).Hours()/24+0.2)))
	return c
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
	c.box = draw.Box{X: b.X + chartLeft, Y: b.Y + 6, W: b.W - chartLeft - chartRight, H: chartHigh}
	foot := c.box.Y + c.box.H
	small := drafting.Letters()
	items := c.nights(d)
	for level := lowest; level <= c.highest*1.001; level *= 10 {
		items = append(items, draw.Line(c.box.X, c.y(level), c.box.X+c.box.W, c.y(level), draw.Ink(drafting.RuleWidth, drafting.Line)),
			draw.Label(c.box.X-1.5, c.y(level)+1, unit.Figure(level, 0), small, draw.Right))
	}
	items = append(items, draw.Label(b.X, b.Y+3, "mg/m³", small.Coloured(drafting.Grey), draw.Left))
	items = append(items, c.levels()...)
	items = append(items, c.limits(small)...)
	items = append(items, draw.Line(c.box.X, foot+4, c.box.X+c.box.W, foot+4, drafting.Faint()), draw.Label(b.X, foot+5, "windows", small.Coloured(drafting.Grey), draw.Left))
	end := c.from.AddDate(0, 0, c.days)
	for i := 1; i < len(c.room.Series); i++ {
		if p := c.room.Series[i]; p.Aired && !p.At.After(end) {
			from := c.room.Series[i-1].At
			for i+1 < len(c.room.Series) && c.room.Series[i+1].Aired && !c.room.Series[i+1].At.After(end) {
				i++
			}
			items = append(items, draw.Rect(c.x(from), foot+2.8, c.x(c.room.Series[i].At)-c.x(from), 2.4).Filled(drafting.Paper).Stroked(drafting.Edge()))
		}
	}
	return items
}

// nights are the hours in which nobody works, with the names of the days that have room.
func (c *vapourChart) nights(d *desk.Desk) (items []draw.Item) {
	begin, stop := 8*time.Hour, 17*time.Hour
	if h := d.Plan.Job.Crew.Hours; len(h) > 0 {
		begin, stop = time.Duration(h[0].From)*time.Minute, time.Duration(h[len(h)-1].To)*time.Minute
	}
	every := 1
	for c.box.W/float64(c.days)*float64(every) < 12 {
		every++
	}
	for k := range c.days {
		day := c.from.AddDate(0, 0, k)
		for _, n := range [][2]time.Time{{day, day.Add(begin)}, {day.Add(stop), day.AddDate(0, 0, 1)}} {
			items = append(items, drafting.Night(draw.Box{X: c.x(n[0]), Y: c.box.Y, W: c.x(n[1]) - c.x(n[0]), H: c.box.H})...)
		}
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
	x, y := c.x(c.room.Peak.At), c.y(float64(c.room.Peak.Level.Likely))
	return []draw.Item{draw.Hatch(band, 1.3, 45, draw.Ink(0.12, drafting.Ink)), draw.Path{Outline: band, Stroke: drafting.Fine()}, draw.Polyline(likely, draw.Ink(0.45, drafting.Ink)),
		draw.Polygon([]draw.Point{draw.Pt(x, y-0.6), draw.Pt(x+1.6, y-3.4), draw.Pt(x-1.6, y-3.4)}).Filled(drafting.Oxide)}
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
		where := strings.NewReplacer("European Union", "EU", "United States and California", "US, California", "United States", "US").Replace(l.Region)
		items = append(items, draw.Line(c.box.X, y, right, y, drafting.Chalk()), draw.Line(right, y, right+2, at-1, drafting.Faint()), draw.Label(right+2.5, at, l.Most.String()+", "+where, style, draw.Left))
	}
	return items
}

// addMixes lists each product and thinning once: colours do not change it.
func addMixes(fl *draw.Flow, air *vapour.Air) {
	told := map[string]bool{}
	table := drafting.Table([]draw.Column{drafting.Words("Limit of", 3), drafting.Figures("At most", "g/L"), drafting.Words("", 6)})
	for i := range air.Mixes {
		m := &air.Mixes[i]
		key := fmt.Sprint(m.Product.ID, m.Parts)
		if told[key] || !m.Known {
			continue
		}
		told[key] = true
		name := m.Product.Name
		if m.Parts > 0 {
			name += fmt.Sprintf(", %s parts of thinner on 100", unit.Figure(100*float64(m.Parts), 0))
		}
		name += fmt.Sprintf(": %s g/L, from %s to %s", unit.Figure(float64(m.Actual.Likely), 0), unit.Figure(float64(m.Actual.Low), 0), unit.Figure(float64(m.Actual.High), 0))
		if m.Regulated && m.LessWater.Likely-m.Actual.Likely > 0.5 {
			name += "; without its water " + unit.Figure(float64(m.LessWater.Likely), 0)
		}
		table.Rows = append(table.Rows, drafting.GroupRow(name))
		for _, l := range m.Limits {
			where := l.Region
			if l.From != "" {
				where += ", " + l.From
			}
			if !l.Verified {
				where += " (not read in its own text)"
			}
			table.Rows = append(table.Rows, drafting.Row(where, unit.Figure(float64(l.Most), 0), l.Words))
		}
	}
	fl.Table(table)
}
