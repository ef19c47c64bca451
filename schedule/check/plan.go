package check

import (
	"slices"
	"strings"

	"scumble/schedule/solve"
)

const (
	day       = 24 * 60 // minutes
	goodStart = 15      // minutes that work which may stop goes on for, at least, before its first break
)

// Hours is when the site works, told anew so that no calendar of a planner is asked.
type Hours struct {
	Spans   []solve.Span // of a working day, in minutes after midnight, ascending
	Weekday int          // of day 0, Sunday = 0
	Weekly  [7]bool      // weekdays worked
	Closed  map[int]bool // days by number
}

// Open reports whether the site is open on a day.
func (h *Hours) Open(number int) bool { return h.Weekly[(h.Weekday+number)%7] && !h.Closed[number] }

// opensAt and shutsAt are the ends of a working day.
func (h *Hours) opensAt() int { return h.Spans[0].From }
func (h *Hours) shutsAt() int { return h.Spans[len(h.Spans)-1].To }

// plan is a plan under the eye.
type plan struct {
	list
	*Hours
	*solve.Problem
	*solve.Plan
	counts []int        // of open days before each day
	worked map[int]bool // days by number
}

// Plan recomputes every hard rule of a problem from site minutes, and the figures the
// plan gives of itself. A latest start that is missed is no fault of a plan: see Missed.
func Plan(h Hours, p *solve.Problem, made *solve.Plan) []string {
	c := &plan{Hours: &h, Problem: p, Plan: made, worked: map[int]bool{}}
	if len(made.Slots) != len(p.Acts) || len(made.Slack) != len(p.Acts) {
		c.fault("%d slots and %d slacks for %d activities", len(made.Slots), len(made.Slack), len(p.Acts))
		return c.list
	}
	for i := range made.Slots {
		for _, w := range made.Slots[i].Work {
			c.worked[w.From/day] = true
		}
	}
	for i := range p.Acts {
		if c.stretches(i) {
			c.pauses(i)
			c.begins(i)
		}
		c.team(i)
		c.waits(i)
	}
	c.sharing()
	c.figures()
	return c.list
}

// Missed lists the activities that begin after a latest start.
func Missed(p *solve.Problem, made *solve.Plan) (late []int) {
	for i := range p.Acts {
		if slices.ContainsFunc(p.Acts[i].Before, func(l solve.Link) bool { return misses(&l, made, i) }) {
			late = append(late, i)
		}
	}
	return late
}

func misses(l *solve.Link, made *solve.Plan, i int) bool {
	end, until := made.Slots[l.On].End, l.Until
	if until > 0 && l.Times != nil {
		_, until = l.Times(end)
	}
	return l.Until > 0 && made.Slots[i].Begin > end+until
}

// number of open days before a day: the place of the day in the masks of people and rooms.
func (c *plan) openBefore(number int) int {
	for n := len(c.counts); n <= number; n++ {
		count := 0
		if n > 0 {
			if count = c.counts[n-1]; c.Open(n - 1) {
				count++
			}
		}
		c.counts = append(c.counts, count)
	}
	return c.counts[number]
}

// usable reports whether an activity with its people could be worked at on a day.
func (c *plan) usable(i, number int) bool {
	if !c.Open(number) {
		return false
	}
	count := c.openBefore(number)
	at := func(mask []bool) bool { return count < len(mask) && mask[count] }
	return !at(c.Shut[c.Acts[i].Room]) && !slices.ContainsFunc(c.Slots[i].People, func(who int) bool {
		return who >= 0 && who < len(c.People) && at(c.People[who].Off)
	})
}

// long reports whether work that may not stop does not fit into any span: it then runs
// through breaks, each day from its first minute.
func (c *plan) long(i int) bool {
	return c.Acts[i].Unbroken && !slices.ContainsFunc(c.Spans, func(s solve.Span) bool { return s.To-s.From >= c.Acts[i].Work })
}

// stretches looks at each stretch of work by itself.
func (c *plan) stretches(i int) bool {
	a, s := &c.Acts[i], &c.Slots[i]
	if len(s.Work) == 0 || s.Begin != s.Work[0].From || s.End != s.Work[len(s.Work)-1].To || s.Begin < 0 {
		c.fault("%d: from %d to %d, but works %v", i, s.Begin, s.End, s.Work)
		return false
	}
	total, sound := 0, true
	for k, w := range s.Work {
		total += w.To - w.From
		if w.From >= w.To || k > 0 && w.From < s.Work[k-1].To {
			c.fault("%d: stretches out of order: %v", i, s.Work)
			return false
		}
		number := w.From / day
		from, to := w.From-number*day, w.To-number*day
		inside := slices.ContainsFunc(c.Spans, func(sp solve.Span) bool { return from >= sp.From && to <= sp.To })
		if c.long(i) {
			inside = from == c.opensAt() && to <= c.shutsAt()
		}
		if !inside {
			c.fault("%d: works %v, outside hours", i, w)
			sound = false
		}
		if !c.usable(i, number) {
			c.fault("%d: works on day %d, when the site or its room is shut or somebody is off", i, number)
		}
	}
	if total != a.Work {
		c.fault("%d: works %d minutes of %d", i, total, a.Work)
	}
	if a.Unbroken && !c.long(i) && len(s.Work) > 1 {
		c.fault("%d: is broken: %v", i, s.Work)
	}
	return sound
}

// pauses looks at what lies between the stretches: breaks, nights, and days on which the
// activity cannot be worked at or nobody is on site.
func (c *plan) pauses(i int) {
	work := c.Slots[i].Work
	for k := 1; k < len(work); k++ {
		from, to := work[k-1].To, work[k].From
		if from/day == to/day {
			if slices.ContainsFunc(c.Spans, func(s solve.Span) bool { return s.From < to%day && s.To > from%day }) {
				c.fault("%d: pauses in working time from %d to %d", i, from, to)
			}
			continue
		}
		if (from-1)%day+1 != c.shutsAt() || to%day != c.opensAt() {
			c.fault("%d: pauses from %d to %d for more than the night", i, from, to)
		}
		for n := (from-1)/day + 1; n < to/day; n++ {
			if c.usable(i, n) && c.worked[n] {
				c.fault("%d: pauses on day %d, when it could go on", i, n)
			}
		}
	}
}

// begins looks at the start of an activity.
func (c *plan) begins(i int) {
	a, s := &c.Acts[i], &c.Slots[i]
	if s.Begin < a.From {
		c.fault("%d: begins at %d, may from %d on", i, s.Begin, a.From)
	}
	if first := s.Work[0].To - s.Work[0].From; first < min(goodStart, a.Work) {
		c.fault("%d: begins for %d minutes before a break", i, first)
	}
}

func (c *plan) team(i int) {
	a, s := &c.Acts[i], &c.Slots[i]
	if len(s.People) != len(a.Needs) {
		c.fault("%d: people %v for %q", i, s.People, a.Needs)
		return
	}
	for k, who := range s.People {
		if who < 0 || who >= len(c.People) || slices.Contains(s.People[:k], who) || !strings.Contains(c.People[who].Skills, a.Needs[k:k+1]) {
			c.fault("%d: people %v cannot do %q", i, s.People, a.Needs)
		}
	}
}

func (c *plan) waits(i int) {
	for _, l := range c.Acts[i].Before {
		end, lag := c.Slots[l.On].End, l.Lag
		if l.Times != nil {
			lag, _ = l.Times(end)
		}
		if c.Slots[i].Begin < end+lag {
			c.fault("%d: begins at %d, %d minutes after %d, needs %d", i, c.Slots[i].Begin, c.Slots[i].Begin-end, l.On, lag)
		}
	}
}

// sharing looks at every pair for people in two places, kit used twice and wet corners.
func (c *plan) sharing() {
	meets := func(a, b solve.Span) bool { return a.From < b.To && b.From < a.To }
	for i := range c.Acts {
		a, s := &c.Acts[i], &c.Slots[i]
		if a.Kit < 0 && s.Unit >= 0 || a.Kit >= 0 && (s.Unit < 0 || s.Unit >= c.Kits[a.Kit]) {
			c.fault("%d: has piece %d of kit %d", i, s.Unit, a.Kit)
		}
		for k := range i {
			o, t := &c.Acts[k], &c.Slots[k]
			if slices.ContainsFunc(s.People, func(who int) bool { return slices.Contains(t.People, who) }) {
				for _, w := range s.Work {
					if slices.ContainsFunc(t.Work, func(v solve.Span) bool { return meets(w, v) }) {
						c.fault("%d and %d have the same person at %d", k, i, w.From)
					}
				}
			}
			if a.Kit >= 0 && a.Kit == o.Kit && s.Unit == t.Unit && meets(solve.Span{From: s.Begin, To: s.End}, solve.Span{From: t.Begin, To: t.End}) {
				c.fault("%d and %d have piece %d of kit %d at once", k, i, s.Unit, a.Kit)
			}
			if (slices.Contains(a.Wet, k) || slices.Contains(o.Wet, i)) && s.Begin < t.End+o.Touch && t.Begin < s.End+a.Touch {
				c.fault("%d and %d are wet in one corner", k, i)
			}
		}
	}
}

// figures recomputes what the plan says of itself.
func (c *plan) figures() {
	finish, visits, here := 0, 0, false
	for i := range c.Slots {
		finish = max(finish, c.Slots[i].End)
	}
	for n := range finish/day + 1 {
		switch {
		case c.worked[n] && !here:
			visits++
			here = true
		case !c.worked[n] && c.Open(n):
			here = false
		}
	}
	if len(c.worked) != c.Days || visits != c.Visits || finish != c.Finish {
		c.fault("%d days, %d visits, finish %d; it says %d, %d, %d", len(c.worked), visits, finish, c.Days, c.Visits, c.Finish)
	}
	for i := range c.Slots {
		if c.Slack[i] < 0 || c.Slots[i].End == finish && c.Slack[i] > 0 {
			c.fault("%d: has a slack of %d and ends %d before the finish", i, c.Slack[i], finish-c.Slots[i].End)
		}
	}
}
