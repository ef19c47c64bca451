// Package programme is the place of days and hours: who is where when, what dries through
// which night, and what a pinned day costs.
package programme

import (
	"cmp"
	_ "embed"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strings"
	"time"

	"scumble/job"
	"scumble/method"
	"scumble/plan"
	"scumble/schedule"
	"scumble/web/frame"
)

//go:embed programme.html
var page string

// place is the page with what it answers beside.
type place struct {
	*frame.Frame
	here *frame.Place
	page *template.Template
}

// Place is the page.
func Place() *frame.Place {
	p := &place{}
	p.here = &frame.Place{Slug: "programme", Name: "Programme", Page: page, Keeps: []string{"by"}, Show: p.show, Routes: p.routes}
	return p.here
}

func (p *place) routes(mux *http.ServeMux, f *frame.Frame) (err error) {
	p.Frame = f
	mux.HandleFunc("GET /jobs/{job}/programme/try", p.tries)
	mux.HandleFunc("POST /jobs/{job}/programme/worked", p.work)
	mux.HandleFunc("POST /jobs/{job}/programme/hold", p.hold)
	mux.HandleFunc("POST /jobs/{job}/programme/what-if", p.wonder)
	mux.HandleFunc("GET /jobs/{job}/programme/what-if", p.wonders)
	p.page, err = f.Template(page)
	return err
}

type view struct {
	Why            string
	Verdict, Bound string
	Conflict       []string // rules that cannot all hold
	Room           []roomDay
	Today          *today
	Moved          []moved
	MovedToo       []moved // folded away
	Agreed, ToHold int
	PlannedFrom    string
	Diary          []worked
	Asking         string // address to ask about something
	Tried          *tried
	Ifs            ifs
	From           frame.Field
	By             []by
	Chart          chart
	Days           []day
	Warnings       []frame.Notice
	Pins           []pin
	PinCost        string
	Steps          []stepsOf
	Crew           []frame.Field
	Hours, Closed  []item
	DaysOfWeek     []check
	People         []person
	Kit            []entry
	Climate        []frame.Field
	Papers         []paper
}

// roomDay is a day nobody works on, inside a window that is missed.
type roomDay struct{ Day, Words string }

type by struct {
	Name, Href string
	Here       bool
}

type day struct {
	Date  string
	Turns []turn
}

type turn struct{ Hours, Who, What, Where string }

type pin struct{ Path, Words string }

type item struct{ Path, Text string }

type check struct {
	Value string
	On    bool
}

type person struct {
	Path   string
	Name   string
	Fields []frame.Field
	Skills []check
	Off    []item
}

type entry struct {
	Path   string
	Fields []frame.Field
}

type paper struct{ Href, Words string }

func (p *place) show(s *frame.Sheet) (any, error) { return p.view(s), nil }

func (pl *place) view(s *frame.Sheet) *view {
	v := &view{Asking: asking(s)}
	forms(s, v)
	p := s.Board.Plan.Programme
	if p == nil {
		v.Why = s.Waits("programme")
		return v
	}
	date := "Monday 2 January"
	if p.Start.Year() != p.Finish.Year() {
		date += " 2006"
	}
	v.Verdict = fmt.Sprintf("%s in %s from %s, ready on %s at %s.", frame.Counted(p.SiteDays, "site day", "site days"), frame.Counted(p.Visits, "visit", "visits"), p.Start.Format(date), p.Finish.Format(date), p.Finish.Format("15:04"))
	v.Bound = frame.Sentence(p.Verdict()) + " "
	if !p.Proved() {
		v.Bound += fmt.Sprintf("No plan can need fewer than %d: ", p.Bound)
	}
	v.Bound += frame.Sentence(p.BoundBy)
	if p.Later != "" {
		v.Bound += " " + frame.Sentence(p.Later)
	}
	for _, rule := range p.Conflict {
		v.Conflict = append(v.Conflict, frame.Sentence(rule))
		v.Room = roomDays(s, p)
	}
	view := s.Query.Get("by")
	if view != "person" && view != "room" {
		view = "wall"
	}
	for _, b := range []string{"wall", "person", "room"} {
		v.By = append(v.By, by{"By " + b, s.URL("programme") + sep(s) + "by=" + b, b == view})
	}
	v.Chart = draw(s, rows(s, p, view))
	v.Days = days(s, p)
	site(s, v, p)
	if s.Query.Get("try") != "" {
		v.Tried = try(s)
	}
	v.Ifs = pl.ifs(s)
	for _, w := range p.Warnings {
		v.Warnings = append(v.Warnings, frame.Warned(w))
	}
	pinCost(s, v)
	v.Steps = choices(p)
	v.Papers = []paper{{s.Paper("programme.ics"), "Calendar file"}, {s.Paper("programme.pdf"), "Day sheets for each person"}}
	return v
}

// stepsOf are the steps of a wall or a room, to choose from.
type stepsOf struct {
	Place string
	Steps []frame.Choice
}

// choices are the steps in the order of places, and of each in the order of the work.
func choices(p *schedule.Programme) (groups []stepsOf) {
	for _, t := range slices.SortedStableFunc(slices.Values(p.Tasks), func(a, b schedule.Task) int {
		return cmp.Or(strings.Compare(a.Room, b.Room), strings.Compare(a.Face, b.Face))
	}) {
		place := cmp.Or(t.Face, t.Room)
		if n := len(groups); n == 0 || groups[n-1].Place != place {
			groups = append(groups, stepsOf{Place: place})
		}
		g := &groups[len(groups)-1]
		g.Steps = append(g.Steps, frame.Choice{Value: t.Step, Words: t.Title})
	}
	return groups
}

// mostRoom are the days offered to be opened (own default).
const mostRoom = 4

// roomDays are days that would keep the windows that are missed, one for each: sooner one that
// was closed than all days of its name.
func roomDays(s *frame.Sheet, p *schedule.Programme) []roomDay {
	crew := &s.Board.Job.Crew
	var out []roomDay
	for _, ready := range missed(steps(s.Board.Plan.Method), p) {
		var best roomDay
		for day := ready.Latest.Truncate(24*time.Hour).AddDate(0, 0, 1); day.Before(ready.Until.Truncate(24 * time.Hour)); day = day.AddDate(0, 0, 1) {
			date := day.Format(time.DateOnly)
			if slices.Contains(crew.Closed, job.Date(date)) {
				best = roomDay{date, "open " + day.Format("Monday 2 January")}
				break
			}
			if best.Day == "" && !crew.WorksOn(day) && day.Weekday() != time.Saturday && day.Weekday() != time.Sunday {
				best = roomDay{date, "work every " + day.Format("Monday")}
			}
		}
		if best.Day != "" && len(out) < mostRoom && !slices.ContainsFunc(out, func(d roomDay) bool { return d.Words == best.Words }) {
			out = append(out, best)
		}
	}
	return out
}

// missed are the windows in which a next coat should have been begun, and is not.
func missed(all map[string]*method.Step, p *schedule.Programme) []schedule.Ready {
	tasks := map[string]*schedule.Task{}
	for i := range p.Tasks {
		tasks[p.Tasks[i].Step] = &p.Tasks[i]
	}
	var out []schedule.Ready
	for _, t := range p.Tasks {
		if all[t.Step] == nil || t.Done || t.Running {
			continue
		}
		for _, w := range all[t.Step].Waits {
			if on := tasks[w.On]; w.Until > 0 && on != nil && !on.Ready.Until.IsZero() && t.Start.After(on.Ready.Until) {
				out = append(out, on.Ready)
			}
		}
	}
	return out
}

func sep(s *frame.Sheet) string {
	if s.Wall == nil {
		return "?"
	}
	return "&"
}

func rows(s *frame.Sheet, p *schedule.Programme, view string) []row {
	var out []row
	at := map[string]int{}
	add := func(key, group, name, person string, t *schedule.Task) {
		i, ok := at[key]
		if !ok {
			i = len(out)
			at[key] = i
			if i > 0 && out[i-1].Group == group {
				out = append(out, row{Name: name, person: person})
				out[i].Group = group
			} else {
				out = append(out, row{Group: group, Name: name, person: person})
			}
		}
		out[i].tasks = append(out[i].tasks, t)
	}
	switch view {
	case "person":
		for _, who := range s.Board.Job.Crew.People {
			for i := range p.Tasks {
				add(who.Name, who.Name, "", who.Name, &p.Tasks[i])
			}
		}
	case "room":
		for i := range p.Tasks {
			add(p.Tasks[i].Room, p.Tasks[i].Room, "", "", &p.Tasks[i])
		}
	default:
		whole := func(room string) {
			for i := range p.Tasks {
				if t := &p.Tasks[i]; t.Face == "" && t.Room == room {
					add(room+"#", room, "whole room", "", t)
				}
			}
		}
		for i := range s.Walls { // in walking order
			w := &s.Walls[i]
			if i == 0 || s.Walls[i-1].Room != w.Room {
				whole(w.Room)
			}
			for k := range p.Tasks {
				if t := &p.Tasks[k]; t.Face == w.ID || strings.HasPrefix(t.Face, w.ID+",") {
					name := w.Name
					if t.Face != w.ID {
						name += ", dado"
					}
					add(t.Face, w.Room, name, "", t)
				}
			}
		}
	}
	for i := len(out) - 1; i > 0; i-- { // the name of a group stands once
		if out[i].Group == out[i-1].Group {
			out[i].Group = ""
		}
	}
	return out
}

func days(s *frame.Sheet, p *schedule.Programme) []day {
	tasks := map[string]*schedule.Task{}
	for i := range p.Tasks {
		tasks[p.Tasks[i].Step] = &p.Tasks[i]
	}
	var out []day
	for _, d := range p.Days {
		one := day{Date: d.Date.Format("Monday 2 January")}
		for _, person := range d.People {
			for _, t := range person.Turns {
				task := tasks[t.Step]
				if task == nil {
					continue
				}
				role := map[string]string{"lays": ", lays", "works": ", works"}[t.Role]
				if task.Kind == method.Mark { // two hold a tape, and nobody lays anything
					role = ""
				}
				where := task.Face
				if where == "" {
					where = task.Room
				}
				one.Turns = append(one.Turns, turn{t.From.Format("15:04") + " to " + t.To.Format("15:04"), person.Name + role, task.Title, where})
			}
		}
		slices.SortStableFunc(one.Turns, func(a, b turn) int { return strings.Compare(a.Hours, b.Hours) })
		out = append(out, one)
	}
	return out
}

// pinCost says what the pins cost, by a short look with them and without.
func pinCost(s *frame.Sheet, v *view) {
	if len(s.Board.Job.Crew.Pins) == 0 {
		return
	}
	short := *s.Board.Plan
	short.Programme = s.Board.Quick
	free, err := plan.WithoutPins(&short)
	if err != nil || free == nil {
		return
	}
	all := steps(s.Board.Plan.Method)
	if noWorse(all, s.Board.Quick, free) {
		v.PinCost = "The pins cost nothing: as many site days and no later finish."
		return
	}
	c := cost{missed: len(missed(all, s.Board.Quick)) - len(missed(all, free)), days: s.Board.Quick.SiteDays - free.SiteDays, visits: s.Board.Quick.Visits - free.Visits, was: free.Finish, finish: s.Board.Quick.Finish}
	v.PinCost = fmt.Sprintf("Without the pins: %s, ready on %s. %s", frame.Counted(free.SiteDays, "site day", "site days"), free.Finish.Format("Monday 2 January, 15:04"), frame.Sentence("they "+c.words()))
}

func forms(s *frame.Sheet, v *view) {
	b, j := s.Board, s.Board.Job
	at := func(key, label, unit string) frame.Field { return frame.FieldOf(b, key, label, unit) }
	v.From = at("crew.planned-from", "The rest is planned from", "").Noted("such as 2027-03-08 08:00; empty is the last time noted")
	v.Crew = []frame.Field{at("crew.start", "First day on site", "").Noted("a day such as 2027-03-08"), at("crew.travel.hours", "Travel of a person, there and back", "h")}
	if s.Person.MaySeePrices() {
		v.Crew = append(v.Crew, at("crew.travel.cost", "Travel a day, for the crew", j.Currency))
	}
	v.Hours, v.Closed = items(s, "crew.hours"), items(s, "crew.closed")
	for _, d := range []string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"} {
		v.DaysOfWeek = append(v.DaysOfWeek, check{d, slices.Contains(j.Crew.Days, d)})
	}
	for i, p := range j.Crew.People {
		path := fmt.Sprintf("crew.people[%d]", i)
		one := person{Path: path, Name: p.Name, Fields: []frame.Field{at(path+".name", "Name", "")}, Off: items(s, path+".off")}
		for _, skill := range []string{"prepare", "lay", "work"} {
			one.Skills = append(one.Skills, check{skill, slices.Contains(p.Skills, skill)})
		}
		v.People = append(v.People, one)
	}
	for i := range j.Kit {
		path := fmt.Sprintf("kit[%d]", i)
		e := entry{path, []frame.Field{at(path+".kind", "What", "").From(frame.Choice{Value: "steps", Words: "steps"}, frame.Choice{Value: "platform", Words: "platform"}, frame.Choice{Value: "scaffold", Words: "scaffold"}), at(path+".count", "How many", "number")}}
		if s.Person.MaySeePrices() {
			e.Fields = append(e.Fields, at(path+".cost", "Cost", j.Currency))
		}
		v.Kit = append(v.Kit, e)
	}
	v.Climate = []frame.Field{at("climate.temp", "Temperature of the rooms", "°C"), at("climate.humidity", "Humidity of the rooms", "%")}
	for i, p := range j.Crew.Pins {
		v.Pins = append(v.Pins, pin{fmt.Sprintf("crew.pins[%d]", i), pinWords(p)})
	}
}

func pinWords(p job.Pin) string {
	words := stepWords(p.Step)
	if p.Day != "" {
		words += " not before " + string(p.Day)
	}
	if p.After != "" {
		words += " after " + stepWords(p.After)
	}
	return words
}

// items are the entries of a list of words.
func items(s *frame.Sheet, path string) []item {
	var out []item
	for i := 0; ; i++ {
		at := fmt.Sprintf("%s[%d]", path, i)
		text, ok := s.Board.File.Typed(at)
		if !ok {
			return out
		}
		out = append(out, item{at, text})
	}
}
