package solve

import (
	"math"
	"slices"
)

// Effort is what a search may spend, counted in placed activities, so that the answer
// does not depend on the machine. One plan is built at least.
type Effort struct {
	Placements int         // activities placed, over all plans that are built
	Stop       func() bool // asked between two plans; true ends the search; nil = never
	Watch      func(*Plan) // told each plan that is better than all before; nil = nobody
}

// Plan is a problem solved.
type Plan struct {
	Slots  []Slot // by activity
	Slack  []int  // by activity, work minutes: see slacks
	Late   int    // waits whose latest start is missed
	Days   int    // with work in them
	Visits int    // runs of them without an open day left out
	Moved  int    // activities that start on another day than agreed
	Idle   int    // work minutes of people between their first and their last work of a day
	Moves  int    // of people from room to room on one day
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
func (p *Problem) Search(e Effort) (plan *Plan, at int, failure Failure) {
	if at := p.prepare(); at >= 0 {
		return nil, at, Circle
	}
	if len(p.Acts) == 0 {
		return &Plan{}, -1, None
	}
	var best *board
	var reached goal
	var bestKey []float64
	rules := p.rules()
	plans := e.Placements / (len(p.Acts) + 1)
	for _, key := range rules[:min(len(rules), max(1, plans))] {
		if best != nil && e.stopped() {
			break
		}
		b := generate(p, key, nil)
		plans--
		if b.endless {
			continue
		}
		if g := b.goal(); best == nil || g.less(reached) {
			best, reached, bestKey = b, g, key
			e.tell(best, reached)
		}
	}
	if best == nil {
		return nil, -1, Endless
	}
	best, reached = p.fewerDays(best, reached, bestKey, plans, &e)
	return best.plan(reached), -1, None
}

func (e *Effort) stopped() bool { return e.Stop != nil && e.Stop() }

func (e *Effort) tell(b *board, g goal) {
	if e.Watch != nil {
		e.Watch(b.plan(g))
	}
}

// plan is a board for those outside.
func (b *board) plan(g goal) *Plan {
	slots := slices.Clone(b.slots)
	for i := range slots {
		slots[i].Work = b.stretches(&b.Acts[i], &slots[i])
	}
	return &Plan{slots, b.slacks(), g.late, g.days, g.visits, g.moved, g.idle, g.moves, g.finish}
}

// fewerDays leaves out one attended day after another, the least used first,
// and keeps what is better.
func (p *Problem) fewerDays(best *board, reached goal, key []float64, left int, e *Effort) (*board, goal) {
	bound := p.Bound().Days
	for improved := true; improved && left > 0 && reached.days > bound; {
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
			if left--; left < 0 || e.stopped() {
				return best, reached
			}
			drop := make([]bool, max(len(best.drop), d+1))
			copy(drop, best.drop)
			drop[d] = true
			if marked(p.past.open, d) {
				continue
			}
			b := generate(p, key, drop)
			if b.endless {
				continue
			}
			if g := b.goal(); g.less(reached) {
				best, reached, improved = b, g, true
				e.tell(best, reached)
				break
			}
		}
	}
	return best, reached
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
		work := float64(p.Acts[i].rest) * scale
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
		tail[i] += float64(p.Acts[i].rest) * scale
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
			tail[i] += float64(p.Acts[i].rest)
		}
	}
	return tail
}
