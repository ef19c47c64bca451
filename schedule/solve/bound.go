package solve

import "strings"

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
	Days    int
	By      int
	Who     int
	Minutes int
	Able    int // people with the skill, or pieces of kit
}

// Bound is the largest of several bounds. Call it after Search. What is left to do is
// done from Now on, so that the days of facts before the day of Now come on top.
func (p *Problem) Bound() Bound {
	earlier := p.past.before
	best := p.chainBound()
	if best.Days += earlier; best.Days < p.past.days {
		best = Bound{Days: p.past.days, By: ByFacts}
	}
	raise := func(b Bound, atOnce int) {
		if capacity := atOnce * p.Calendar.length; capacity > 0 && b.Minutes > 0 {
			if b.Days = earlier + (b.Minutes+capacity-1)/capacity; b.Days > best.Days {
				best = b
			}
		}
	}
	whole, pairs := 0, 0
	kits := make([]int, len(p.Kits))
	skilled := map[byte]int{}
	for i := range p.Acts {
		a := &p.Acts[i]
		work := p.least(a)
		whole += work * len(a.Needs)
		if len(a.Needs) > 1 {
			pairs += work
		}
		if a.Kit >= 0 {
			kits[a.Kit] += work
		}
		for k := range len(a.Needs) {
			skilled[a.Needs[k]] += work
		}
	}
	people := len(p.People)
	raise(Bound{By: ByWork, Minutes: whole, Able: people}, people)
	raise(Bound{By: ByPairs, Minutes: pairs, Able: people}, people/2)
	for skill := range 256 {
		minutes, able := skilled[byte(skill)], 0
		for k := range p.People {
			if strings.IndexByte(p.People[k].Skills, byte(skill)) >= 0 {
				able++
			}
		}
		raise(Bound{By: BySkill, Who: skill, Minutes: minutes, Able: able}, able)
	}
	for k, minutes := range kits {
		raise(Bound{By: ByKit, Who: k, Minutes: minutes, Able: p.Kits[k]}, p.Kits[k])
	}
	return best
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

// chainBound follows every chain of waits with nothing else in the way: the
// fewest days with work in them up to the end of each step, and the earliest
// minute of that day. A day between may be left out, so a new day starts at its
// first minute.
func (p *Problem) chainBound() Bound {
	type reach struct{ days, minute int } // minute of the day, in work minutes done
	at := make([]reach, len(p.Acts))
	worst := -1
	length := p.Calendar.length
	for _, i := range p.order {
		a := &p.Acts[i]
		if a.done() {
			at[i] = reach{0, length} // what waits for it begins on day 1
			continue
		}
		r := reach{1, 0}
		for _, l := range a.Before {
			if a.Fact != nil {
				break
			}
			o := at[l.On]
			next := reach{o.days, p.sameDay(o.minute, l.Lag)}
			if next.minute >= length {
				next = reach{o.days + 1, 0}
			}
			if next.days > r.days || next.days == r.days && next.minute > r.minute {
				r = next
			}
		}
		work := p.least(a)
		if a.Unbroken && !a.long {
			for s := p.Calendar.span(r.minute); r.minute+work > p.Calendar.before[s+1]; s = p.Calendar.span(r.minute) {
				if r.minute = p.Calendar.before[s+1]; r.minute >= length {
					r.days, r.minute = r.days+1, 0
				}
			}
		}
		r.minute += work
		r.days += (r.minute - 1) / length
		r.minute = (r.minute-1)%length + 1
		at[i] = r
		if worst < 0 || r.days > at[worst].days || r.days == at[worst].days && r.minute > at[worst].minute {
			worst = i
		}
	}
	if worst < 0 {
		return Bound{By: ByChain, Who: -1}
	}
	return Bound{Days: at[worst].days, By: ByChain, Who: worst}
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
