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
	s.fewerDays()
	for plans := firstRound; s.going(); plans *= 2 {
		s.now = s.best
		for k := 0; k < plans && s.going(); k++ {
			heat := 1 - float64(k)/float64(plans)/wandering
			a := s.spare(nil)
			s.disturb(a, heat <= 0)
			if !s.build(a) {
				continue
			}
			if s.below(2) == 0 && a.score < s.now.score+hopeless && s.going() {
				a = s.justify(a)
				k += 2
			}
			switch {
			case heat > 0 && a.score <= s.now.score+warmth*heat*s.unit()*s.unit(),
				heat <= 0 && !s.now.goal.less(a.goal):
				s.now = a
			}
			if heat > 0 && heat < 1.1/float64(plans)/wandering {
				s.now = s.best
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
			a.copy(s.now)
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

// copy takes over the way another plan was built.
func (b *board) copy(o *attempt) {
	b.near, b.hold, b.worth = o.near, o.hold, o.worth
	b.drop = append(b.drop[:0], o.drop...)
	copy(b.key, o.key)
}

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
// become as full as the first. It gives the better of both.
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
	b.copy(a)
	b.near = false
	for i := range b.key {
		b.key[i] = -float64(back.slots[i].to)
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
	a.near, a.hold, a.worth = false, s.now.hold, 0
	if fine && s.below(2) == 0 {
		a.worth = moveWorth
	}
	a.drop = append(a.drop[:0], s.now.drop...)
	length := float64(s.Calendar.length)
	kind := s.below(10)
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
		}
	}
}

// shift lets a room go ahead or stand back from some time on.
func (s *search) shift(a *attempt, room int, from, by float64) {
	for i, k := range a.key {
		if s.Acts[i].Room == room && k >= from {
			a.key[i] += by
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

// otherDays keeps another day free, takes one back, or changes two neighbours.
func (s *search) otherDays(a *attempt) {
	last := len(s.now.worked)
	for len(a.drop) < last+3 {
		a.drop = append(a.drop, false)
	}
	d := s.below(last)
	if !marked(s.past.open, d) {
		a.drop[d] = !a.drop[d]
	}
	if d+1 < last && s.below(2) == 0 && !marked(s.past.open, d+1) {
		a.drop[d], a.drop[d+1] = a.drop[d+1], a.drop[d]
	}
	if s.below(4) == 0 {
		a.hold = !a.hold
	}
}
