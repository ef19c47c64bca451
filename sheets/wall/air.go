package wall

import (
	"fmt"
	"math"
	"slices"
	"time"

	"scumble/catalog"
	"scumble/draw"
	"scumble/drying"
	"scumble/schedule"
	"scumble/sheets/drafting"
	"scumble/unit"
)

// curve is one figure of the air through the hours.
type curve struct {
	at     func(drying.Air) float64
	stroke draw.Stroke
}

// strip is a band with curves under one scale.
type strip struct {
	name, unit string
	curves     []curve
	limit      float64 // a line nobody paints beyond; NaN for none
	low, high  float64 // of the scale
}

// strips of the air: temperatures, humidity, and how far the wall is above the dew point. The
// scale of each holds all the days of the wall, so that lines of days can be compared.
func (p *dryPage) strips() []strip {
	humidity, margin := drying.Limits(p.desk.Plan.Catalog.Defaults)
	solid, dashed := draw.Ink(0.35, drafting.Ink), draw.Ink(0.35, drafting.Ink).Dashed(1.2, 0.7)
	all := []strip{
		{name: "Air, wall", unit: "°C", limit: math.NaN(), curves: []curve{
			{func(a drying.Air) float64 { return float64(a.Temp) }, solid},
			{func(a drying.Air) float64 { return float64(a.Surface) }, dashed}}},
		{name: "Humidity", unit: "%", limit: 100 * float64(humidity), curves: []curve{
			{func(a drying.Air) float64 { return 100 * float64(a.Humidity) }, solid}}},
		{name: "Over dew", unit: "K", limit: margin, curves: []curve{
			{func(a drying.Air) float64 {
				m, err := a.Margin()
				if err != nil { // air that cannot be judged is on hold, and shown there
					return 0
				}
				return m
			}, solid}}},
	}
	for i := range all {
		s := &all[i]
		s.low, s.high = math.Inf(1), math.Inf(-1)
		for _, c := range s.curves {
			for _, day := range p.days() {
				for h := range 24 {
					v := c.at(p.airAt(day.Add(time.Duration(h) * time.Hour)))
					s.low, s.high = min(s.low, v), max(s.high, v)
				}
			}
		}
		if !math.IsNaN(s.limit) {
			s.low, s.high = min(s.low, s.limit), max(s.high, s.limit)
		}
		const round = 5
		s.low, s.high = round*math.Floor(s.low/round), round*math.Ceil(s.high/round)
		if s.high == s.low {
			s.high += round
		}
	}
	return all
}

func (p *dryPage) airAt(t time.Time) drying.Air { return p.climate.At(t.Sub(p.first).Hours()) }

// air draws the strips beneath the coats, with the hours on hold as a bar on top.
func (p *dryPage) air(a *dayAxis, x, y float64) []draw.Item {
	small := drafting.Letters().Sized(7)
	var items []draw.Item
	for _, s := range p.strips() {
		bottom := y + p.strip
		place := func(v float64) float64 { return bottom - (v-s.low)/(s.high-s.low)*p.strip }
		items = append(items, draw.Label(x, y+2.6, s.name, drafting.Letters().InBold(), draw.Left),
			draw.Label(x, y+5.6, s.unit, small.Coloured(drafting.Grey), draw.Left))
		for _, v := range []float64{s.low, s.high} {
			items = append(items, draw.Line(a.left, place(v), a.right(), place(v), draw.Ink(drafting.RuleWidth, drafting.Line)))
			base := place(v) + small.CapHeight()/2
			if v == s.high {
				base += 0.5
			} else {
				base -= 0.3
			}
			items = append(items, draw.Label(a.left-1, base, unit.Figure(v, 0), small.Coloured(drafting.Grey), draw.Right))
		}
		if !math.IsNaN(s.limit) && s.limit > s.low && s.limit < s.high {
			items = append(items, draw.Line(a.left, place(s.limit), a.right(), place(s.limit), drafting.Doubt(drafting.Oxide)))
			if off := place(s.limit); off-y > 3 && bottom-off > 3 {
				items = append(items, draw.Label(a.left-1, off+small.CapHeight()/2, unit.Figure(s.limit, 0), small.InBold(), draw.Right))
			}
		}
		for _, c := range s.curves {
			items = append(items, p.curve(a, c, place)...)
		}
		y += p.strip + dryGap
	}
	top := y - 3*(p.strip+dryGap)
	for _, h := range p.onHold(a.days) {
		items = append(items, onHold(a.place(h.from), a.place(h.to), top-0.9)...)
	}
	return items
}

// curve is a line through the middles of the hours; it breaks where days are left out.
func (p *dryPage) curve(a *dayAxis, c curve, place func(float64) float64) []draw.Item {
	var items []draw.Item
	var points []draw.Point
	flush := func() {
		if len(points) > 1 {
			items = append(items, draw.Polyline(points, c.stroke))
		}
		points = nil
	}
	for n, day := range a.days {
		if !a.follows(n) {
			flush()
			points = append(points, draw.Pt(a.start(n), place(c.at(p.airAt(day)))))
		}
		for h := range 24 {
			at := day.Add(time.Duration(h)*time.Hour + 30*time.Minute)
			points = append(points, draw.Pt(a.place(at), place(c.at(p.airAt(at)))))
		}
		if n+1 == len(a.days) || !a.follows(n+1) {
			points = append(points, draw.Pt(a.start(n+1), place(c.at(p.airAt(day.Add(23*time.Hour))))))
		}
	}
	flush()
	return items
}

// span is a stretch of hours in which nobody paints, with the reasons.
type span struct {
	from, to time.Time
	holds    []drying.Hold
}

// onHold are the hours of some days in which the air is against painting; in the hours of a
// coat its own product counts too.
func (p *dryPage) onHold(days []time.Time) []span {
	var out []span
	for _, day := range days {
		for h := range 24 {
			from := day.Add(time.Duration(h) * time.Hour)
			to := from.Add(time.Hour)
			holds := drying.Holds(p.airAt(from), p.laidIn(from, to), p.desk.Plan.Catalog.Defaults)
			if len(holds) == 0 {
				continue
			}
			if n := len(out); n > 0 && out[n-1].to.Equal(from) {
				out[n-1].to = to
				continue
			}
			out = append(out, span{from, to, holds})
		}
	}
	return out
}

// laidIn is the product that is laid between two moments, or nil.
func (p *dryPage) laidIn(from, to time.Time) *catalog.Product {
	for _, c := range p.coats {
		if slices.ContainsFunc(c.task.Pieces, func(piece schedule.Piece) bool { return piece.From.Before(to) && piece.To.After(from) }) {
			return c.step.Product
		}
	}
	return nil
}

// onHold is a heavy bar with the sign of a hold at its beginning.
func onHold(x1, x2, y float64) []draw.Item {
	return append([]draw.Item{draw.Rect(x1, y-0.5, x2-x1, 1).Filled(drafting.Ink)}, drafting.HoldShape.Mark(x1+1, y, 2.2)...)
}

// holds say in words when and why nobody paints, the first three times.
func (p *dryPage) holds(fl *draw.Flow) {
	spans := p.onHold(p.days())
	for _, s := range spans[:min(3, len(spans))] {
		h := s.holds[0]
		drafting.AddNote(fl, fmt.Sprintf("On hold from %s to %s: %s. %s", s.from.Format("Mon 2 Jan, 15:04"), s.to.Format("Mon 2 Jan, 15:04"), h.Figure, h.Do))
	}
	if n := len(spans) - 3; n > 0 {
		drafting.AddNote(fl, fmt.Sprintf("And %d more times, as drawn.", n))
	}
	drafting.AddNote(fl, "The air is that of the job: measured or stated for the room, the wall dashed. Dotted: the limit of humidity, and the least the wall must lie above the dew point. Measure on the day before a coat; drying is reckoned from what is stated here.")
}
