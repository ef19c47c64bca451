package schedule

import (
	"fmt"
	"slices"
)

// Work the search may spend, counted in placed activities, so that the answer
// does not depend on the machine.
const (
	rulePlacements = 20_000
	dropPlacements = 5_000
)

// search tries several orders of pressing and keeps the best programme; then it
// tries to do without each attended day in turn.
func search(n *network) (*board, error) {
	var best *board
	var bestGoal goal
	var bestKey []float64
	rules := n.rules()
	for _, key := range rules[:min(len(rules), max(1, rulePlacements/(len(n.acts)+1)))] {
		b := generate(n, key, nil)
		if b.closed {
			continue
		}
		if g := b.goal(); best == nil || g.less(bestGoal) {
			best, bestGoal, bestKey = b, g, key
		}
	}
	if best == nil {
		return nil, fmt.Errorf("%w: the work does not end within a century of open days: check the dates on which rooms are shut and people are off", ErrCannot)
	}
	left := dropPlacements / (len(n.acts) + 1)
	bound, _ := n.bound()
	for improved := true; improved && left > 0 && bestGoal.days > bound; {
		improved = false
		worked := best.attendance()
		var days []int
		for d, m := range worked {
			if m > 0 {
				days = append(days, d)
			}
		}
		slices.SortStableFunc(days, func(x, y int) int { return worked[x] - worked[y] })
		for _, d := range days {
			if left--; left < 0 {
				break
			}
			drop := make([]bool, max(len(best.drop), d+1))
			copy(drop, best.drop)
			drop[d] = true
			b := generate(n, bestKey, drop)
			if b.closed {
				continue
			}
			if g := b.goal(); g.less(bestGoal) {
				best, bestGoal, improved = b, g, true
				break
			}
		}
	}
	return best, nil
}

// rules are the orders tried, least key first. The first is the latest start
// that still meets the end of the job, from the network alone.
func (n *network) rules() [][]float64 {
	// Work takes the share of the week in which the site works, drying runs on.
	week := 0
	for _, w := range n.cal.weekly {
		if w {
			week++
		}
	}
	scale := float64(7*day) / float64(week*n.cal.length)
	tail := n.tails(scale)
	plain := n.tails(1)
	room := make([]float64, len(n.rooms))
	pairs := n.pairTails()
	for i := range n.acts {
		room[n.acts[i].room] = max(room[n.acts[i].room], tail[i])
	}
	keys := make([][]float64, 6)
	for r := range keys {
		keys[r] = make([]float64, len(n.acts))
	}
	for i := range n.acts {
		work := float64(n.acts[i].work) * scale
		keys[0][i] = -tail[i]                              // latest start
		keys[1][i] = work - tail[i]                        // latest finish
		keys[2][i] = -plain[i]                             // most minutes behind it
		keys[3][i] = -pairs[i] - tail[i]/1e6               // most work for two behind it
		keys[4][i] = -room[n.acts[i].room] - tail[i]/1e6   // the longest room first, whole
		keys[5][i] = float64(n.acts[i].room)*1e9 - tail[i] // rooms as written
	}
	return keys
}

// tails is the longest way from the start of each activity to the end of the job.
func (n *network) tails(scale float64) []float64 {
	tail := make([]float64, len(n.acts))
	for _, i := range slices.Backward(n.order) {
		for _, l := range n.acts[i].after {
			tail[i] = max(tail[i], float64(l.lag)+tail[l.other])
		}
		tail[i] += float64(n.acts[i].work) * scale
	}
	return tail
}

func (n *network) pairTails() []float64 {
	tail := make([]float64, len(n.acts))
	for _, i := range slices.Backward(n.order) {
		for _, l := range n.acts[i].after {
			tail[i] = max(tail[i], tail[l.other])
		}
		if len(n.acts[i].needs) > 1 {
			tail[i] += float64(n.acts[i].work)
		}
	}
	return tail
}

// bound is the number of site days that no programme can do without, and why.
func (n *network) bound() (int, string) {
	days, by := n.chainBound()
	raise := func(minutes, capacity int, words string) {
		if capacity > 0 {
			if d := (minutes + capacity - 1) / capacity; d > days {
				days, by = d, words
			}
		}
	}
	whole, pairs := 0, 0
	kits := make([]int, len(n.kits))
	skilled := map[byte]int{}
	for i := range n.acts {
		a := &n.acts[i]
		work := n.least(a)
		whole += work * len(a.needs)
		if len(a.needs) > 1 {
			pairs += work
		}
		if a.kit >= 0 {
			kits[a.kit] += work
		}
		for k := range len(a.needs) {
			skilled[a.needs[k]] += work
		}
	}
	length, people := n.cal.length, len(n.people)
	raise(whole, people*length, fmt.Sprintf("%s person-hours of work for %s", figure(whole), count(people, "person", "people")))
	raise(pairs, people/2*length, fmt.Sprintf("%s h of work that takes two at once, for %s", figure(pairs), count(people, "person", "people")))
	for _, r := range []byte("lwp") {
		able := 0
		for p := range n.people {
			if has(&n.people[p], r) {
				able++
			}
		}
		name := map[byte]string{'l': "laying", 'w': "working the glaze", 'p': "preparing"}[r]
		raise(skilled[r], able*length, fmt.Sprintf("%s person-hours of %s for %s with that skill", figure(skilled[r]), name, count(able, "person", "people")))
	}
	for k, minutes := range kits {
		raise(minutes, n.kits[k].count*length, fmt.Sprintf("%s h of work on %s", figure(minutes), count(n.kits[k].count, n.kits[k].kind, n.kits[k].kind+"s")))
	}
	return days, by
}

// least is the fewest work minutes an activity takes up. What runs through
// breaks takes whole days and, of the last one, the work minutes from its start.
func (n *network) least(a *activity) int {
	if !a.long {
		return a.work
	}
	whole, rest := a.work/n.cal.stretch(), a.work%n.cal.stretch()
	work := whole * n.cal.length
	for _, s := range n.cal.spans {
		work += max(0, min(int(s.To), int(n.cal.spans[0].From)+rest)-int(s.From))
	}
	return work
}

// chainBound follows every chain of waits with nothing else in the way: the
// fewest days with work in them up to the end of each step, and the earliest
// minute of that day. A day between may be left out, so a new day starts at its
// first minute.
func (n *network) chainBound() (int, string) {
	type reach struct{ days, minute, from int } // minute of the day in work minutes done; from = act before
	at := make([]reach, len(n.acts))
	worst := -1
	length := n.cal.length
	for _, i := range n.order {
		a := &n.acts[i]
		r := reach{1, 0, -1}
		for _, l := range a.before {
			o := at[l.other]
			next := reach{o.days, n.sameDay(o.minute, l.lag), l.other}
			if next.minute >= length {
				next = reach{o.days + 1, 0, l.other}
			}
			if next.days > r.days || next.days == r.days && (next.minute > r.minute || r.from < 0) {
				r = next
			}
		}
		work := n.least(a)
		if a.unbroken && !a.long {
			for s := n.cal.span(r.minute); r.minute+work > n.cal.before[s+1]; s = n.cal.span(r.minute) {
				if r.minute = n.cal.before[s+1]; r.minute >= length {
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
		return 0, "there is no work"
	}
	where := n.acts[worst].step.Room
	for i := worst; i >= 0; i = at[i].from {
		if n.acts[i].face != nil {
			where = n.acts[i].face.ID
			break
		}
	}
	return at[worst].days, fmt.Sprintf("the steps of %s and the drying between them", where)
}

// sameDay is the first work minute of the same day after a wait in site minutes
// that begins when the work minute has ended; the length of the day or more when
// the day is over.
func (n *network) sameDay(minute, lag int) int {
	if lag == 0 {
		return minute
	}
	s := n.cal.span(max(0, minute-1))
	clock := int(n.cal.spans[s].From) + minute - n.cal.before[s] + lag
	for k, sp := range n.cal.spans {
		if clock < int(sp.To) {
			return n.cal.before[k] + max(0, clock-int(sp.From))
		}
	}
	return n.cal.length
}
