package solve

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"scumble/schedule/place"
)

// checker looks at a plan in site minutes only. It shares nothing with the search but
// the problem.
type checker struct {
	*place.Problem
	plan   *Plan
	count  []int  // of open days before each day
	closed []bool // by day
	faults []string
}

func (c *checker) fault(format string, args ...any) {
	c.faults = append(c.faults, fmt.Sprintf(format, args...))
}

// openDay is the count of open days before a day, and whether it is open itself.
func (c *checker) openDay(number int) (count int, open bool) {
	for n := len(c.count); n <= number; n++ {
		if n == 0 {
			c.count = append(c.count, 0)
		} else if c.count = append(c.count, c.count[n-1]); !c.closed[n-1] {
			c.count[n]++
		}
		c.closed = append(c.closed, !c.Calendar.Weekly[(c.Calendar.Weekday+n)%7] || c.Calendar.Closed[n])
	}
	return c.count[number], !c.closed[number]
}

// open reports whether the site works in a minute.
func (c *checker) open(m int) bool {
	_, open := c.openDay(m / place.Day)
	return open && slices.ContainsFunc(c.Calendar.Spans, func(s place.Span) bool { return m%place.Day >= s.From && m%place.Day < s.To })
}

func checkPlan(p *place.Problem, plan *Plan) []string {
	c := &checker{Problem: p, plan: plan}
	for i := range p.Acts {
		c.one(i)
		c.waits(i)
	}
	c.sharing()
	c.goals()
	return c.faults
}

func (c *checker) one(i int) {
	a, s := &c.Acts[i], &c.plan.Slots[i]
	work, rest := s.Work, a.Work
	if len(work) == 0 || s.Begin != work[0].From || s.End != work[len(work)-1].To {
		c.fault("%d: from %d to %d with pieces %v", i, s.Begin, s.End, work)
		return
	}
	for k := 1; k < len(work); k++ {
		if work[k].From < work[k-1].To {
			c.fault("%d: pieces %v", i, work)
		}
	}
	if a.Fact != nil {
		if s.Begin != a.Fact.Begin || a.Fact.End > 0 && s.End != a.Fact.End || a.Fact.People != nil && !slices.Equal(a.Fact.People, s.People) {
			c.fault("%d: %+v, the fact is %+v", i, s, a.Fact)
		}
		if a.Fact.End > 0 {
			return
		}
		work, rest = slices.DeleteFunc(slices.Clone(work), func(p place.Span) bool { return p.To <= c.Now }), a.Fact.Left
	}
	unbroken, long := a.Unbroken, a.Unbroken && rest > c.Calendar.Longest()
	total := 0
	for k, p := range work {
		total += p.To - p.From
		count, open := c.openDay(p.From / place.Day)
		if !open || place.Marked(c.Shut[a.Room], count) || slices.ContainsFunc(s.People, func(w int) bool { return place.Marked(c.People[w].Off, count) }) {
			c.fault("%d: works on day %d when it cannot", i, p.From/place.Day)
		}
		for m := p.From; m < p.To && !long; m++ {
			if !c.open(m) {
				c.fault("%d: works at %d, outside hours", i, m)
				break
			}
		}
		if k == 0 {
			continue
		}
		for m := work[k-1].To; m < p.From && m/place.Day == work[k-1].From/place.Day; m++ {
			if c.open(m) {
				c.fault("%d: pauses at %d", i, m)
				break
			}
		}
		for m := p.From - 1; m/place.Day == p.From/place.Day && m >= work[k-1].To; m-- {
			if c.open(m) {
				c.fault("%d: goes on at %d and not before", i, p.From)
				break
			}
		}
	}
	switch {
	case total != rest:
		c.fault("%d: works %d, needs %d", i, total, rest)
	case unbroken && !long && len(work) != 1:
		c.fault("%d: is broken: %v", i, work)
	case work[0].To-work[0].From < min(place.GoodStart, rest):
		c.fault("%d: begins for %v", i, work[0])
	case !unbroken && len(work) > 1 && work[len(work)-1].To-work[len(work)-1].From < min(place.GoodStart, rest):
		c.fault("%d: goes on for %v", i, work[len(work)-1])
	case work[0].From < c.Now || a.Fact == nil && work[0].From < a.From:
		c.fault("%d: begins at %d, before it may", i, work[0].From)
	}
	c.skills(i)
}

func (c *checker) skills(i int) {
	a, s := &c.Acts[i], &c.plan.Slots[i]
	if a.Fact != nil && a.Fact.People != nil {
		return
	}
	if len(s.People) != len(a.Needs) {
		c.fault("%d: %v for %s", i, s.People, a.Needs)
		return
	}
	for k, who := range s.People {
		if !slices.Contains([]byte(c.People[who].Skills), a.Needs[k]) || slices.Contains(s.People[:k], who) {
			c.fault("%d: %v for %s", i, s.People, a.Needs)
		}
	}
}

func (c *checker) waits(i int) {
	for _, l := range c.Acts[i].Before {
		if gap := c.plan.Slots[i].Begin - c.plan.Slots[l.On].End; c.Acts[i].Fact == nil && gap < l.LagAfter(c.plan.Slots[l.On].End) {
			c.fault("%d: begins %d after %d", i, gap, l.On)
		}
	}
}

func (c *checker) sharing() {
	for i := range c.Acts {
		x, a := &c.plan.Slots[i], &c.Acts[i]
		ahead := func(s *place.Slot, a *place.Activity) (list []place.Span) {
			for _, w := range s.Work {
				if a.Fact == nil || a.Fact.End == 0 && w.From >= c.Now {
					list = append(list, w)
				}
			}
			return list
		}
		mine := ahead(x, a)
		if len(mine) == 0 {
			continue
		}
		same := 1
		for k := range c.Acts {
			y, o := &c.plan.Slots[k], &c.Acts[k]
			theirs := ahead(y, o)
			if k == i || len(theirs) == 0 {
				continue
			}
			shares := slices.ContainsFunc(x.People, func(w int) bool { return slices.Contains(y.People, w) })
			for _, v := range mine {
				for _, w := range theirs {
					if shares && v.From < w.To && w.From < v.To {
						c.fault("%d and %d have the same people at %d", i, k, v.From)
					}
				}
			}
			if a.Kit >= 0 && a.Kit == o.Kit && theirs[0].From <= mine[0].From && mine[0].From < y.End {
				same++
			}
		}
		if a.Kit >= 0 && same > c.Kits[a.Kit] {
			c.fault("%d: is one of %d on kit %d", i, same, a.Kit)
		}
		for _, k := range a.Wet {
			y := &c.plan.Slots[k]
			if k != i && a.Fact == nil && x.Begin < y.End+c.Acts[k].Touch && y.Begin < x.End+a.Touch {
				c.fault("%d and %d are wet at once", i, k)
			}
		}
	}
}

// goals reckons anew what a plan says of itself.
func (c *checker) goals() {
	want := Plan{}
	attended := map[int]bool{}
	type turn struct{ from, to, room int }
	turns := map[[2]int][]turn{}
	for i := range c.Acts {
		s := &c.plan.Slots[i]
		want.Finish = max(want.Finish, s.End)
		if a := c.Acts[i].Agreed; a > 0 && s.Begin/place.Day != a-1 {
			want.Moved++
		}
		for _, l := range c.Acts[i].Before {
			if end := c.plan.Slots[l.On].End; l.Until > 0 && s.Begin > end+l.LatestAfter(end) {
				want.Late++
			}
		}
		for _, w := range s.Work {
			attended[w.From/place.Day] = true
			worked := false // what a fact did out of hours makes no idle time and no move
			for m := w.From; m < w.To && !worked; m++ {
				worked = c.open(m)
			}
			for _, who := range s.People {
				if !worked {
					continue
				}
				key := [2]int{w.From / place.Day, who}
				turns[key] = append(turns[key], turn{w.From, w.To, c.Acts[i].Room})
			}
		}
	}
	want.Days = len(attended)
	here := false
	for n := range want.Finish/place.Day + 1 {
		_, open := c.openDay(n)
		switch {
		case attended[n] && !here:
			want.Visits++
			here = true
		case !attended[n] && open:
			here = false
		}
	}
	for _, list := range turns {
		slices.SortFunc(list, func(x, y turn) int { return x.from - y.from })
		for k := 1; k < len(list); k++ {
			for m := list[k-1].to; m < list[k].from; m++ {
				if c.open(m) {
					want.Idle++
				}
			}
			if list[k].room != list[k-1].room {
				want.Moves++
			}
		}
	}
	got := *c.plan
	got.Slots, got.Slack, got.Least, got.Proof = nil, nil, Bound{}, Proof{}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		c.fault("the plan says %+v, it is %+v: %+v", got, want, c.plan.Slots)
	}
}

// drawProblem makes a small problem with everything a problem can have.
func drawProblem(t *rapid.T, most int) *place.Problem {
	p := &place.Problem{Calendar: drawHours(t)}
	mask := func(label string) (m []bool) {
		for range rapid.IntRange(0, 4).Draw(t, label) {
			m = append(m, rapid.IntRange(0, 3).Draw(t, label) == 0)
		}
		return m
	}
	for range rapid.IntRange(1, 3).Draw(t, "people") {
		p.People = append(p.People, place.Person{Skills: rapid.SampledFrom([]string{"p", "lwp", "lp", "wp"}).Draw(t, "skills"), Off: mask("off")})
	}
	p.Kits = []int{1, 2}
	p.Shut = [][]bool{mask("shut"), nil, mask("shut")}
	p.Groups = 2
	var able []string
	for _, needs := range []string{"p", "pp", "l", "w", "lw"} {
		if p.Able(needs) {
			able = append(able, needs)
		}
	}
	for i := range rapid.IntRange(1, most).Draw(t, "activities") {
		a := place.Activity{Room: rapid.IntRange(0, 2).Draw(t, "room"), Work: place.Grain * rapid.IntRange(1, 60).Draw(t, "work"),
			Unbroken: rapid.Bool().Draw(t, "unbroken"), Needs: rapid.SampledFrom(able).Draw(t, "needs"),
			Kit: rapid.IntRange(-1, 1).Draw(t, "kit"), Hands: rapid.IntRange(-1, 1).Draw(t, "hands")}
		if rapid.IntRange(0, 5).Draw(t, "pinned") == 0 {
			a.From = rapid.IntRange(0, 4*place.Day).Draw(t, "from")
		}
		if rapid.IntRange(0, 2).Draw(t, "promised") == 0 {
			a.Agreed = rapid.IntRange(1, 8).Draw(t, "agreed")
		}
		for on := range i {
			if rapid.IntRange(0, i).Draw(t, "waits") > 1 {
				continue
			}
			l := place.Link{On: on, Lag: rapid.SampledFrom([]int{0, 60, 700, 1500}).Draw(t, "lag")}
			if rapid.IntRange(0, 2).Draw(t, "window") == 0 {
				l.Until = l.Lag + rapid.IntRange(60, 2000).Draw(t, "until")
			}
			if least, most := l.Lag, l.Until; rapid.IntRange(0, 2).Draw(t, "air") == 0 {
				l.Times = func(end int) (int, int) { // slower towards noon
					more := min(end%place.Day, place.Day-end%place.Day) / 20
					return least + more, most + more
				}
			}
			a.Before = append(a.Before, l)
		}
		if i > 0 && rapid.IntRange(0, 3).Draw(t, "corner") == 0 {
			a.Touch = 100
			k := rapid.IntRange(0, i-1).Draw(t, "meets")
			a.Wet = []int{k}
			p.Acts[k].Wet = append(p.Acts[k].Wet, i)
		}
		p.Acts = append(p.Acts, a)
	}
	if rapid.Bool().Draw(t, "begun") {
		drawFacts(t, p)
	}
	return p
}

func drawHours(t *rapid.T) *place.Calendar {
	spans := [][]place.Span{{{From: 480, To: 720}, {From: 780, To: 1020}}, {{From: 450, To: 1000}}, {{From: 0, To: 60}, {From: 65, To: 100}, {From: 1380, To: 1440}}}[rapid.IntRange(0, 2).Draw(t, "spans")]
	weekly := [7]bool{}
	weekly[rapid.IntRange(0, 6).Draw(t, "day")] = true
	for d := range weekly {
		weekly[d] = weekly[d] || rapid.Bool().Draw(t, "open")
	}
	return place.NewCalendar(spans, rapid.IntRange(0, 6).Draw(t, "weekday"), weekly, map[int]bool{rapid.IntRange(0, 10).Draw(t, "closed"): true})
}

// drawFacts lets some activities have begun, out of hours and out of order, too.
func drawFacts(t *rapid.T, p *place.Problem) {
	p.Now = place.Grain * rapid.IntRange(0, 4*place.Day/place.Grain).Draw(t, "now")
	until := 0 // nobody is at two things at once
	for i := range p.Acts {
		if p.Now < until+2*place.Grain || rapid.IntRange(0, 2).Draw(t, "fact") > 0 {
			continue
		}
		f := &place.Fact{Begin: rapid.IntRange(until, p.Now-1).Draw(t, "began")}
		if rapid.Bool().Draw(t, "done") {
			f.End = rapid.IntRange(f.Begin+1, p.Now).Draw(t, "ended")
		} else {
			f.Left = place.Grain * rapid.IntRange(1, 30).Draw(t, "left")
		}
		if until = f.End; until == 0 {
			until = p.Now
		}
		if teams := p.Teams[p.Acts[i].Needs]; rapid.Bool().Draw(t, "known") {
			f.People = teams[0].Orders[0]
		}
		p.Acts[i].Fact = f
	}
}

func TestPlansObeyEveryRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 9)
		plan, _, failure := Search(p, Effort{Placements: rapid.IntRange(0, 500).Draw(t, "effort")})
		if failure != None {
			t.Fatal(failure)
		}
		if faults := checkPlan(p, plan); len(faults) > 0 {
			t.Fatalf("%v", faults)
		}
		if b := plan.Least; b.Days > plan.Days {
			t.Fatalf("bound %+v of %d days", b, plan.Days)
		}
		for i, s := range plan.Slack {
			if s < 0 {
				t.Fatalf("%d has slack %d", i, s)
			}
		}
	})
}
