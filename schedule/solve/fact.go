package solve

import (
	"math"
	"slices"
)

// past is the days on which facts were done.
type past struct {
	open   []bool // by count of open days
	closed []int  // of each closed day, the count of the next open one; ascending
	days   int
	before int // those before the day of Now
}

// spans is when a fact was worked at up to now, in the hours of the site; somebody who
// began or ended at an odd hour was there then, too.
func (p *Problem) spans(f *Fact) []Span {
	end := f.End
	if end == 0 {
		end = p.Now
	}
	if f.Begin >= end {
		return nil
	}
	list := p.Calendar.worked(f.Begin, end)
	if len(list) == 0 || list[0].From/day != f.Begin/day {
		list = slices.Insert(list, 0, Span{f.Begin, min(end, (f.Begin/day+1)*day)})
	}
	list[0].From = f.Begin
	if f.End > 0 {
		last := &list[len(list)-1]
		if (last.To-1)/day != (end-1)/day {
			return append(list, Span{(end - 1) / day * day, end})
		}
		last.To = end
	}
	return list
}

// attended finds the days of all facts.
func (p *Problem) attended() (all past) {
	numbers := map[int]bool{}
	for i := range p.Acts {
		if f := p.Acts[i].Fact; f != nil {
			for _, s := range p.spans(f) {
				numbers[s.From/day] = true
			}
		}
	}
	for n := range numbers {
		all.open = p.Calendar.Mark(all.open, n)
		if all.days++; n < p.Now/day {
			all.before++
		}
		if count := p.Calendar.next[n]; p.Calendar.dayOf(count) != n {
			all.closed = append(all.closed, count)
		}
	}
	slices.Sort(all.closed)
	return all
}

// visits counts the days attended, by minutes worked on open days and by facts, and the
// runs of them without an open day left out.
func (all *past) visits(worked []int) (days, visits int) {
	days = len(all.closed)
	last, k := -2, 0 // the last open day attended, counting a closed day to the one before it
	come := func(d int) {
		if last < d-1 {
			visits++
		}
	}
	for d := range max(len(worked), len(all.open)) {
		for ; k < len(all.closed) && all.closed[k] <= d; k++ {
			come(all.closed[k])
			last = all.closed[k] - 1
		}
		if d < len(worked) && worked[d] > 0 || marked(all.open, d) {
			days++
			come(d)
			last = d
		}
	}
	for ; k < len(all.closed); k++ {
		come(all.closed[k])
		last = all.closed[k] - 1
	}
	return days, visits
}

// lay puts the facts on an empty board: what is done where it lay, then what is running.
func (b *board) lay() bool {
	var running []int
	for i := range b.Acts {
		a := &b.Acts[i]
		if a.Fact == nil {
			continue
		}
		s := Slot{Begin: a.Fact.Begin, End: a.Fact.End, People: a.Fact.People, Unit: -1}
		for _, sp := range b.spans(a.Fact) {
			if from, to := b.Calendar.from(sp.From), b.Calendar.upTo(sp.To); from < to {
				s.past = append(s.past, piece{from, to})
			}
		}
		if !a.done() {
			b.slots[i] = s
			running = append(running, i)
			continue
		}
		s.from = b.Calendar.from(s.Begin)
		s.to = s.from
		b.put(i, s)
	}
	slices.SortStableFunc(running, func(x, y int) int { return b.Acts[x].Fact.Begin - b.Acts[y].Fact.Begin })
	for _, i := range running {
		past, begin := b.slots[i].past, b.slots[i].Begin
		s, ok := b.rest(i)
		if !ok {
			return false
		}
		s.past, s.Begin = past, begin
		b.put(i, s)
		b.count(i, s.People)
	}
	return true
}

// rest finds where what is left of a running activity lies.
func (b *board) rest(i int) (Slot, bool) {
	f := b.Acts[i].Fact
	if f.People == nil {
		return b.choose(i)
	}
	return b.earliest(i, b.Calendar.from(tidy(max(b.Now, f.Begin))), f.People, Held{}, math.MaxInt)
}
