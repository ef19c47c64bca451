package solve

import (
	"math/bits"
	"slices"
)

// chance gives the same numbers everywhere (splitmix64, Steele, Lea and Flood 2014).
type chance struct{ state uint64 }

func (c *chance) next() uint64 {
	c.state += 0x9e3779b97f4a7c15
	z := c.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below is a number from 0 to n-1.
func (c *chance) below(n int) int {
	high, _ := bits.Mul64(c.next(), uint64(n))
	return int(high)
}

// unit is a number from 0 up to 1.
func (c *chance) unit() float64 { return float64(c.next()>>11) / (1 << 53) }

// between is a number from low up to high.
func (c *chance) between(low, high float64) float64 { return low + (high-low)*c.unit() }

// How the search wanders (own defaults, settled as those of the score).
const (
	justified  = 4    // times the best plan by rules is justified
	firstRound = 60   // plans disturbed in the first round; each round has twice as many
	warmth     = 0.3  // site days a plan may be worse at the start of a round
	wandering  = 0.65 // of a round; in the rest only what is no worse by the goal is kept
	hopeless   = 2    // site days by which a plan is too bad to be justified
)

// improve disturbs the best plan in rounds, each beginning warm, where worse plans are
// taken now and then, and ending cold (simulated annealing, Kirkpatrick, Gelatt and
// Vecchi 1983). Rounds grow, whatever the effort, so that a longer search begins as a
// shorter one does.
func (s *search) improve() {
	if !slices.ContainsFunc(s.Acts, func(a Activity) bool { return a.Fact == nil }) {
		return
	}
	s.now = s.best
	for range justified {
		if s.going() {
			s.now = s.justify(s.now)
		}
	}
	s.fewerDays()
	s.beginLater()
	for plans := firstRound; s.going(); plans *= 2 {
		s.now = s.best
		cold := false
		for k := 0; k < plans && s.going(); k++ {
			heat := 1 - float64(k)/float64(plans)/wandering
			if heat <= 0 && !cold {
				cold, s.now = true, s.best
			}
			s.beginEarlier()
			a := s.spare(nil)
			s.disturb(a, cold)
			if !s.build(a) {
				continue
			}
			if s.below(2) == 0 && a.score < s.now.score+hopeless && s.going() {
				a = s.justify(a)
				k += 2
			}
			switch {
			case !cold && a.score <= s.now.score+warmth*heat*s.unit()*s.unit(),
				cold && !s.now.goal.less(a.goal):
				s.now = a
			}
		}
	}
}

// fewerDays keeps one attended day after another free, the least used first, as long as
// that makes a better plan.
func (s *search) fewerDays() {
	for improved := true; improved; {
		improved = false
		s.now = s.best
		for _, d := range s.leastUsed() {
			if marked(s.past.open, d) || !s.going() {
				continue
			}
			a := s.spare(nil)
			a.copy(s.now.board)
			for len(a.drop) <= d {
				a.drop = append(a.drop, false)
			}
			a.drop[d] = true
			if s.build(a) && s.best == a {
				improved = true
				break
			}
		}
	}
}

// beginLater keeps ever more days free before the first, up to the last on which a room is
// shut or somebody is off, and a week.
func (s *search) beginLater() {
	s.now = s.best
	last := 7
	for _, shut := range s.Shut {
		last = max(last, len(shut)+7)
	}
	for k := range s.People {
		last = max(last, len(s.People[k].Off)+7)
	}
	for free := 1; free <= min(last, latestFirst) && s.going(); free++ {
		a := s.spare(nil)
		a.copy(s.now.board)
		clear(a.floor)
		a.drop = a.drop[:0]
		for d := range free {
			a.drop = append(a.drop, !marked(s.past.open, d))
		}
		s.build(a)
	}
	if s.best != s.now {
		s.fewerDays()
	}
}

// beginEarlier moves a best plan that is new as a whole as many days ahead as does not
// harm it.
func (s *search) beginEarlier() {
	if s.found == s.moved {
		return
	}
	s.moved, s.now = s.found, s.best
	first := slices.IndexFunc(s.now.worked, func(m int) bool { return m > 0 })
	for by := first; by > 0 && s.best == s.now && s.going(); by-- {
		a := s.spare(nil)
		a.copy(s.now.board)
		for i := range a.floor {
			a.key[i] = float64(s.now.slots[i].from)
			a.floor[i] = max(0, a.floor[i]-by*s.Calendar.length)
		}
		a.drop = slices.Delete(a.drop, 0, min(by, len(a.drop)))
		s.build(a)
	}
	s.moved, s.now = s.found, s.best
}

// latestFirst is the latest first day that is tried (own default).
const latestFirst = 20

// leastUsed is the attended days of the plan that is now, those with the least work first.
func (s *search) leastUsed() (days []int) {
	for d, m := range s.now.worked {
		if m > 0 {
			days = append(days, d)
		}
	}
	slices.SortStableFunc(days, func(x, y int) int { return s.now.worked[x] - s.now.worked[y] })
	return days
}

// justify packs a plan to the right, against its own end, and what comes of it to the
// left again (Li and Willis 1992; Valls, Ballestin and Quintanilla 2005): the last days
// become as full as the first. Where a window is missed, where the right has fewer days,
// and now and then, everything stays where it came to lie on the right. It gives the
// better of both plans.
func (s *search) justify(a *attempt) *attempt {
	if s.mirror.last != len(a.worked)-1 {
		s.mirror = newMirror(s.Problem, len(a.worked)-1)
	}
	s.left -= len(s.Acts) + 1
	back := s.mirror.pack(a)
	if back.endless {
		return a
	}
	b := s.spare(a)
	b.copy(a.board)
	b.near = false
	stay := a.goal.late > 0 || s.below(4) == 0 || s.mirror.days() < a.goal.days
	end := (s.mirror.last + 1) * s.Calendar.length
	for i := range b.key {
		b.key[i] = float64(end - back.slots[i].to)
		if b.floor[i] = 0; stay && s.Acts[i].Fact == nil {
			b.floor[i] = end - back.slots[i].to
		}
	}
	if s.build(b) && b.score <= a.score {
		return b
	}
	return a
}

// disturb makes of the plan that is now another way to build one: its order, changed
// somewhere. Fine changes are small.
func (s *search) disturb(a *attempt, fine bool) {
	end := 0.0
	for i := range a.key {
		a.key[i] = float64(s.now.slots[i].from)
		end = max(end, a.key[i])
	}
	a.near, a.hold, a.worth = s.below(8) == 0, s.now.hold, 0
	if copy(a.floor, s.now.floor); s.below(3) == 0 {
		clear(a.floor) // the days that are free stay free
		a.drop = s.freeDays(a.drop[:0])
	}
	if fine && s.below(2) == 0 {
		a.worth = moveWorth
	}
	a.drop = append(a.drop[:0], s.now.drop...)
	length := float64(s.Calendar.length)
	kind := s.below(13)
	switch {
	case fine && kind < 8:
		s.blur(a, end, length*s.between(0.05, 1))
	case kind < 5:
		s.blur(a, end, length*s.between(0.3, 3.3))
	case kind < 7:
		s.shift(a, s.below(len(s.Shut)), s.unit()*end, length*s.between(-3, 3))
	case kind < 9:
		s.pull(a, length*s.between(0.2, 2.2))
	default:
		s.otherDays(a)
	}
}

// blur changes the order within a stretch of time.
func (s *search) blur(a *attempt, end, width float64) {
	from := s.between(-width, end)
	reach := width * s.between(0.2, 1.2)
	for i, k := range a.key {
		if k >= from && k <= from+width {
			a.key[i] += reach * s.between(-0.5, 0.5)
			a.floor[i] = 0
		}
	}
}

// shift lets a room go ahead or stand back from some time on.
func (s *search) shift(a *attempt, room int, from, by float64) {
	later := by > 0 && s.below(2) == 0 // it begins later though it need not
	for i, k := range a.key {
		if s.Acts[i].Room == room && k >= from {
			a.key[i] += by
			if a.floor[i] > 0 {
				a.floor[i] = max(0, a.floor[i]+int(by))
			} else if later {
				a.floor[i] = max(0, s.now.slots[i].from+int(by))
			}
		}
	}
}

// pull lets what ends on one of the days with the least work, and what it waits for,
// go ahead.
func (s *search) pull(a *attempt, by float64) {
	days := s.leastUsed()
	if len(days) == 0 {
		return
	}
	day := days[min(len(days)-1, s.below(3))]
	if s.below(3) == 0 {
		day = len(s.now.worked) - 1
	}
	pulled := make([]bool, len(s.Acts))
	var pull func(i, depth int)
	pull = func(i, depth int) {
		if pulled[i] || depth > 8 {
			return
		}
		pulled[i] = true
		a.key[i] -= by
		a.floor[i] = max(0, a.floor[i]-int(by))
		for _, l := range s.Acts[i].Before {
			pull(l.On, depth+1)
		}
	}
	for i := range s.now.slots {
		if (s.now.slots[i].to-1)/s.Calendar.length == day && s.below(2) == 0 {
			pull(i, 0)
		}
	}
}

// freeDays marks the days without work in the plan that is now.
func (s *search) freeDays(drop []bool) []bool {
	for _, m := range s.now.worked {
		drop = append(drop, m == 0)
	}
	return drop
}

// otherDays changes the days that are kept free: one of them, two neighbours, all those
// after a day by one, or all of them.
func (s *search) otherDays(a *attempt) {
	last := len(s.now.worked)
	for len(a.drop) < last+3 {
		a.drop = append(a.drop, false)
	}
	d := s.below(last)
	switch s.below(7) {
	case 0, 1:
		a.drop[d] = !a.drop[d]
	case 2:
		a.drop[d], a.drop[d+1] = a.drop[d+1], a.drop[d]
	case 3:
		a.drop = slices.Insert(s.freeDays(a.drop[:0]), d, true)
	case 4:
		a.drop = s.freeDays(a.drop[:0])
		if free := slices.Index(a.drop[d:], true); free >= 0 {
			a.drop = slices.Delete(a.drop, d+free, d+free+1)
		}
	case 5:
		clear(a.drop)
	default:
		a.drop = a.drop[:0]
		if s.below(3) == 0 {
			for range s.below(latestFirst) {
				a.drop = append(a.drop, true)
			}
		}
		for range s.now.goal.days {
			for range s.below(3) * s.below(2) {
				a.drop = append(a.drop, true)
			}
			a.drop = append(a.drop, false)
		}
	}
	for d := range a.drop {
		if marked(s.past.open, d) {
			a.drop[d] = false
		}
	}
	if s.below(2) == 0 {
		clear(a.floor)
	}
	if s.below(4) == 0 {
		a.hold = !a.hold
	}
}
