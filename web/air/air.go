// Package air is the place of what is breathed: the air of the rooms hour by hour, what the
// mixes give off against their limits, the solvent in each room over the days, and when one
// may go back in. It defers to the product's own sheet and to local rules.
package air

import (
	_ "embed"
	"fmt"
	"html/template"
	"math"
	"net/url"
	"slices"
	"strings"
	"time"

	"scumble/drying"
	"scumble/unit"
	"scumble/vapour"
	"scumble/web/frame"
)

//go:embed air.html
var page string

// Place is the page.
func Place() *frame.Place {
	return &frame.Place{Slug: "air", Name: "Air", Page: page, Show: show, Routes: routes}
}

type view struct {
	Why      string
	Rooms    []roomLink
	Room     *room
	Climate  []frame.Field
	Airing   []frame.Field
	Floor    []frame.Field
	Mixes    []mix
	Rags     []rag
	RagWords string
	Table    []climateRow
	Holds    []frame.Notice
	Notes    []string
	Logged   string // what the air is known by
}

type roomLink struct {
	Name, Href string
	Here       bool
}

// room is one room with the solvent in it.
type room struct {
	Name, Verdict  string
	ReEntry, Sleep string
	Peak, Mean     string
	Laid, Volume   string
	Chart          template.HTML
	Limits         []limit
	Sections       []section
	Passed         int // sections over a limit while shut
	Cautions       []frame.Notice
}

type section struct {
	Wall, When, Shut, Open, Above string
}

type limit struct {
	Name, Region, Most, Share, Hours, Needs string
	Kept, Unread                            bool
	Airing                                  bool // Needs is a number of air changes
}

type mix struct {
	Name, Actual, LessWater string
	Limits                  []mixLimit
}

type mixLimit struct {
	Region, Most, Words, From string
	Kept, Unread              bool
}

type rag struct{ Date, Count, Rooms string }

type climateRow struct{ Room, Day, Night, Margin string }

func show(s *frame.Sheet) (any, error) {
	v := &view{}
	forms(s, v)
	climates(s, v)
	a := s.Board.Plan.Air
	if a == nil {
		v.Why = s.Waits("air")
		return v, nil
	}
	v.Notes = a.Notes
	mixes(a, v)
	for _, r := range a.Rags {
		v.Rags = append(v.Rags, rag{r.Date.Format("Mon 2 Jan"), fmt.Sprint(r.Count), strings.Join(r.Rooms, ", ")})
		v.RagWords = frame.Sentence(r.Do) + " " + frame.Sentence(r.Defer)
	}
	at := picked(s, a)
	for i := range a.Rooms {
		v.Rooms = append(v.Rooms, roomLink{a.Rooms[i].Name, "/jobs/" + s.Job.ID + "/air?" + url.Values{"room": {a.Rooms[i].Name}}.Encode(), i == at})
	}
	if at >= 0 {
		v.Room = roomOf(s, &a.Rooms[at])
		for i := range s.Board.Job.Rooms {
			if s.Board.Job.Rooms[i].Name == v.Room.Name {
				path := fmt.Sprintf("rooms[%d].floor-area", i)
				v.Floor = []frame.Field{frame.FieldOf(s.Board, path, "Floor of "+v.Room.Name, "m²")}
				if v.Floor[0].Typed == "" {
					v.Floor[0] = v.Floor[0].Noted(fmt.Sprintf("taken as %s, %s", a.Rooms[at].Floor.Likely, a.Rooms[at].FloorFrom))
				}
			}
		}
	}
	return v, nil
}

// picked is the room asked for, that of the wall picked, or the first with solvent in it.
func picked(s *frame.Sheet, a *vapour.Air) int {
	at := slices.IndexFunc(a.Rooms, func(r vapour.Room) bool { return r.Name == s.Query.Get("room") })
	if at < 0 && s.Wall != nil && s.Query.Get("wall") != "" {
		at = slices.IndexFunc(a.Rooms, func(r vapour.Room) bool { return r.Name == s.Wall.Room })
	}
	if at < 0 {
		at = slices.IndexFunc(a.Rooms, func(r vapour.Room) bool { return len(r.Series) > 0 })
	}
	if at < 0 && len(a.Rooms) > 0 {
		at = 0
	}
	return at
}

func forms(s *frame.Sheet, v *view) {
	b := s.Board
	at := func(key, label, unit string) frame.Field { return frame.FieldOf(b, "climate."+key, label, unit) }
	v.Climate = []frame.Field{at("temp", "Temperature by day", "°C"), at("humidity", "Humidity then", "%"),
		at("night", "Before sunrise it falls to", "°C").Noted("leave empty where day and night are alike"),
		at("outdoors", "Open air, mean", "°C").Noted("felt by walls marked as outside walls"),
		at("draught", "Moving air while glaze is worked", "").From(frame.Choice{Words: "none"}, frame.Choice{Value: "door", Words: "a door open"}, frame.Choice{Value: "window", Words: "a window open"}, frame.Choice{Value: "fan", Words: "a fan"}),
		at("wait-by", "A coat is dry", "").From(frame.Choice{Words: "at the later of both"}, frame.Choice{Value: "model", Words: "as this air makes it"}, frame.Choice{Value: "declared", Words: "by the clock, as declared"})}
	if n := len(b.Job.Climate.Log); n > 0 {
		v.Logged = fmt.Sprintf("%s for all rooms", frame.Counted(n, "reading", "readings"))
	}
	for i := range b.Job.Rooms {
		if n := len(b.Job.Rooms[i].Climate.Log); n > 0 {
			if v.Logged != "" {
				v.Logged += "; "
			}
			v.Logged += fmt.Sprintf("%s in %s", frame.Counted(n, "reading", "readings"), b.Job.Rooms[i].Name)
		}
	}
	v.Airing = []frame.Field{at("air-changes", "Air changes an hour, windows shut", "").Noted("empty: a wide guess"), at("aired", "Air changes an hour, windows open", "").Noted("empty: a wide guess")}
}

// climates tells the air of every room by day and at its dampest, and what says not to paint in it.
func climates(s *frame.Sheet, v *view) {
	b := s.Board
	for i := range b.Job.Rooms {
		row, least := climateRow{Room: b.Job.Rooms[i].Name}, math.Inf(1)
		for k := range s.Walls {
			w := &s.Walls[k]
			if w.RoomIndex != i {
				continue
			}
			c := b.PlaceOf(w).Climate(b.Plan.Catalog.Defaults)
			day, night := c.At(15), c.Air[0]
			for _, a := range c.Air {
				if a.Temp < night.Temp {
					night = a
				}
				if m, err := a.Margin(); err == nil {
					least = min(least, m)
				}
			}
			if row.Day == "" {
				row.Day = fmt.Sprintf("%s, %s", day.Temp, day.Humidity)
				if !c.Steadily() {
					row.Night = fmt.Sprintf("%s, %s", unit.Temp(math.Round(float64(night.Temp)*10)/10), night.Humidity)
				}
			}
			for _, h := range drying.Holds(day, nil, b.Plan.Catalog.Defaults) {
				n := frame.Notice{Kind: "hold", What: frame.Sentence(h.Figure), Do: frame.Sentence(h.Do), Where: w.Title()}
				if !slices.Contains(v.Holds, n) {
					v.Holds = append(v.Holds, n)
				}
			}
		}
		if !math.IsInf(least, 1) {
			row.Margin = unit.Figure(least, 1) + " K"
		}
		v.Table = append(v.Table, row)
	}
}

func mixes(a *vapour.Air, v *view) {
	for _, m := range a.Apart() {
		one := mix{Name: m.Thinned()}
		if !m.Known {
			one.Actual = "not known here; its sheet tells"
			v.Mixes = append(v.Mixes, one)
			continue
		}
		one.Actual = contents(m.Actual)
		if m.Regulated && m.LessWater.Likely-m.Actual.Likely > 0.5 {
			one.LessWater = contents(m.LessWater)
		}
		for _, l := range m.Limits {
			one.Limits = append(one.Limits, mixLimit{Region: l.Region, Most: unit.Figure(float64(l.Most), 0), Words: frame.Sentence(l.Words), From: l.From,
				Kept: l.Verdict == "meets" || l.Verdict == "likely", Unread: !l.Verified})
		}
		v.Mixes = append(v.Mixes, one)
	}
}

func contents(r unit.Range[unit.Content]) string {
	return fmt.Sprintf("%s, from %s to %s g/L", unit.Figure(float64(r.Likely), 0), unit.Figure(float64(r.Low), 0), unit.Figure(float64(r.High), 0))
}

func roomOf(s *frame.Sheet, r *vapour.Room) *room {
	v := &room{Name: r.Name, Laid: r.Solvent.Likely.String(), Volume: r.Volume.Likely.String()}
	for _, c := range r.Cautions {
		v.Cautions = append(v.Cautions, frame.Notice{Kind: c.Shape, What: frame.Sentence(c.Title), Do: frame.Sentence(c.Text), Where: frame.Sentence(c.Why) + " " + frame.Sentence(c.Defers)})
	}
	if len(r.Series) == 0 {
		v.Verdict = "No solvent is laid here."
		if r.FromWater.Likely > 0 {
			v.Verdict += fmt.Sprintf(" Water-borne coats give off %s in all; it is compared with no limit.", r.FromWater.Likely)
		}
		return v
	}
	v.Peak = fmt.Sprintf("%s, from %s to %s, on %s", r.Peak.Level.Likely, r.Peak.Level.Low, r.Peak.Level.High, r.Peak.At.Format("Monday 2 January 15:04"))
	v.Mean = fmt.Sprintf("%s, from %s to %s, from %s", r.Mean.Level.Likely, r.Mean.Level.Low, r.Mean.Level.High, r.Mean.From.Format("Monday 2 January 15:04"))
	v.ReEntry, v.Sleep = when(r.ReEntry), when(r.Sleep)
	v.Verdict = "The limits of solvent in the air are kept."
	if slices.ContainsFunc(r.Limits, func(l vapour.RoomLimit) bool { return !l.Kept }) {
		v.Verdict = "Not every limit of solvent in the air is kept."
	}
	for _, l := range r.Limits {
		one := limit{Name: l.Name, Region: l.Region, Most: l.Most.String(), Share: unit.Figure(100*float64(l.Share.Likely), 0), Hours: unit.Figure(float64(l.Hours.Likely), 0), Kept: l.Kept, Unread: !l.Verified}
		switch {
		case l.Beyond:
			one.Needs = "no airing keeps it"
		case l.Needed > 0:
			one.Needs, one.Airing = unit.Figure(float64(l.Needed), 1), true
		default:
			one.Needs = "as it is"
		}
		v.Limits = append(v.Limits, one)
	}
	for _, sec := range r.Sections {
		one := section{Wall: strings.TrimPrefix(sec.Face, r.Name+"/"), When: sec.Start.Format("Mon 2 Jan 15:04"), Shut: sec.Shut.String(), Open: sec.Open.String()}
		for _, l := range r.Limits {
			if l.Limit.ID == sec.Above {
				one.Above = fmt.Sprintf("%s, %s", l.Most, region(l.Region))
				v.Passed++
			}
		}
		v.Sections = append(v.Sections, one)
	}
	v.Chart = draw(r, &s.Board.Job.Crew)
	return v
}

func when(w vapour.When) string {
	at := func(t time.Time) string { return t.Format("Monday 2 January 15:04") }
	switch {
	case w.Likely.IsZero():
		return "not within sight"
	case w.Latest.IsZero():
		return at(w.Likely) + "; at the worst not within sight"
	}
	return at(w.Likely) + ", at the latest " + at(w.Latest)
}
