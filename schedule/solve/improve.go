package solve

import (
	"math/bits"
	"slices"

	"scumble/schedule/place"
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
	if !slices.ContainsFunc(s.Acts, func(a place.Activity) bool { return a.Fact == nil }) {
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
	s.tidyBetween(tidyFirst * len(s.Acts))
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
				cold && !s.now.goal.Less(a.goal):
				s.now = a
			}
		}
		s.tidyBetween(plans * len(s.Acts) / tidyRound)
	}
}

// fewerDays keeps one attended day after another free, the least used first, as long as
// that makes a better plan.
func (s *search) fewerDays() {
	for improved := true; improved; {
		improved = false
		s.now = s.best
		for _, d := range s.leastUsed() {
			if place.Marked(s.Past.Open, d) || !s.going() {
				continue
			}
			a := s.spare(nil)
			a.Copy(s.now.Board)
			for len(a.Drop) <= d {
				a.Drop = append(a.Drop, false)
			}
			a.Drop[d] = true
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
		a.Copy(s.now.Board)
		clear(a.Floor)
		a.Drop = a.Drop[:0]
		for d := range free {
			a.Drop = append(a.Drop, !place.Marked(s.Past.Open, d))
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
		a.Copy(s.now.Board)
		for i := range a.Floor {
			a.Key[i] = float64(s.now.Slots[i].From)
			a.Floor[i] = max(0, a.Floor[i]-by*s.Calendar.Length)
		}
		a.Drop = slices.Delete(a.Drop, 0, min(by, len(a.Drop)))
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
	if back.Endless {
		return a
	}
	b := s.spare(a)
	b.Copy(a.Board)
	b.Near = false
	stay := a.goal.Late > 0 || s.below(4) == 0 || s.mirror.days() < a.goal.Days
	end := (s.mirror.last + 1) * s.Calendar.Length
	for i := range b.Key {
		b.Key[i] = float64(end - back.Slots[i].To)
		if b.Floor[i] = 0; stay && s.Acts[i].Fact == nil {
			b.Floor[i] = end - back.Slots[i].To
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
	for i := range a.Key {
		a.Key[i] = float64(s.now.Slots[i].From)
		end = max(end, a.Key[i])
	}
	a.Near, a.Hold, a.Worth = s.below(8) == 0, s.now.Hold, 0
	if copy(a.Floor, s.now.Floor); s.below(3) == 0 {
		clear(a.Floor) // the days that are free stay free
		a.Drop = s.freeDays(a.Drop[:0])
	}
	if fine && s.below(2) == 0 {
		a.Worth = place.MoveWorth
	}
	a.Drop = append(a.Drop[:0], s.now.Drop...)
	length := float64(s.Calendar.Length)
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
	for i, k := range a.Key {
		if k >= from && k <= from+width {
			a.Key[i] += reach * s.between(-0.5, 0.5)
			a.Floor[i] = 0
		}
	}
}

// shift lets a room go ahead or stand back from some time on.
func (s *search) shift(a *attempt, room int, from, by float64) {
	later := by > 0 && s.below(2) == 0 // it begins later though it need not
	for i, k := range a.Key {
		if s.Acts[i].Room == room && k >= from {
			a.Key[i] += by
			if a.Floor[i] > 0 {
				a.Floor[i] = max(0, a.Floor[i]+int(by))
			} else if later {
				a.Floor[i] = max(0, s.now.Slots[i].From+int(by))
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
		a.Key[i] -= by
		a.Floor[i] = max(0, a.Floor[i]-int(by))
		for _, l := range s.Acts[i].Before {
			pull(l.On, depth+1)
		}
	}
	for i := range s.now.Slots {
		if (s.now.Slots[i].To-1)/s.Calendar.Length == day && s.below(2) == 0 {
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
// after a day by one, all before a gap by one, or all of them.
func (s *search) otherDays(a *attempt) {
	last := len(s.now.worked)
	for len(a.Drop) < last+3 {
		a.Drop = append(a.Drop, false)
	}
	d := s.below(last)
	switch s.below(8) {
	case 0, 1:
		a.Drop[d] = !a.Drop[d]
	case 2:
		a.Drop[d], a.Drop[d+1] = a.Drop[d+1], a.Drop[d]
	case 3:
		a.Drop = slices.Insert(s.freeDays(a.Drop[:0]), d, true)
	case 4:
		a.Drop = s.freeDays(a.Drop[:0])
		if free := slices.Index(a.Drop[d:], true); free >= 0 {
			a.Drop = slices.Delete(a.Drop, d+free, d+free+1)
		}
	case 5:
		clear(a.Drop)
	case 6: // what lies before a gap moves over to what lies behind it
		a.Drop = s.freeDays(a.Drop[:0])
		first := slices.Index(a.Drop, false)
		if gap := slices.Index(a.Drop[max(0, first):], true); first >= 0 && gap >= 0 {
			a.Drop = slices.Insert(slices.Delete(a.Drop, first+gap, first+gap+1), 0, true)
		}
	default:
		a.Drop = a.Drop[:0]
		if s.below(3) == 0 {
			for range s.below(latestFirst) {
				a.Drop = append(a.Drop, true)
			}
		}
		for range s.now.goal.Days {
			for range s.below(3) * s.below(2) {
				a.Drop = append(a.Drop, true)
			}
			a.Drop = append(a.Drop, false)
		}
	}
	for d := range a.Drop {
		if place.Marked(s.Past.Open, d) {
			a.Drop[d] = false
		}
	}
	if s.below(2) == 0 {
		clear(a.Floor)
	}
	if s.below(4) == 0 {
		a.Hold = !a.Hold
	}
}
