package solve

import (
	"slices"

	"scumble/schedule/exact"
)

// What a question near a plan may spend (own defaults, settled on made-up jobs of 200 steps).
const (
	nearConflicts = 400 // dead ends
	nearLeast     = 20  // it counts for, at least
	nearFree      = 30  // activities that may move, to begin with
	nearMost      = 60
	nearDays      = 3   // they may move beyond the first and the last of them
	unloadDays    = 2   // likewise, of the days attended
	unloadReach   = 1.5 // days from what has to move to the middle of what may
)

// nearby asks the exact engine for better plans that keep all but some neighbours in time where
// they are (large neighbourhood search, Shaw 1998). It serves jobs that are too large to be
// looked at whole.
func (s *search) nearby(conflicts int) (spent int) {
	s.now = s.best
	many := nearFree
	for round := 0; spent+nearConflicts <= conflicts; round++ {
		if s.effort.Stop != nil && s.effort.Stop() {
			return spent
		}
		ask := s.unload
		if round%2 > 0 && s.best.goal.late > 0 || round%4 == 3 {
			ask = s.askNear
		}
		status, met := ask(many)
		spent += max(nearLeast, met)
		switch status {
		case exact.None:
			many = min(nearMost, many+1)
		case exact.Open:
			many = max(8, many-1)
		}
	}
	return spent
}

// askNear is one question: whether with some activities freed the plan can be better in the
// first part of its goal that may be, or in another by chance.
func (s *search) askNear(many int) (exact.Status, int) {
	s.now = s.best
	b := s.now.board
	centre, part := s.centre()
	near := s.neighbours(many, func(i int) int {
		sl := &b.slots[i]
		return max(0, sl.from-centre, centre-sl.to)
	})
	last := 0
	for i := range b.slots {
		last = max(last, (b.slots[i].to-1)/s.Calendar.length)
	}
	q := *s.Problem
	m, late := s.modelNear(&q, last+1+nearDays, near, nearDays)
	if m == nil {
		return exact.None, s.effort.Conflicts
	}
	m.beside(s.Problem)
	now := []int{late, s.best.goal.days - len(s.past.closed), s.best.goal.visits, m.finishDay(s.best.goal)}
	for k, v := range []exact.Var{m.lates, m.days, m.visits, m.finish} {
		switch {
		case k < part:
			m.Clause(v.AtMost(now[k]))
		case k == part:
			m.Clause(v.AtMost(now[k] - 1))
		}
	}
	_, status := s.answer(m)
	return status, m.Conflicts
}

// unload asks for a plan on the same days with less to do on one of them that has little, which is a
// way to do without it: something moves to another day, and its neighbours in time make room.
func (s *search) unload(many int) (exact.Status, int) {
	b := s.now.board
	days := s.leastUsed()
	gone := days[min(len(days)-1, s.below(len(days)/4+1)*s.below(2))]
	var there []int
	for i := range b.slots {
		if b.Acts[i].Fact == nil && b.slots[i].on(gone, s.Calendar.length) {
			there = append(there, i)
		}
	}
	if len(there) == 0 {
		return exact.None, 0
	}
	q, count := onDays(s.Problem, s.now.worked)
	at := func(i int) piece {
		return piece{q.Calendar.from(b.slots[i].Begin), q.Calendar.upTo(b.slots[i].End)}
	}
	moved := there[s.below(len(there))]
	centre := at(moved).from + int(s.between(-unloadReach, unloadReach)*float64(s.Calendar.length))
	near := s.neighbours(many, func(i int) int {
		if i == moved {
			return -1
		}
		p := at(i)
		return max(0, p.from-centre, centre-p.to)
	})
	m, late := s.modelNear(q, count, near, unloadDays)
	if m == nil {
		return exact.None, s.effort.Conflicts
	}
	m.Clause(m.lates.AtMost(late))
	for _, i := range near {
		if i == moved || !slices.Contains(there, i) {
			m.off(i, s.Calendar.Day(gone))
		}
	}
	a, status := s.answer(m)
	if a != nil && a.goal.late <= s.now.goal.late && a.goal.days <= s.now.goal.days {
		s.now = a
	}
	return status, m.Conflicts
}

// answer asks, and notes what is found if it is the best.
func (s *search) answer(m *model) (*attempt, exact.Status) {
	m.suggest(m.near)
	status, _ := m.Solver.Search(exact.Limit{Conflicts: nearConflicts, First: m.starts(), Stop: s.effort.Stop})
	if status != exact.Found {
		return nil, status
	}
	a := &attempt{board: m.board(s.Problem)}
	if a.endless {
		return nil, exact.Open
	}
	if a.weigh(); a.goal.less(s.best.goal) {
		s.note(a)
	}
	return a, status
}

// neighbours are the activities that are nearest.
func (s *search) neighbours(many int, distance func(i int) int) (near []int) {
	far := make([]int, len(s.Acts))
	for i := range s.Acts {
		if s.Acts[i].Fact == nil {
			near, far[i] = append(near, i), distance(i)
		}
	}
	slices.SortStableFunc(near, func(i, k int) int { return far[i] - far[k] })
	return near[:min(len(near), many)]
}

// modelNear is a question about what is near in the plan that is now, and tells how many of its windows
// are missed there: what is near may move some days beyond the first and the last of it, all that lies
// beside it or waits for it stays, and what else there is counts as done.
func (s *search) modelNear(q *Problem, most int, near []int, days int) (m *model, late int) {
	b, length := s.now.board, q.Calendar.length
	sc := scope{people: true, kits: true, near: b, free: make([]bool, len(b.Acts))}
	first, last := most*length, 0
	keep := make([]bool, len(b.Acts))
	for _, i := range near {
		sc.free[i], keep[i] = true, true
		at := q.Calendar.from(b.slots[i].Begin)
		first, last = min(first, at), max(last, at)
		for _, l := range b.Acts[i].after {
			keep[l.On] = true
		}
		for _, k := range b.Acts[i].Wet {
			keep[k] = true
		}
	}
	first, last = max(0, first-days*length), min(most*length, last+days*length)
	sc.from, sc.to = q.Calendar.begins(first), q.Calendar.begins(last)
	q.Acts = slices.Clone(q.Acts)
	for i := range q.Acts {
		begin, end := q.Calendar.from(b.slots[i].Begin), q.Calendar.upTo(b.slots[i].End)
		if q.Acts[i].Fact == nil && !keep[i] && (begin > last+length || end < first) {
			q.Acts[i].Fact = &Fact{Begin: b.slots[i].Begin, End: b.slots[i].End}
		}
	}
	for i := range q.Acts {
		for _, l := range q.Acts[i].Before {
			end := b.slots[l.On].End
			if l.Until > 0 && b.slots[i].Begin > end+l.LatestAfter(end) && (q.Acts[i].Fact == nil || q.Acts[l.On].done()) {
				late++
			}
		}
	}
	return newModel(q, most, sc), late
}

// onDays is the problem with the site open only on the days attended, and tells how many these are.
func onDays(p *Problem, worked []int) (*Problem, int) {
	q := *p
	closed := map[int]bool{}
	var counts []int
	next := 0
	for d, m := range worked {
		if m == 0 && !marked(p.past.open, d) {
			continue
		}
		counts = append(counts, d)
		number := p.Calendar.Day(d)
		for ; next < number; next++ {
			closed[next] = true
		}
		next++
	}
	c := p.Calendar
	q.Calendar = NewCalendar(c.spans, c.weekday, c.weekly, closed)
	chosen := func(mask []bool) []bool {
		out := make([]bool, len(counts))
		for k, d := range counts {
			out[k] = marked(mask, d)
		}
		return out
	}
	q.Shut, q.People = nil, nil
	for r := range p.Shut {
		q.Shut = append(q.Shut, chosen(p.Shut[r]))
	}
	for k := range p.People {
		q.People = append(q.People, Person{p.People[k].Skills, chosen(p.People[k].Off)})
	}
	q.past.open = chosen(p.past.open)
	return &q, len(counts)
}

// centre is the work minute round which to look, and the part of the goal to better: a window
// that is missed; a day with little work; a day before a gap; the end.
func (s *search) centre() (at, part int) {
	b := s.best.board
	if s.best.goal.late > 0 && s.below(4) > 0 {
		var late []int
		for i := range b.Acts {
			if other, _ := b.missed(i, &b.slots[i]); other >= 0 {
				late = append(late, i)
			}
		}
		if len(late) > 0 {
			return b.slots[late[s.below(len(late))]].from, 0
		}
	}
	days := s.leastUsed()
	kind := s.below(10)
	switch {
	case s.best.goal.visits > 1 && kind < 2:
		return s.gap()*s.Calendar.length + s.Calendar.length/2, 2
	case kind < 8 && len(days) > 0:
		d := days[min(len(days)-1, s.below(max(3, len(days)/2)))]
		return d*s.Calendar.length + s.Calendar.length/2, 1
	}
	return (len(s.best.worked) - 1) * s.Calendar.length, 3
}

// gap is an attended day before one that is not, by chance.
func (s *search) gap() int {
	worked := s.best.worked
	var before []int
	for d := 0; d+1 < len(worked); d++ {
		if worked[d] > 0 && worked[d+1] == 0 {
			before = append(before, d)
		}
	}
	if len(before) == 0 {
		return len(worked) - 1
	}
	return before[s.below(len(before))]
}
