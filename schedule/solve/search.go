package solve

import (
	"math"
	"slices"
)

// Work the search may spend, counted in placed activities, so that the answer
// does not depend on the machine.
const (
	rulePlacements = 20_000
	dropPlacements = 5_000
)

// Plan is a problem solved.
type Plan struct {
	Slots  []Slot // by activity
	Slack  []int  // by activity, work minutes: see slacks
	Days   int    // with work in them
	Visits int    // runs of them without an open day left out
	Finish int    // site minute
}

// Failure is why there is no plan.
type Failure int

// The failures of Search.
const (
	None    Failure = iota
	Circle          // an activity waits for itself; Search returns which
	Endless         // the work does not end within a century of open days
)

// Search tries several orders of pressing and keeps the best plan; then it tries
// to do without each attended day in turn. Every person's needs must be Able.
func (p *Problem) Search() (plan *Plan, at int, failure Failure) {
	if at := p.prepare(); at >= 0 {
		return nil, at, Circle
	}
	if len(p.Acts) == 0 {
		return &Plan{}, -1, None
	}
	rules := p.rules()
	var tried []trial
	for _, key := range rules[:min(len(rules), max(1, rulePlacements/(len(p.Acts)+1)))] {
		if b := generate(p, key, nil); !b.endless {
			tried = append(tried, trial{b, b.goal(), key})
		}
	}
	if len(tried) == 0 {
		return nil, -1, Endless
	}
	best := p.fewerDays(tried)
	best.finish = best.goal.finish
	best.tidy()
	for i := range best.slots {
		best.slots[i].Work = best.stretches(&p.Acts[i], &best.slots[i])
	}
	g := best.board.goal()
	return &Plan{best.slots, best.slacks(), g.days, g.visits, g.finish}, -1, None
}

// trial is a plan with what it reaches and the order that made it.
type trial struct {
	*board
	goal goal
	key  []float64
}

// fewerDays takes the best of some plans. It tries to do without each attended
// day of those that have no more days, the least used first, and goes on from
// what is better.
func (p *Problem) fewerDays(tried []trial) trial {
	best := slices.MinFunc(tried, func(x, y trial) int { return x.goal.compare(y.goal) })
	bound := p.Bound().Days
	left := dropPlacements / (len(p.Acts) + 1)
	for improved := true; improved && left > 0 && best.goal.days > bound; {
		improved = false
		for _, o := range leastUsed(tried, best.goal) {
			if left--; left < 0 {
				break
			}
			drop := make([]bool, max(len(o.drop), o.day+1))
			copy(drop, o.drop)
			drop[o.day] = true
			b := generate(p, o.key, drop)
			if b.endless {
				continue
			}
			if g := b.goal(); g.compare(best.goal) < 0 {
				best, improved = trial{b, g, o.key}, true
				tried = []trial{best}
				break
			}
		}
	}
	return best
}

// attended is an open day with work in a plan.
type attended struct {
	trial
	day, worked int
}

// leastUsed lists the attended days of the plans that are as good as the best by
// windows and days, the least used first.
func leastUsed(tried []trial, best goal) (days []attended) {
	for _, t := range tried {
		if t.goal.late > best.late || t.goal.days > best.days {
			continue
		}
		for d, m := range t.attendance() {
			if m > 0 {
				days = append(days, attended{t, d, m})
			}
		}
	}
	slices.SortStableFunc(days, func(x, y attended) int { return x.worked - y.worked })
	return days
}

// rules are the orders tried, least key first. The first is the latest start
// that still meets the end of the job, from the network alone.
func (p *Problem) rules() [][]float64 {
	// Work takes the share of the week in which the site works, drying runs on.
	week := 0
	for _, w := range p.Calendar.weekly {
		if w {
			week++
		}
	}
	scale := float64(7*day) / float64(week*p.Calendar.length)
	tail := p.tails(scale)
	plain := p.tails(1)
	room := make([]float64, len(p.Shut))
	pairs := p.pairTails()
	for i := range p.Acts {
		room[p.Acts[i].Room] = max(room[p.Acts[i].Room], tail[i])
	}
	keys := make([][]float64, 6)
	for r := range keys {
		keys[r] = make([]float64, len(p.Acts))
	}
	for i := range p.Acts {
		work := float64(p.Acts[i].Work) * scale
		keys[0][i] = -tail[i]                              // latest start
		keys[1][i] = work - tail[i]                        // latest finish
		keys[2][i] = -plain[i]                             // most minutes behind it
		keys[3][i] = -pairs[i] - tail[i]/1e6               // most work for two behind it
		keys[4][i] = -room[p.Acts[i].Room] - tail[i]/1e6   // the longest room first, whole
		keys[5][i] = float64(p.Acts[i].Room)*1e9 - tail[i] // rooms as written
	}
	// Steps that press alike are done room by room: fewer moves for the same days.
	for _, alike := range []float64{day / 2, day, 2 * day} {
		key := make([]float64, len(p.Acts))
		for i := range p.Acts {
			key[i] = math.Floor(-tail[i]/alike)*1e9 + float64(p.Acts[i].Room)*1e4 - tail[i]/1e4
		}
		keys = append(keys, key)
	}
	return keys
}

// tails is the longest way from the start of each activity to the end of the job.
func (p *Problem) tails(scale float64) []float64 {
	tail := make([]float64, len(p.Acts))
	for _, i := range slices.Backward(p.order) {
		for _, l := range p.Acts[i].after {
			tail[i] = max(tail[i], float64(l.Lag)+tail[l.On])
		}
		tail[i] += float64(p.Acts[i].Work) * scale
	}
	return tail
}

func (p *Problem) pairTails() []float64 {
	tail := make([]float64, len(p.Acts))
	for _, i := range slices.Backward(p.order) {
		for _, l := range p.Acts[i].after {
			tail[i] = max(tail[i], tail[l.On])
		}
		if len(p.Acts[i].Needs) > 1 {
			tail[i] += float64(p.Acts[i].Work)
		}
	}
	return tail
}
