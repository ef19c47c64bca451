package programme

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"time"

	"scumble/schedule"
	"scumble/web/frame"
)

// onPaper is drawn so that a fortnight of five-day weeks and its rows fill a sheet of A4 or Letter
// laid on its side; the style of the page gives the same room.
var onPaper = size{work: 41, night: 17, closed: 23, head: 32, pad: 2.5}

const (
	nameWide  = 204.0 // px of the names of the rows
	paperWide = 740.0 // px of the days beside them
	paperHigh = 612.0 // px of the rows of a sheet
	mostRow   = 22.0
)

// printed is a part of the chart that stands on paper: some days of some rows, with the names of
// both.
type printed struct {
	Days string
	SVG  template.HTML
}

// prints are the bands of the chart under each other, a fortnight each; where a sheet is not high
// enough for all rows, a band takes as many sheets as it must.
func prints(screen *canvas, rows []row, p *schedule.Programme, s *frame.Sheet) []printed {
	var out []printed
	for _, band := range fortnights(screen.axis) {
		for _, part := range sheets(rows) {
			band.row = math.Min(mostRow, paperHigh/float64(len(part)))
			c := &canvas{axis: band, steps: screen.steps, from: screen.from, pins: screen.pins, signs: screen.signs}
			c.names(part)
			c.put(`<g transform="translate(%.0f 0)">`, nameWide)
			c.lay(part, p, s)
			wide, high := nameWide+paperWide, c.top(len(part))+6
			out = append(out, printed{frame.Day(band.days[0].day) + " to " + frame.Day(band.days[len(band.days)-1].day),
				template.HTML(fmt.Sprintf(`<svg width="%.0f" height="%.0f" viewBox="0 0 %.0f %.1f">%s</g></svg>`, wide, high, wide, high, c.String()))})
		}
	}
	return out
}

// names stand in boxes of text, where a long one goes on in a second line.
func (c *canvas) names(rows []row) {
	for i, r := range rows {
		c.put(`<foreignObject x="0" y="%.1f" width="%.0f" height="%.1f"><div class="name"><b>%s</b><span>%s</span></div></foreignObject>`, c.top(i), nameWide, c.axis.row, html.EscapeString(r.Group), html.EscapeString(r.Name))
	}
}

// fortnights parts the days at Mondays. A day or two left over stand with the fortnight before, and
// what is too wide is drawn narrower.
func fortnights(whole axis) []axis {
	var parts [][]dayBand
	for i, d := range whole.days {
		n := len(parts)
		if i == 0 || d.day.Weekday() == time.Monday && len(parts[n-1]) > 7 && len(whole.days)-i > 2 {
			parts = append(parts, nil)
			n++
		}
		parts[n-1] = append(parts[n-1], d)
	}
	var out []axis
	for _, days := range parts {
		band := axis{size: onPaper}
		for range 2 { // once to see how wide it is
			if share := paperWide / band.width; share < 1 {
				band.work, band.night, band.closed = band.work*share, band.night*share, band.closed*share
			}
			band = axis{size: band.size, from: whole.from, to: whole.to}
			for _, d := range days {
				band.add(d)
			}
		}
		out = append(out, band)
	}
	return out
}

// sheets parts rows where a room begins, so that no sheet has more than can be read.
func sheets(rows []row) [][]row {
	const most = 42 // at 14.6 px, in which a name can still be read
	var out [][]row
	for len(rows) > most {
		cut := most
		for i := most; i > most/2; i-- {
			if rows[i].Group != "" {
				cut = i
				break
			}
		}
		out = append(out, rows[:cut])
		rows = rows[cut:]
	}
	if len(rows) > 0 {
		out = append(out, rows)
	}
	return out
}
