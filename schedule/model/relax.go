package model

import (
	"slices"

	"scumble/schedule/exact"
	"scumble/schedule/place"
)

// relaxed is the work left to do, on days so far apart that whatever was done on one of them
// is dry on the next, with no room shut, nobody away and no window that closes. Whoever needs more of
// such days needs more of the days of the site.
func relaxed(p *place.Problem, days int) *place.Problem {
	c, apart := p.Calendar, 1
	q, _ := Part(p, func(i int) bool { return !p.Acts[i].Done() && p.Acts[i].Known() == nil })
	for i := range q.Acts {
		a := &q.Acts[i]
		if a.Running() {
			a.Before = nil
		}
		a.Work, a.From, a.Agreed, a.Fact = a.Rest, 0, 0, nil
		for k := range a.Before {
			l := &a.Before[k]
			l.Until = 0
			if !l.Daily {
				l.Times = nil
			}
			for hour := range 24 { // of an end between two hours the wait ends no later than after the next
				apart = max(apart, (l.LagAfter(hour*60)+60)/place.Day+2)
			}
		}
		apart = max(apart, a.Touch/place.Day+2)
	}
	q.Shut, q.Now, q.People = make([][]bool, len(p.Shut)), 0, nil
	for k := range p.People {
		q.People = append(q.People, place.Person{Skills: p.People[k].Skills})
	}
	closed := map[int]bool{}
	for n := range days * apart {
		closed[n] = n%apart > 0
	}
	q.Calendar = place.NewCalendar(c.Spans, 0, [7]bool{true, true, true, true, true, true, true}, closed)
	q.Prepare()
	return q
}

// gaps tells whether work that pauses over a night may have to wait for days that are worked.
func gaps(p *place.Problem) bool {
	return slices.ContainsFunc(p.Shut, func(shut []bool) bool { return slices.Contains(shut, true) }) ||
		slices.ContainsFunc(p.People, func(who place.Person) bool { return slices.Contains(who.Off, true) })
}

// Fewest is the fewest days that the work left to do takes, with nothing else in the way, from a number
// it does not do without on, as far as that can be proved with so many dead ends; it tells how many were met.
func Fewest(p *place.Problem, days, conflicts int, stop func() bool) (least, spent int) {
	for least = days; ; least++ {
		q := relaxed(p, least)
		m := New(q, least, Scope{Crew: true, Gear: true, loose: gaps(p)})
		if m == nil {
			return least, spent
		}
		status, _ := m.Solver.Search(exact.Limit{Conflicts: conflicts - spent, First: m.Starts(), Stop: stop})
		if spent += m.Conflicts; status != exact.None {
			return least, spent
		}
	}
}
