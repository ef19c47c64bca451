package air

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"slices"
	"strings"
	"time"

	"scumble/job"
	"scumble/vapour"
)

// Sizes of the chart, px, and the ends of its level axis, mg/m3.
const (
	plotWide  = 620.0 // of the days, as far as they are not narrower than leastDay
	leastDay  = 44.0
	leftWide  = 70.0
	rightWide = 196.0
	plotHigh  = 280.0
	headHigh  = 34.0
	lowest    = 1.0
)

type canvas struct {
	strings.Builder
	from    time.Time
	day     float64 // px
	highest float64
}

func (c *canvas) put(format string, values ...any) { fmt.Fprintf(c, format, values...) }

func (c *canvas) x(t time.Time) float64 { return leftWide + t.Sub(c.from).Hours()/24*c.day }

// y is a level on a logarithmic axis: a film loses its solvent by shares, not by amounts.
func (c *canvas) y(level float64) float64 {
	share := math.Log(max(level, lowest)/lowest) / math.Log(c.highest/lowest)
	return headHigh + plotHigh*(1-min(1, max(0, share)))
}

// draw is the solvent in a room over its days: likely as a line, the range as a band, the
// limits across it, nights in grey, and when the windows stand open under it.
func draw(r *vapour.Room, crew *job.Crew) template.HTML {
	from, days, highest := r.Shown(lowest)
	c := &canvas{from: from, day: max(leastDay, plotWide/float64(days)), highest: float64(highest)}
	end := from.AddDate(0, 0, days)
	wide, foot := c.x(end)+rightWide, headHigh+plotHigh
	c.put(`<svg width="%.0f" height="%.0f" viewBox="0 0 %.0f %.0f" role="img" aria-label="Solvent in the air of %s, %s to %s, highest %s. The table below holds the figures.">`,
		wide, foot+44, wide, foot+44, html.EscapeString(r.Name), c.from.Format("2 January"), end.AddDate(0, 0, -1).Format("2 January"), r.Peak.Level.Likely)
	c.nights(days, crew, foot)
	for level := lowest; level <= c.highest*1.001; level *= 10 {
		c.put(`<path class="rule" d="M%.1f %.1fH%.1f"/><text class="t-e" x="%.1f" y="%.1f">%s</text>`, leftWide, c.y(level), c.x(end), leftWide-8, c.y(level)+4, milligrams(level))
	}
	c.put(`<text class="t-2" x="0" y="12">mg/m³</text>`)
	c.levels(r, end)
	c.limits(r, end)
	c.aired(r, end, foot+16)
	c.put("</svg>")
	return template.HTML(c.String())
}

func milligrams(level float64) string {
	if level >= 1000 {
		return fmt.Sprintf("%.0f\u2009000", level/1000)
	}
	return fmt.Sprintf("%.0f", level)
}

// nights are the hours in which nobody works.
func (c *canvas) nights(days int, crew *job.Crew, foot float64) {
	begin, stop := crew.OpenHours()
	for d := range days {
		day := c.from.AddDate(0, 0, d)
		rest := [][2]time.Time{{day, day.Add(begin)}, {day.Add(stop), day.AddDate(0, 0, 1)}}
		if !crew.WorksOn(day) {
			rest = [][2]time.Time{{day, day.AddDate(0, 0, 1)}}
		}
		for _, n := range rest {
			c.put(`<path class="f-night" d="M%.1f %.1fH%.1fV%.1fH%.1fz"/>`, c.x(n[0]), headHigh, c.x(n[1]), foot, c.x(n[0]))
		}
		until := day.Add(24*time.Hour + begin)
		if d == days-1 {
			until = day.AddDate(0, 0, 1)
		}
		since := day.Add(stop)
		if !crew.WorksOn(day) {
			since = day
		}
		c.put(`<path class="f-line2" d="M%.1f %.1fH%.1fv4H%.1fz"/>`, c.x(since), headHigh-4, c.x(until), c.x(since))
		c.put(`<path class="mid" d="M%.1f 18V%.1f"/><text x="%.1f" y="14">%s</text>`, c.x(day), foot, c.x(day)+4, day.Format("Mon 2"))
	}
}

func (c *canvas) levels(r *vapour.Room, end time.Time) {
	var high, low, likely []string
	for _, p := range r.Series {
		if p.At.After(end) {
			break
		}
		x := c.x(p.At)
		high = append(high, fmt.Sprintf("%.1f %.1f", x, c.y(float64(p.Level.High))))
		low = append(low, fmt.Sprintf("%.1f %.1f", x, c.y(float64(p.Level.Low))))
		likely = append(likely, fmt.Sprintf("%.1f %.1f", x, c.y(float64(p.Level.Likely))))
	}
	slices.Reverse(low)
	c.put(`<path class="fine" fill="url(#h-mid)" d="M%sL%sz"/>`, strings.Join(high, "L"), strings.Join(low, "L"))
	c.put(`<path class="edge" fill="none" d="M%s"/>`, strings.Join(likely, "L"))
	c.put(`<path class="f-oxide" d="M%.1f %.1fl7 -12h-14z"/>`, c.x(r.Peak.At), c.y(float64(r.Peak.Level.Likely))-3)
}

// limits are lines across, named at the right; names that would meet are moved apart.
func (c *canvas) limits(r *vapour.Room, end time.Time) {
	list := slices.Clone(r.Limits)
	slices.SortStableFunc(list, func(a, b vapour.RoomLimit) int { return int(b.Most - a.Most) })
	before := math.Inf(-1)
	for _, l := range list {
		y := c.y(float64(l.Most))
		label := max(y+4, before+14)
		before = label
		c.put(`<path class="chalk-halo" d="M%.1f %.1fH%.1f"/><path class="chalk" d="M%.1f %.1fH%.1f"/>`, leftWide, y, c.x(end), leftWide, y, c.x(end))
		c.put(`<path class="mid" d="M%.1f %.1fL%.1f %.1f"/><text x="%.1f" y="%.1f">%s, %s</text>`, c.x(end), y, c.x(end)+8, label-4, c.x(end)+11, label, l.Most, html.EscapeString(region(l.Region)))
	}
}

// region is a short word for where a limit holds.
func region(name string) string {
	for _, one := range [][2]string{{"European Union", "EU"}, {"United States", "US"}} {
		name = strings.ReplaceAll(name, one[0], one[1])
	}
	if words, _, cut := strings.Cut(name, ","); cut {
		return words
	}
	return name
}

// aired are the hours in which the windows stand open.
func (c *canvas) aired(r *vapour.Room, end time.Time, y float64) {
	c.put(`<text class="t-2" x="0" y="%.1f">windows</text><path class="fine" d="M%.1f %.1fH%.1f"/>`, y+8, leftWide, y+5, c.x(end))
	for _, open := range r.Open(end) {
		c.put(`<path class="edge f-paper" d="M%.1f %.1fH%.1fv10H%.1fz"/>`, c.x(open[0]), y, c.x(open[1]), c.x(open[0]))
	}
	c.put(`<text class="t-2" x="%.1f" y="%.1f">a box: open</text>`, leftWide, y+26)
}
