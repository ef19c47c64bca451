package place

import (
	"math"
	"slices"
)

// past is the days on which facts were done.
type past struct {
	Open   []bool // by count of open days
	Closed []int  // of each closed day, the count of the next open one; ascending
	Days   int
	Before int // those before the day of Now
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
	if len(list) == 0 || list[0].From/Day != f.Begin/Day {
		list = slices.Insert(list, 0, Span{f.Begin, min(end, (f.Begin/Day+1)*Day)})
	}
	list[0].From = f.Begin
	if f.End > 0 {
		last := &list[len(list)-1]
		if (last.To-1)/Day != (end-1)/Day {
			return append(list, Span{(end - 1) / Day * Day, end})
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
				numbers[s.From/Day] = true
			}
		}
	}
	for n := range numbers {
		all.Open = p.Calendar.Mark(all.Open, n)
		if all.Days++; n < p.Now/Day {
			all.Before++
		}
		if count := p.Calendar.Next[n]; p.Calendar.DayOf(count) != n {
			all.Closed = append(all.Closed, count)
		}
	}
	slices.Sort(all.Closed)
	return all
}

// visits counts the days attended, by minutes worked on open days and by facts, and the
// runs of them without an open day left out.
func (all *past) visits(worked []int) (days, visits int) {
	days = len(all.Closed)
	last, k := -2, 0 // the last open day attended, counting a closed day to the one before it
	come := func(d int) {
		if last < d-1 {
			visits++
		}
	}
	for d := range max(len(worked), len(all.Open)) {
		for ; k < len(all.Closed) && all.Closed[k] <= d; k++ {
			come(all.Closed[k])
			last = all.Closed[k] - 1
		}
		if d < len(worked) && worked[d] > 0 || Marked(all.Open, d) {
			days++
			come(d)
			last = d
		}
	}
	for ; k < len(all.Closed); k++ {
		come(all.Closed[k])
		last = all.Closed[k] - 1
	}
	return days, visits
}

// Lay puts the facts on an empty board: what is done where it lay, then what is running.
func (b *Board) Lay() bool {
	var running []int
	for i := range b.Acts {
		a := &b.Acts[i]
		if a.Fact == nil {
			continue
		}
		s := Slot{Begin: a.Fact.Begin, End: a.Fact.End, People: a.Fact.People, Unit: -1}
		for _, sp := range b.spans(a.Fact) {
			if from, to := b.Calendar.From(sp.From), b.Calendar.UpTo(sp.To); from < to {
				s.past = append(s.past, Piece{from, to})
			}
		}
		if !a.Done() {
			b.Slots[i] = s
			running = append(running, i)
			continue
		}
		s.From = b.Calendar.From(s.Begin)
		s.To = s.From
		b.Put(i, s)
	}
	slices.SortStableFunc(running, func(x, y int) int { return b.Acts[x].Fact.Begin - b.Acts[y].Fact.Begin })
	for _, i := range running {
		past, begin := b.Slots[i].past, b.Slots[i].Begin
		s, ok := b.rest(i)
		if !ok {
			return false
		}
		s.past, s.Begin = past, begin
		b.Put(i, s)
		b.Count(i, s.People)
	}
	return true
}

// rest finds where what is left of a running activity lies.
func (b *Board) rest(i int) (Slot, bool) {
	f := b.Acts[i].Fact
	if f.People == nil {
		return b.Choose(i)
	}
	return b.Earliest(i, b.Calendar.From(Tidy(max(b.Now, f.Begin))), f.People, Held{}, math.MaxInt)
}
