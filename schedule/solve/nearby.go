package solve

import (
	"slices"

	"scumble/schedule/exact"
)

// What a question near a plan may spend (own defaults, settled on made-up jobs of 200 steps).
const (
	nearConflicts = 400 // dead ends
	nearLeast     = 60  // it counts for, at least
	nearFree      = 30  // activities that may move, to begin with
	nearMost      = 60
	nearDays      = 3 // they may move beyond the first and the last of them
)

// nearby asks the exact engine for better plans that keep all but some neighbours in time where
// they are (large neighbourhood search, Shaw 1998). It serves jobs that are too large to be
// looked at whole.
func (s *search) nearby() {
	free := nearFree
	for spent := 0; spent+nearConflicts <= s.effort.Conflicts; {
		if s.effort.Stop != nil && s.effort.Stop() {
			return
		}
		status, conflicts := s.askNear(free)
		spent += max(nearLeast, conflicts)
		switch status {
		case exact.None:
			free = min(nearMost, free+1)
		case exact.Open:
			free = max(8, free-1)
		}
	}
}

// askNear is one question: whether with some activities freed the plan can be better in the
// first part of its goal that may be, or in another by chance.
func (s *search) askNear(free int) (exact.Status, int) {
	b := s.best.board
	centre, part := s.centre()
	scope := s.around(centre, free)
	last := 0
	for i := range b.slots {
		last = max(last, (b.slots[i].to-1)/s.Calendar.length)
	}
	scope.people, scope.kits, scope.near = true, true, b
	m := newModel(s.Problem, last+1+nearDays, scope)
	if m == nil {
		return exact.None, s.effort.Conflicts
	}
	now := []int{s.best.goal.late, s.best.goal.days - len(s.past.closed), s.best.goal.visits, m.finishDay(s.best.goal)}
	for k, v := range []exact.Var{m.lates, m.days, m.visits, m.finish} {
		switch {
		case k < part:
			m.Clause(v.AtMost(now[k]))
		case k == part:
			m.Clause(v.AtMost(now[k] - 1))
		}
	}
	m.suggest(b)
	status, _ := m.Solver.Search(exact.Limit{Conflicts: nearConflicts, First: m.starts(), Stop: s.effort.Stop})
	if status != exact.Found {
		return status, m.Conflicts
	}
	a := &attempt{board: m.board()}
	if a.endless {
		return exact.Open, m.Conflicts
	}
	if a.weigh(); a.goal.less(s.best.goal) {
		s.note(a)
	}
	return status, m.Conflicts
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
	s.now = s.best
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

// around frees the activities nearest to a work minute, and lets them move a few days.
func (s *search) around(centre, free int) scope {
	b := s.best.board
	distance := func(i int) int {
		sl := &b.slots[i]
		return max(0, sl.from-centre, centre-sl.to)
	}
	var near []int
	for i := range b.Acts {
		if b.Acts[i].Fact == nil {
			near = append(near, i)
		}
	}
	slices.SortStableFunc(near, func(i, k int) int { return distance(i) - distance(k) })
	near = near[:min(len(near), free)]
	sc := scope{fixed: make([]bool, len(b.Acts)), from: centre, to: centre}
	for i := range sc.fixed {
		sc.fixed[i] = !b.Acts[i].done()
	}
	for _, i := range near {
		sc.fixed[i] = false
		sc.from, sc.to = min(sc.from, b.slots[i].from), max(sc.to, b.slots[i].to)
	}
	length := s.Calendar.length
	sc.from, sc.to = max(0, sc.from-nearDays*length), sc.to+nearDays*length
	return sc
}
