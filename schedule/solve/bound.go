package solve

import (
	"maps"
	"slices"
	"sort"
	"strings"

	"scumble/schedule/place"
)

// What a bound rests on.
const (
	ByChain = iota // the waits up to activity Who
	ByWork         // all work, Minutes of it
	ByPairs        // work that takes two at once
	ByTeam         // work that takes Able teams of skills Needs, which are all there can be at once
	BySkill        // work that takes skill Who
	ByKit          // work on kit Who
	ByFacts        // what is done: no work is left
	ByOrder        // every order of the work, tried on fewer days
	ByRoom         // every order of the work in room Who, likewise
)

// Bound is the number of days with work that no plan can do without.
type Bound struct {
	Days     int
	By       int
	Who      int
	Needs    string
	Minutes  int
	Able     int  // people with the skill, or pieces of kit
	Unbroken bool // only work that may not be stopped counts, and what is left of a stretch of the day is lost to it
	Head     int  // minutes of days with work before any of this work can begin
	Tail     int  // likewise, after all of it must have ended
	Within   int  // open days within which a plan ends, if it is to hold for it; 0 = it holds for every plan
}

// load is work that shares people or kit.
type load struct {
	Bound
	lanes int   // how much of it can be done at once
	times []int // by activity, lanes it takes up
}

// bound is the largest of several bounds. What is left to do is done from Now on, so that the
// days of facts before the day of Now come on top.
func bound(p *place.Problem) Bound {
	heads, worst := reaches(p, p.Least)
	best := Bound{By: ByChain, Who: worst, Days: p.Past.Before}
	if worst >= 0 {
		best.Days += heads[worst].days
	}
	if best.Days < p.Past.Days {
		best = Bound{Days: p.Past.Days, By: ByFacts}
	}
	turned := newMirror(p, 0)
	for i := range p.Acts {
		for _, l := range p.Acts[i].Before {
			turned.Acts[l.On].Before[turned.seen[l.On]] = turnedLink(i, l)
			turned.seen[l.On]++
		}
	}
	tails, _ := reaches(turned.Problem, func(a *place.Activity) int {
		if a.Long { // it takes whole days from their start, which is their end here
			return 1
		}
		return a.Rest
	})
	for i := range p.Acts {
		tails[i].begin = max(0, tails[i].begin) // what is running ends on the last day or before
	}
	for _, l := range loads(p) {
		raise(p, &best, &l, heads, tails)
	}
	return best
}

// loads are the kinds of work that share something.
func loads(p *place.Problem) (list []load) {
	add := func(b Bound, lanes int, takes func(a *place.Activity) int) {
		times := make([]int, len(p.Acts))
		for i := range p.Acts {
			times[i] = takes(&p.Acts[i])
		}
		if lanes > 0 {
			list = append(list, load{b, lanes, times})
		}
	}
	people := len(p.People)
	add(Bound{By: ByWork, Able: people}, people, (*place.Activity).Takes)
	add(Bound{By: ByPairs, Able: people}, people/2, func(a *place.Activity) int { return min(1, a.Takes()/2) })
	teams := map[string]bool{}
	skills := map[byte]bool{}
	for i := range p.Acts {
		teams[p.Acts[i].Needs] = true
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
			add(Bound{By: BySkill, Who: skill, Able: able}, able, func(a *place.Activity) int {
				if a.Known() != nil { // with or without the skill
					return 0
				}
				return strings.Count(a.Needs, c)
			})
		}
	}
	for _, needs := range slices.Sorted(maps.Keys(teams)) {
		if len(needs) > 1 {
			most := teamsAtOnce(p, needs)
			add(Bound{By: ByTeam, Needs: needs, Able: most}, most, func(a *place.Activity) int {
				if a.Needs == needs && a.Known() == nil {
					return 1
				}
				return 0
			})
		}
	}
	for k, count := range p.Kits {
		add(Bound{By: ByKit, Who: k, Able: count}, count, func(a *place.Activity) int {
			if a.Kit == k {
				return 1
			}
			return 0
		})
	}
	return list
}

// teamsAtOnce is how many teams with the same needs there can be side by side: so many that for
// any of the skills there are people enough with one of them (Hall 1935).
func teamsAtOnce(p *place.Problem, needs string) int {
	most := len(p.People) / len(needs)
	for set := range 1 << len(needs) {
		wanted, able := "", 0
		for k := range len(needs) {
			if set>>k&1 == 1 {
				wanted += needs[k : k+1]
			}
		}
		for k := range p.People {
			if strings.ContainsAny(p.People[k].Skills, wanted) {
				able++
			}
		}
		if wanted != "" {
			most = min(most, able/len(wanted))
		}
	}
	return most
}

// raise lifts a bound by the load of people or kit: of the minutes of the days with work, counted
// from the first, work that cannot begin before a and must end b before the last, or sooner,
// lies between, where each day holds its lanes times its minutes (after the heads and tails of
// Carlier 1982). What is left of the day of a and of that of b may hold some of it.
//
// Work that may not be stopped lies in one stretch of the day each. Minutes may then be
// weighed by any function that does not fall and gives a sum no less than its parts give:
// what lies in one stretch weighs no more than the stretch. The functions here forget
// pieces shorter than some length and let those that leave less than it of the longest
// stretch fill it (bound L2 of Martello and Toth 1990).
func raise(p *place.Problem, best *Bound, l *load, heads, tails []reach) {
	longest := p.Calendar.Longest()
	sizes := []int{0} // 0: all work, as it is
	for i := range p.Acts {
		if a := &p.Acts[i]; a.Unbroken && !a.Long && a.Rest > 0 && l.times[i] > 0 {
			sizes = append(sizes, min(a.Rest, longest-a.Rest+1))
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
		fill(p, best, l, heads, tails, room(p.Calendar, weigh), func(a *place.Activity) int {
			switch {
			case size == 0:
				return p.Least(a)
			case a.Unbroken && !a.Long:
				return weigh(a.Rest)
			}
			return 0
		}, size > 0)
	}
}

// room tells what the stretches of a working day weigh between two of its minutes.
func room(c *place.Calendar, weigh func(minutes int) int) func(from, to int) int {
	return func(from, to int) (sum int) {
		for k, s := range c.Spans {
			low, high := max(from, c.Before[k]), min(to, c.Before[k]+s.To-s.From)
			if low < high {
				sum += weigh(high - low)
			}
		}
		return sum
	}
}

// fill counts the days that work weighed so takes, between all heads and tails.
func fill(p *place.Problem, best *Bound, l *load, heads, tails []reach, room func(from, to int) int, weigh func(*place.Activity) int, unbroken bool) {
	var work []int
	for i := range p.Acts {
		if p.Acts[i].Rest > 0 && l.times[i] > 0 && weigh(&p.Acts[i]) > 0 {
			work = append(work, i)
		}
	}
	length := p.Calendar.Length
	day := room(0, length)
	if day == 0 || len(work) == 0 {
		return
	}
	ends := distinct(work, func(i int) int { return tails[i].begin })
	slices.SortFunc(work, func(i, k int) int { return heads[k].begin - heads[i].begin })
	held, worked := make([]int, len(ends)), make([]int, len(ends)) // from head a on, by tail
	behind := make([]int, len(ends))                               // what the last day holds before each tail
	for k, b := range ends {
		behind[k] = l.lanes * room(0, length-b%length)
	}
	for at := 0; at < len(work); {
		a := heads[work[at]].begin
		for ; at < len(work) && heads[work[at]].begin == a; at++ {
			i := work[at]
			k, _ := slices.BinarySearch(ends, tails[i].begin)
			held[k] += weigh(&p.Acts[i]) * l.times[i]
			worked[k] += p.Least(&p.Acts[i]) * l.times[i]
		}
		ahead := l.lanes * room(a%length, length)
		sum, done := 0, 0
		for k := len(ends) - 1; k >= 0; k-- {
			b := ends[k]
			if sum, done = sum+held[k], done+worked[k]; sum == 0 {
				continue
			}
			days := p.Past.Before + a/length + 1 + b/length
			if a%length+b%length >= length || sum > l.lanes*room(a%length, length-b%length) {
				between := max(0, sum-ahead-behind[k])
				days += 1 + (between+l.lanes*day-1)/(l.lanes*day)
			}
			if days > best.Days {
				*best = l.Bound
				best.Days, best.Minutes, best.Unbroken, best.Head, best.Tail = days, done, unbroken, a, b
			}
		}
	}
}

// distinct is the values of a list, each once, ascending.
func distinct(list []int, value func(i int) int) (values []int) {
	for _, i := range list {
		values = append(values, value(i))
	}
	slices.Sort(values)
	return slices.Compact(values)
}

// reach is how far into the days with work the waits alone bring an activity.
type reach struct {
	days, minute int // in which it ends, and the minute of that day, in work minutes done
	begin        int // minutes of all these days before it begins
}

// reaches follows every chain of waits with nothing else in the way: the fewest days with
// work in them up to the end of each step, and the earliest minute of that day. A day
// between may be left out, so a new day starts at its first minute. The worst ends last.
func reaches(p *place.Problem, least func(*place.Activity) int) (at []reach, worst int) {
	at, worst = make([]reach, len(p.Acts)), -1
	length := p.Calendar.Length
	for _, i := range p.Order {
		a := &p.Acts[i]
		if a.Done() {
			at[i] = reach{0, length, -1} // what waits for it begins on day 1
			continue
		}
		r := reach{days: 1}
		for _, l := range a.Before {
			if a.Fact != nil {
				break
			}
			o := at[l.On]
			next := reach{days: o.days, minute: sameDay(p, o.minute, &l)}
			if next.minute >= length {
				next = reach{days: o.days + 1}
			}
			if next.days > r.days || next.days == r.days && next.minute > r.minute {
				r = next
			}
		}
		work := least(a)
		if a.Unbroken && !a.Long {
			for s := p.Calendar.Span(r.minute); r.minute+work > p.Calendar.Before[s+1]; s = p.Calendar.Span(r.minute) {
				if r.minute = p.Calendar.Before[s+1]; r.minute >= length {
					r.days, r.minute = r.days+1, 0
				}
			}
		}
		r.begin = (r.days-1)*length + r.minute
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

// turnedLink is a wait with time turned round: what waited for is over, at its start, before what was waited for
// ends. Where every day is alike, that is the latest end from which it was over by that hour, which a later end
// never makes earlier.
func turnedLink(i int, l place.Link) place.Link {
	back := place.Link{On: i, Lag: l.Lag}
	if l.Daily && l.Times != nil {
		back.Daily = true
		back.Times = func(end int) (int, int) {
			start := place.Day - end
			last := start / place.Grain // of the day, at which what is waited for may end
			last -= sort.Search(last+1, func(k int) bool { return (last-k)*place.Grain+l.LagAfter((last-k)*place.Grain) <= start })
			return max(0, start-(last+1)*place.Grain+1), 0 // it may end a little later, but not as late as the next
		}
	}
	return back
}

// sameDay is the first work minute of the same day after a wait that begins when the work minute
// has ended; the length of the day or more when the day is over. Where every day is alike the hour
// tells how long the wait is, and else the least there is.
func sameDay(p *place.Problem, minute int, l *place.Link) int {
	if l.Lag == 0 && l.Times == nil {
		return minute
	}
	s := p.Calendar.Span(max(0, minute-1))
	clock := p.Calendar.Spans[s].From + minute - p.Calendar.Before[s]
	if l.Daily {
		clock += l.LagAfter(clock)
	} else {
		clock += l.Lag
	}
	for k, sp := range p.Calendar.Spans {
		if clock < sp.To {
			return p.Calendar.Before[k] + max(0, clock-sp.From)
		}
	}
	return p.Calendar.Length
}
