package solve

import (
	"slices"
	"strings"
)

// What a bound rests on.
const (
	ByChain = iota // the waits up to activity Who
	ByWork         // all work, Minutes of it
	ByPairs        // work that takes two at once
	BySkill        // work that takes skill Who
	ByKit          // work on kit Who
	ByFacts        // what is done: no work is left
)

// Bound is the number of days with work that no plan can do without.
type Bound struct {
	Days     int
	By       int
	Who      int
	Minutes  int
	Able     int  // people with the skill, or pieces of kit
	Unbroken bool // only work that may not be stopped counts, and what is left of a stretch of the day is lost to it
	Head     int  // days with work before any of this work can begin
	Tail     int  // days with work after all of it must have ended
}

// load is work that shares people or kit.
type load struct {
	Bound
	lanes int   // how much of it can be done at once
	times []int // by activity, lanes it takes up
}

// Bound is the largest of several bounds. Call it after Search. What is left to do is
// done from Now on, so that the days of facts before the day of Now come on top.
func (p *Problem) Bound() Bound {
	heads, worst := p.reaches(p.least)
	best := Bound{By: ByChain, Who: worst, Days: p.past.before}
	if worst >= 0 {
		best.Days += heads[worst].days
	}
	if best.Days < p.past.days {
		best = Bound{Days: p.past.days, By: ByFacts}
	}
	turned := newMirror(p, 0)
	for i := range p.Acts {
		for _, l := range p.Acts[i].Before {
			links := turned.Acts[l.On].Before
			links[turned.seen[l.On]].Lag = l.Lag
			turned.seen[l.On]++
		}
	}
	tails, _ := turned.reaches(func(a *Activity) int {
		if a.long { // it takes whole days from their start, which is their end here
			return 1
		}
		return a.rest
	})
	for i := range p.Acts {
		if p.Acts[i].rest > 0 { // what is running ends on the last day or before
			tails[i].first = max(1, tails[i].first)
		}
	}
	for _, l := range p.loads() {
		p.raise(&best, &l, heads, tails)
	}
	return best
}

// loads are the kinds of work that share something.
func (p *Problem) loads() (list []load) {
	add := func(b Bound, lanes int, takes func(a *Activity) int) {
		times := make([]int, len(p.Acts))
		for i := range p.Acts {
			times[i] = takes(&p.Acts[i])
		}
		if lanes > 0 {
			list = append(list, load{b, lanes, times})
		}
	}
	people := len(p.People)
	add(Bound{By: ByWork, Able: people}, people, func(a *Activity) int { return len(a.Needs) })
	add(Bound{By: ByPairs, Able: people}, people/2, func(a *Activity) int { return min(1, len(a.Needs)/2) })
	skills := map[byte]bool{}
	for i := range p.Acts {
		for k := range len(p.Acts[i].Needs) {
			skills[p.Acts[i].Needs[k]] = true
		}
	}
	for skill := range 256 {
		if c := string([]byte{byte(skill)}); skills[byte(skill)] {
			able := 0
			for k := range p.People {
				able += min(1, strings.Count(p.People[k].Skills, c))
			}
			add(Bound{By: BySkill, Who: skill, Able: able}, able, func(a *Activity) int { return strings.Count(a.Needs, c) })
		}
	}
	for k, count := range p.Kits {
		add(Bound{By: ByKit, Who: k, Able: count}, count, func(a *Activity) int {
			if a.Kit == k {
				return 1
			}
			return 0
		})
	}
	return list
}

// raise lifts a bound by the load of people or kit: of the K days with work, counted from
// the first, work that cannot begin before day a and must end b days before the last, or
// sooner, lies on K-a-b+1 days, and each of them holds its lanes times the minutes of the
// day. So K is at least a-1 and b and the days its minutes fill (after the heads and tails
// of Carlier 1982).
//
// Work that may not be stopped lies in one stretch of the day each. Minutes may then be
// weighed by any function that does not fall and gives a sum no less than its parts give:
// what lies in one stretch weighs no more than the stretch. The functions here forget
// pieces shorter than some length and let those that leave less than it of the longest
// stretch fill it (bound L2 of Martello and Toth 1990).
func (p *Problem) raise(best *Bound, l *load, heads, tails []reach) {
	longest := p.Calendar.Longest()
	sizes := []int{0} // 0: all work, as it is
	for i := range p.Acts {
		if a := &p.Acts[i]; a.Unbroken && !a.long && a.rest > 0 && l.times[i] > 0 {
			sizes = append(sizes, min(a.rest, longest-a.rest+1))
		}
	}
	slices.Sort(sizes)
	for _, size := range slices.Compact(sizes) {
		weigh := func(minutes int) int {
			switch {
			case minutes < size:
				return 0
			case size > 0 && minutes > longest-size:
				return longest
			}
			return minutes
		}
		room := 0
		for _, s := range p.Calendar.spans {
			room += weigh(s.To - s.From)
		}
		p.fill(best, l, heads, tails, room*l.lanes, func(a *Activity) int {
			switch {
			case size == 0:
				return p.least(a)
			case a.Unbroken && !a.long:
				return weigh(a.rest)
			}
			return 0
		}, size > 0)
	}
}

// fill counts the days that work weighed so takes, between all heads and tails.
func (p *Problem) fill(best *Bound, l *load, heads, tails []reach, room int, weigh func(*Activity) int, unbroken bool) {
	most := [2]int{}
	for i := range p.Acts {
		most[0], most[1] = max(most[0], heads[i].first), max(most[1], tails[i].first)
	}
	weight, minutes := make([][]int, most[0]+1), make([][]int, most[0]+1)
	for a := range weight {
		weight[a], minutes[a] = make([]int, most[1]+2), make([]int, most[1]+2)
	}
	for i := range p.Acts {
		if a := &p.Acts[i]; a.rest > 0 && l.times[i] > 0 {
			if w := weigh(a); w > 0 {
				weight[heads[i].first][tails[i].first] += w * l.times[i]
				minutes[heads[i].first][tails[i].first] += p.least(a) * l.times[i]
			}
		}
	}
	held, worked := make([]int, most[1]+2), make([]int, most[1]+2) // from head a on, by tail
	for a := most[0]; a > 0; a-- {
		sum, done := 0, 0
		for b := most[1]; b > 0; b-- {
			held[b] += weight[a][b]
			worked[b] += minutes[a][b]
			sum, done = sum+held[b], done+worked[b]
			if sum == 0 || room == 0 {
				continue
			}
			if days := p.past.before + a - 1 + b - 1 + (sum+room-1)/room; days > best.Days {
				*best = l.Bound
				best.Days, best.Minutes, best.Unbroken, best.Head, best.Tail = days, done, unbroken, a-1, b-1
			}
		}
	}
}

// least is the fewest work minutes an activity takes up. What runs through
// breaks takes whole days and, of the last one, the work minutes from its start.
func (p *Problem) least(a *Activity) int {
	if !a.long {
		return a.rest
	}
	whole, rest := a.rest/p.Calendar.stretch(), a.rest%p.Calendar.stretch()
	work := whole * p.Calendar.length
	for _, s := range p.Calendar.spans {
		work += max(0, min(s.To, p.Calendar.spans[0].From+rest)-s.From)
	}
	return work
}

// reach is how far into the days with work the waits alone bring an activity.
type reach struct {
	days, minute int // in which it ends, and the minute of that day, in work minutes done
	first        int // in which it begins
}

// reaches follows every chain of waits with nothing else in the way: the fewest days with
// work in them up to the end of each step, and the earliest minute of that day. A day
// between may be left out, so a new day starts at its first minute. The worst ends last.
func (p *Problem) reaches(least func(*Activity) int) (at []reach, worst int) {
	at, worst = make([]reach, len(p.Acts)), -1
	length := p.Calendar.length
	for _, i := range p.order {
		a := &p.Acts[i]
		if a.done() {
			at[i] = reach{0, length, 0} // what waits for it begins on day 1
			continue
		}
		r := reach{days: 1}
		for _, l := range a.Before {
			if a.Fact != nil {
				break
			}
			o := at[l.On]
			next := reach{days: o.days, minute: p.sameDay(o.minute, l.Lag)}
			if next.minute >= length {
				next = reach{days: o.days + 1}
			}
			if next.days > r.days || next.days == r.days && next.minute > r.minute {
				r = next
			}
		}
		work := least(a)
		if a.Unbroken && !a.long {
			for s := p.Calendar.span(r.minute); r.minute+work > p.Calendar.before[s+1]; s = p.Calendar.span(r.minute) {
				if r.minute = p.Calendar.before[s+1]; r.minute >= length {
					r.days, r.minute = r.days+1, 0
				}
			}
		}
		r.first = r.days
		r.minute += work
		r.days += (r.minute - 1) / length
		r.minute = (r.minute-1)%length + 1
		at[i] = r
		if worst < 0 || r.days > at[worst].days || r.days == at[worst].days && r.minute > at[worst].minute {
			worst = i
		}
	}
	return at, worst
}

// sameDay is the first work minute of the same day after a wait in site minutes
// that begins when the work minute has ended; the length of the day or more when
// the day is over.
func (p *Problem) sameDay(minute, lag int) int {
	if lag == 0 {
		return minute
	}
	s := p.Calendar.span(max(0, minute-1))
	clock := p.Calendar.spans[s].From + minute - p.Calendar.before[s] + lag
	for k, sp := range p.Calendar.spans {
		if clock < sp.To {
			return p.Calendar.before[k] + max(0, clock-sp.From)
		}
	}
	return p.Calendar.length
}
