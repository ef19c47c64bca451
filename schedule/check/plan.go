package check

import (
	"slices"
	"strings"

	"scumble/schedule/place"
	"scumble/schedule/solve"
)

const (
	day       = 24 * 60 // minutes
	grain     = 5       // least that is left of what is running
	goodStart = 15      // minutes that work which may stop goes on for, at least, before its first break and after its last
)

// Hours is when the site works, told anew so that no calendar of a planner is asked.
type Hours struct {
	Spans   []place.Span // of a working day, in minutes after midnight, ascending
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
	*place.Problem
	*solve.Plan
	counts []int        // of open days before each day
	worked map[int]bool // days by number
}

func newPlan(h *Hours, p *place.Problem, made *solve.Plan) *plan {
	c := &plan{Hours: h, Problem: p, Plan: made, worked: map[int]bool{}}
	for i := range made.Slots {
		for _, w := range made.Slots[i].Work {
			c.worked[w.From/day] = true
		}
	}
	return c
}

// Plan recomputes every hard rule of a problem from site minutes, and the figures the
// plan gives of itself. A latest start that is missed is no fault of a plan: see Missed. What
// has begun keeps to its fact, and to the rules in what is left of it.
func Plan(h Hours, p *place.Problem, made *solve.Plan) []string {
	c := newPlan(&h, p, made)
	if len(made.Slots) != len(p.Acts) || len(made.Slack) != len(p.Acts) {
		c.fault("%d slots and %d slacks for %d activities", len(made.Slots), len(made.Slack), len(p.Acts))
		return c.list
	}
	for i := range p.Acts {
		if !c.whole(i) {
			continue
		}
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

// Figures are what a plan should say of itself, from where its slots lie.
func Figures(h Hours, p *place.Problem, slots []place.Slot) solve.Plan {
	return newPlan(&h, p, &solve.Plan{Slots: slots}).reckon()
}

// Missed lists the activities that begin after a latest start.
func Missed(p *place.Problem, made *solve.Plan) (late []int) {
	for i := range p.Acts {
		if slices.ContainsFunc(p.Acts[i].Before, func(l place.Link) bool { return misses(&l, made, i) }) {
			late = append(late, i)
		}
	}
	return late
}

// ahead is the work that is still to do, and its minutes: all of it, what comes from Now on of
// what is running, nothing of what is done.
func (c *plan) ahead(i int) (work []place.Span, left int) {
	a, work := &c.Acts[i], c.Slots[i].Work
	if a.Fact == nil {
		return work, a.Work
	}
	if a.Fact.End > 0 {
		return nil, 0
	}
	for len(work) > 0 && work[0].To <= c.Now {
		work = work[1:]
	}
	return work, max(grain, a.Fact.Left)
}

func misses(l *place.Link, made *solve.Plan, i int) bool {
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
	_, left := c.ahead(i)
	return c.Acts[i].Unbroken && !slices.ContainsFunc(c.Spans, func(s place.Span) bool { return s.To-s.From >= left })
}

// whole looks at a slot as such, and at facts.
func (c *plan) whole(i int) bool {
	a, s := &c.Acts[i], &c.Slots[i]
	if len(s.Work) == 0 || s.Begin != s.Work[0].From || s.End != s.Work[len(s.Work)-1].To || s.Begin < 0 {
		c.fault("%d: from %d to %d, but works %v", i, s.Begin, s.End, s.Work)
		return false
	}
	for k, w := range s.Work {
		if w.From >= w.To || k > 0 && w.From < s.Work[k-1].To {
			c.fault("%d: stretches out of order: %v", i, s.Work)
			return false
		}
	}
	f := a.Fact
	if f != nil && (s.Begin != f.Begin || f.End > 0 && s.End != f.End || f.People != nil && !slices.Equal(f.People, s.People)) {
		c.fault("%d: is %d to %d by %v, the fact is %+v", i, s.Begin, s.End, s.People, *f)
		return false
	}
	return true
}

// stretches looks at each stretch of what is to do by itself.
func (c *plan) stretches(i int) bool {
	work, left := c.ahead(i)
	total, sound := 0, true
	for _, w := range work {
		total += w.To - w.From
		number := w.From / day
		from, to := w.From-number*day, w.To-number*day
		inside := slices.ContainsFunc(c.Spans, func(sp place.Span) bool { return from >= sp.From && to <= sp.To })
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
	if total != left {
		c.fault("%d: works %d minutes of %d", i, total, left)
	}
	if c.Acts[i].Unbroken && !c.long(i) && len(work) > 1 {
		c.fault("%d: is broken: %v", i, work)
	}
	return sound
}

// pauses looks at what lies between the stretches: breaks, nights, and days on which the
// activity cannot be worked at or nobody is on site.
func (c *plan) pauses(i int) {
	work, _ := c.ahead(i)
	for k := 1; k < len(work); k++ {
		from, to := work[k-1].To, work[k].From
		if from/day == to/day {
			if slices.ContainsFunc(c.Spans, func(s place.Span) bool { return s.From < to%day && s.To > from%day }) {
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

// begins looks at the start of an activity, or of what is left of it.
func (c *plan) begins(i int) {
	work, left := c.ahead(i)
	if len(work) == 0 {
		return
	}
	may := c.Now
	if c.Acts[i].Fact == nil {
		may = max(may, c.Acts[i].From)
	}
	if work[0].From < may {
		c.fault("%d: begins at %d, may from %d on", i, work[0].From, may)
	}
	if first := work[0].To - work[0].From; first < min(goodStart, left) {
		c.fault("%d: begins for %d minutes before a break", i, first)
	}
	if last := work[len(work)-1]; !c.Acts[i].Unbroken && len(work) > 1 && last.To-last.From < min(goodStart, left) {
		c.fault("%d: goes on for %d minutes after a break", i, last.To-last.From)
	}
}

func (c *plan) team(i int) {
	a, s := &c.Acts[i], &c.Slots[i]
	if a.Fact != nil && (a.Fact.People != nil || a.Fact.End > 0) {
		return
	}
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

// waits looks at what has not begun; the waits of what has are over.
func (c *plan) waits(i int) {
	if c.Acts[i].Fact != nil {
		return
	}
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
	meets := func(a, b place.Span) bool { return a.From < b.To && b.From < a.To }
	for i := range c.Acts {
		a, s := &c.Acts[i], &c.Slots[i]
		mine, _ := c.ahead(i)
		if a.Kit < 0 && s.Unit >= 0 || a.Kit >= 0 && len(mine) > 0 && (s.Unit < 0 || s.Unit >= c.Kits[a.Kit]) {
			c.fault("%d: has piece %d of kit %d", i, s.Unit, a.Kit)
		}
		for k := range i {
			o, t := &c.Acts[k], &c.Slots[k]
			theirs, _ := c.ahead(k)
			if (slices.Contains(a.Wet, k) || slices.Contains(o.Wet, i)) && (a.Fact == nil || o.Fact == nil) && s.Begin < t.End+o.Touch && t.Begin < s.End+a.Touch {
				c.fault("%d and %d are wet in one corner", k, i)
			}
			if len(mine) == 0 || len(theirs) == 0 {
				continue
			}
			if slices.ContainsFunc(s.People, func(who int) bool { return slices.Contains(t.People, who) }) {
				for _, w := range mine {
					if slices.ContainsFunc(theirs, func(v place.Span) bool { return meets(w, v) }) {
						c.fault("%d and %d have the same person at %d", k, i, w.From)
					}
				}
			}
			if a.Kit >= 0 && a.Kit == o.Kit && s.Unit == t.Unit && meets(place.Span{From: mine[0].From, To: s.End}, place.Span{From: theirs[0].From, To: t.End}) {
				c.fault("%d and %d have piece %d of kit %d at once", k, i, s.Unit, a.Kit)
			}
		}
	}
}

// reckon finds anew what the plan says of itself.
func (c *plan) reckon() (is solve.Plan) {
	is.Days = len(c.worked)
	for i := range c.Slots {
		s := &c.Slots[i]
		is.Finish = max(is.Finish, s.End)
		if a := c.Acts[i].Agreed; a > 0 && s.Begin/day+1 != a {
			is.Moved++
		}
		for _, l := range c.Acts[i].Before {
			if misses(&l, c.Plan, i) {
				is.Late++
			}
		}
	}
	here := false
	for n := range is.Finish/day + 1 {
		switch {
		case c.worked[n] && !here:
			is.Visits++
			here = true
		case !c.worked[n] && c.Open(n):
			here = false
		}
	}
	c.walks(&is)
	return is
}

// figures compares with what it says.
func (c *plan) figures() {
	is := c.reckon()
	for _, f := range []struct {
		what     string
		is, says int
	}{{"late starts", is.Late, c.Late}, {"days", is.Days, c.Days}, {"visits", is.Visits, c.Visits}, {"as finish", is.Finish, c.Finish},
		{"days not kept", is.Moved, c.Moved}, {"minutes idle", is.Idle, c.Idle}, {"moves", is.Moves, c.Moves}} {
		if f.is != f.says {
			c.fault("has %d %s and says %d", f.is, f.what, f.says)
		}
	}
	for i := range c.Slots {
		if c.Slack[i] < 0 || c.Slots[i].End == is.Finish && c.Slack[i] > 0 {
			c.fault("%d: has a slack of %d and ends %d before the finish", i, c.Slack[i], is.Finish-c.Slots[i].End)
		}
	}
}

// walks follows each person through each day: minutes of the hours of the site between the
// first and the last work, and changes of room. Facts out of hours are no part of it.
func (c *plan) walks(is *solve.Plan) {
	type turn struct {
		place.Span
		room int
	}
	turns := map[[2]int][]turn{}
	for i := range c.Slots {
		for _, w := range c.Slots[i].Work {
			for _, who := range c.Slots[i].People {
				if c.hoursIn(w) > 0 {
					key := [2]int{w.From / day, who}
					turns[key] = append(turns[key], turn{w, c.Acts[i].Room})
				}
			}
		}
	}
	for _, list := range turns {
		slices.SortStableFunc(list, func(a, b turn) int { return a.From - b.From }) // facts may say that somebody began two things at once
		hull := list[0].Span
		for k, t := range list {
			hull.To = max(hull.To, t.To)
			is.Idle -= c.hoursIn(t.Span)
			if k > 0 && t.room != list[k-1].room {
				is.Moves++
			}
		}
		is.Idle += c.hoursIn(hull)
	}
}

// hoursIn is the minutes of working time in a piece of one day.
func (c *plan) hoursIn(w place.Span) (minutes int) {
	number := w.From / day
	if !c.Open(number) {
		return 0
	}
	for _, s := range c.Spans {
		minutes += max(0, min(w.To-number*day, s.To)-max(w.From-number*day, s.From))
	}
	return minutes
}
