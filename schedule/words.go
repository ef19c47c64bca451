package schedule

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"scumble/job"
	"scumble/method"
	"scumble/schedule/place"
	"scumble/schedule/solve"
	"scumble/unit"
)

// waited says what held a task back last.
func (r *result) waited(i int) string {
	p, s := &r.planned[i], &r.Slots[i]
	if r.Acts[i].Fact != nil {
		return ""
	}
	switch s.Why.By {
	case place.ByWait:
		l := r.Acts[i].Before[s.Why.Who]
		o := &r.planned[l.On]
		words := coat(o)
		if o.step.Face != p.step.Face && o.step.Face != "" {
			words += " on " + o.step.Face
		}
		if l.Lag > 0 {
			return words + " dry"
		}
		return words + " done"
	case place.ByPerson:
		return r.people[s.Why.Who].Name + " busy"
	case place.ByKitUse:
		kind := r.kits[s.Why.Who]
		before, where := -1, "" // who had this piece of kit last
		for k := range r.Slots {
			if o := &r.Slots[k]; r.Acts[k].Kit == s.Why.Who && o.Unit == s.Unit && o.End <= s.Begin && o.End > before {
				before, where = o.End, r.planned[k].step.Room
			}
		}
		return kind + " in " + where
	case place.ByRoom:
		return "room opens " + r.at(s.Begin).Format("Mon 2")
	case place.ByAbsence:
		return "somebody off until " + r.at(s.Begin).Format("Mon 2")
	case place.ByPin:
		if a := &r.Acts[i]; a.Agreed > 0 && a.From/day == a.Agreed-1 {
			return "agreed for " + r.at(r.Acts[i].From).Format("Mon 2")
		}
		return "pinned to " + r.at(r.Acts[i].From).Format("Mon 2")
	case place.ByWet:
		o := &r.planned[s.Why.Who]
		switch method.Sand {
		case p.step.Kind:
			return coat(o) + " on " + o.step.Face + " wet: no dust"
		case o.step.Kind:
			return "dust of sanding " + o.step.Face
		}
		return "glaze on " + o.step.Face + " wet at the corner"
	case place.ByBreak:
		if r.Acts[i].Unbroken {
			return "a stretch long enough to do it in one go"
		}
		return "day left free to save a site day"
	case place.ByNext:
		return "kept back so that the next coat comes in time"
	case place.ByChoice:
		return "kept back, which saves days, visits or waiting"
	}
	return ""
}

// later says why work does not begin on the first day on which the site is open; empty where it
// does, or has begun.
func (r *result) later() string {
	if len(r.Acts) == 0 || r.Now > 0 {
		return ""
	}
	first := 0
	for i := range r.Slots {
		if r.Slots[i].Begin < r.Slots[first].Begin {
			first = i
		}
	}
	open, words := r.Calendar.Day(0)*day, r.waited(first)
	switch r.Slots[first].Why.By {
	case place.ByBreak, place.ByNext, place.ByChoice:
		words = "no better programme was found that begins then"
	}
	if words == "" || r.Slots[first].Begin < open+day {
		return ""
	}
	return fmt.Sprintf("work could begin on %s; %s", r.at(open).Format("Monday 2 January"), words)
}

// bound is the number of site days no programme can do without, and why; where all others that
// end by some day were ruled out, that day.
func (r *result) bound() (days int, by string, within time.Time) {
	b := r.Least
	last := func(open int) time.Time { return r.at(r.Calendar.Day(open-1) * day) }
	if b.Within > 0 {
		within = last(b.Within)
	}
	if r.Proof.Days && r.Days > b.Days {
		within = last(r.Proof.Within)
		return r.Days, "every other order of the work that ends by " + within.Format("Monday 2 January") + " was ruled out", within
	}
	words := r.boundWords(b)
	before := map[int]bool{} // days that are done before the one from which is planned
	for i := range r.Acts {
		for _, w := range r.Slots[i].Work {
			if r.Acts[i].Fact != nil && w.From/day < r.Now/day {
				before[w.From/day] = true
			}
		}
	}
	if len(before) > 0 && b.By != solve.ByFacts {
		words = fmt.Sprintf("%s done, and then %s", count(len(before), "day is", "days are"), words)
	}
	return b.Days, words, within
}

func (r *result) boundWords(b solve.Bound) string {
	if b.By == solve.ByChain {
		if b.Who < 0 {
			return "there is no work"
		}
		where := r.planned[b.Who].step.Face
		if where == "" {
			where = r.planned[b.Who].step.Room
		}
		return fmt.Sprintf("the steps of %s and the drying between them", where)
	}
	if b.By == solve.ByRoom {
		words := r.rooms[b.Who] + " by itself, with the whole crew for it, cannot be done on fewer days"
		if b.Within > 0 {
			return words + " by " + r.at(r.Calendar.Day(b.Within-1)*day).Format("Monday 2 January")
		}
		return words + ", wherever they lie"
	}
	words := r.loadWords(b)
	if b.Unbroken {
		words += ", which may not be stopped, so that what is left of a stretch of the day is lost to it"
	}
	if b.Head > 0 {
		words += "; none of it can begin before " + r.worked(b.Head, " has", " have") + " been worked"
	}
	if b.Tail > 0 {
		words += "; and " + r.worked(b.Tail, "", "") + " more for what can only come after it"
	}
	return words
}

// worked puts minutes into working days and hours, with a verb for one or for several.
func (r *result) worked(minutes int, one, many string) string {
	days, rest := minutes/r.Calendar.Length, minutes%r.Calendar.Length
	hours := figure(rest) + "\u00a0h"
	switch {
	case days == 0:
		return hours + many
	case rest > 0:
		return count(days, "day", "days") + " and " + hours + many
	}
	return count(days, "day"+one, "days"+many)
}

// loadWords says what work a bound rests on.
func (r *result) loadWords(b solve.Bound) string {
	h := figure(b.Minutes)
	switch b.By {
	case solve.ByWork:
		return fmt.Sprintf("%s person-hours of work for %s", h, count(b.Able, "person", "people"))
	case solve.ByPairs:
		return fmt.Sprintf("%s h of work that takes two at once, for %s", h, count(b.Able, "person", "people"))
	case solve.ByTeam:
		return fmt.Sprintf("%s h of work that takes %d at once, for %s with the skills for it", h, len(b.Needs), count(b.Able, "team", "teams"))
	case solve.BySkill:
		name := map[int]string{'l': "laying", 'w': "working the glaze", 'p': "preparing"}[b.Who]
		return fmt.Sprintf("%s person-hours of %s for %s with that skill", h, name, count(b.Able, "person", "people"))
	case solve.ByKit:
		return fmt.Sprintf("%s h of work on %s", h, count(b.Able, r.kits[b.Who], r.kits[b.Who]+"s"))
	case solve.ByFacts:
		return "nothing is left to do on another day"
	case solve.ByOrder:
		return "no order of the work fits on fewer days, wherever they lie"
	}
	return "the waits, the people and the hours taken together"
}

// warnings says what the programme could not keep.
func (r *result) warnings() []job.Warning {
	var list []job.Warning
	say := func(p *planned, what, do string) {
		w := job.Warning{Name: p.step.Room, What: what, Do: do}
		if p.face != nil {
			w.Path, w.Name = p.face.Path, p.face.ID
		}
		list = append(list, w)
	}
	hands, told := make([][]int, r.Groups), make([]bool, r.Groups)
	for i := range r.Acts {
		a, p, s := &r.Acts[i], &r.planned[i], &r.Slots[i]
		if a.Fact != nil { // too late for advice
			continue
		}
		for _, l := range a.Before {
			if o := &r.Slots[l.On]; l.Late(o.End, s.Begin) {
				opens, closes := r.at(o.End+l.LagAfter(o.End)), r.at(o.End+l.LatestAfter(o.End))
				say(p, fmt.Sprintf("%s begins %s after %s ends; the window closes after %s.", r.inWords(i), lasting(s.Begin-o.End), r.inWords(l.On), lasting(l.LatestAfter(o.End))),
					fmt.Sprintf("Somebody has to begin it between %s and %s: open days or hours in that time, add hands, or have the room open then. If it cannot be, sand or renew the coat below as its sheet says.",
						opens.Format("Monday 2 January, 15:04"), closes.Format("Monday 2 January, 15:04")))
			}
		}
		if r.Long(a) {
			say(p, fmt.Sprintf("%s does not fit in one stretch: it takes %s h without a stop and the longest stretch is %s h. It is planned from the start of a day, through the break.",
				r.inWords(i), figure(a.Work), figure(r.Calendar.Longest())),
				"Break the wall at "+r.breakAt(p)+", or bring more hands, or let one relieve the other so that everybody rests.")
		}
		g := a.Hands
		switch {
		case g < 0:
		case hands[g] == nil:
			hands[g] = s.People
		case !slices.Equal(hands[g], s.People) && !told[g]:
			told[g] = true
			say(p, fmt.Sprintf("%s in %s cannot have the same hands on every wall: %s here, %s before.",
				p.face.Technique.Name, p.step.Room, strings.Join(r.names(s.People), " and "), strings.Join(r.names(hands[g]), " and ")),
				"Compare with the finished wall before starting, or move somebody's day off.")
		}
	}
	return list
}

// breakAt names a place where a lap shows least.
func (r *result) breakAt(p *planned) string {
	if p.face != nil {
		if at, ok := r.walls[p.face.ID]; ok {
			for _, o := range at.wall.Openings {
				if o.Kind == "door" || o.Kind == "window" {
					return "the edge of " + o.Name
				}
			}
		}
	}
	return "a strip joint or a corner"
}

// lasting prints minutes as hours, and in days as well where one would count in days.
func lasting(minutes int) string {
	if minutes < 2*day {
		return figure(minutes) + " h"
	}
	return fmt.Sprintf("%s h (%s days)", figure(minutes), unit.Figure(float64(minutes)/day, 1))
}

// figure prints minutes as hours.
func figure(minutes int) string {
	if minutes%60 == 0 {
		return unit.Figure(float64(minutes)/60, 0)
	}
	return unit.Figure(float64(minutes)/60, 1)
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
