package solve

import (
	"slices"

	"scumble/schedule/exact"
	"scumble/schedule/model"
	"scumble/schedule/place"
)

// What a question near a plan may spend (own defaults, settled on made-up jobs of 200 steps).
const (
	nearConflicts = 400 // dead ends
	nearLeast     = 60  // it counts for, at least, for writing it down takes as long
	nearFree      = 30  // activities that may move, to begin with
	nearMost      = 60
	nearDays      = 3   // they may move beyond the first and the last of them
	unloadDays    = 2   // likewise, of the days attended
	unloadReach   = 1.5 // days from what has to move to the middle of what may
	finishShare   = 8   // part of the effort, where nothing but the finish can be better
)

// nearby asks the exact engine for better plans that keep all but some neighbours in time where
// they are (large neighbourhood search, Shaw 1998). It serves jobs that are too large to be
// looked at whole.
func (s *search) nearby(conflicts int) (spent int) {
	s.now = s.best
	many := nearFree
	for round := 0; spent+nearConflicts <= conflicts; round++ {
		g := &s.best.goal
		if s.stop() || g.Late == 0 && g.Days <= s.least.Days && g.Visits == 1 && spent > conflicts/finishShare-nearConflicts {
			return spent
		}
		ask := s.unload
		if round%2 > 0 && s.best.goal.Late > 0 || round%4 == 3 || s.best.goal.Days <= s.least.Days {
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
	b := s.now.Board
	centre, part := s.centre()
	near := s.neighbours(many, func(i int) int {
		sl := &b.Slots[i]
		return max(0, sl.From-centre, centre-sl.To)
	})
	last := 0
	for i := range b.Slots {
		last = max(last, (b.Slots[i].To-1)/s.Calendar.Length)
	}
	q := *s.Problem
	m, late := s.modelNear(&q, last+1+nearDays, near, nearDays)
	if m == nil {
		return exact.None, s.effort.Conflicts
	}
	m.Beside(s.Problem)
	now := []int{late, s.best.goal.Days - len(s.Past.Closed), s.best.goal.Visits, m.FinishDay(s.best.goal)}
	for k, v := range []exact.Var{m.Lates, m.Days, m.Visits, m.Finish} {
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
	b := s.now.Board
	days := s.leastUsed()
	gone := days[min(len(days)-1, s.below(len(days)/4+1)*s.below(2))]
	var there []int
	for i := range b.Slots {
		if b.Acts[i].Fact == nil && b.Slots[i].On(gone, s.Calendar.Length) {
			there = append(there, i)
		}
	}
	if len(there) == 0 {
		return exact.None, 0
	}
	q, count := onDays(s.Problem, s.now.worked)
	at := func(i int) place.Piece {
		return place.Piece{From: q.Calendar.From(b.Slots[i].Begin), To: q.Calendar.UpTo(b.Slots[i].End)}
	}
	moved := there[s.below(len(there))]
	centre := at(moved).From + int(s.between(-unloadReach, unloadReach)*float64(s.Calendar.Length))
	near := s.neighbours(many, func(i int) int {
		if i == moved {
			return -1
		}
		p := at(i)
		return max(0, p.From-centre, centre-p.To)
	})
	m, late := s.modelNear(q, count, near, unloadDays)
	if m == nil {
		return exact.None, s.effort.Conflicts
	}
	m.Clause(m.Lates.AtMost(late))
	for _, i := range near {
		if i == moved || !slices.Contains(there, i) {
			m.Off(i, s.Calendar.Day(gone))
		}
	}
	a, status := s.answer(m)
	if a != nil && a.goal.Late <= s.now.goal.Late && a.goal.Days <= s.now.goal.Days {
		s.now = a
	}
	return status, m.Conflicts
}

// answer asks, and notes what is found if it is the best.
func (s *search) answer(m *model.Model) (*attempt, exact.Status) {
	m.GuideBy(m.Near)
	status, _ := m.Solver.Search(exact.Limit{Conflicts: nearConflicts, First: m.Starts(), Stop: s.stop})
	if status != exact.Found {
		return nil, status
	}
	a := &attempt{Board: m.Board(s.Problem)}
	if a.Endless {
		return nil, exact.Open
	}
	if a.weigh(); a.goal.Less(s.best.goal) {
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
func (s *search) modelNear(q *place.Problem, most int, near []int, days int) (m *model.Model, late int) {
	b, length := s.now.Board, q.Calendar.Length
	sc := model.Scope{Crew: true, Gear: true, Near: b, Free: make([]bool, len(b.Acts))}
	first, last := most*length, 0
	keep := make([]bool, len(b.Acts))
	for _, i := range near {
		sc.Free[i], keep[i] = true, true
		at := q.Calendar.From(b.Slots[i].Begin)
		first, last = min(first, at), max(last, at)
		for _, l := range b.Acts[i].After {
			keep[l.On] = true
		}
		for _, k := range b.Acts[i].Wet {
			keep[k] = true
		}
	}
	first, last = max(0, first-days*length), min(most*length, last+days*length)
	sc.From, sc.To = q.Calendar.Begins(first), q.Calendar.Begins(last)
	q.Acts = slices.Clone(q.Acts)
	for i := range q.Acts {
		begin, end := q.Calendar.From(b.Slots[i].Begin), q.Calendar.UpTo(b.Slots[i].End)
		if q.Acts[i].Fact == nil && !keep[i] && (begin > last+length || end < first) {
			q.Acts[i].Fact = &place.Fact{Begin: b.Slots[i].Begin, End: b.Slots[i].End}
		}
	}
	for i := range q.Acts {
		for _, l := range q.Acts[i].Before {
			if l.Late(b.Slots[l.On].End, b.Slots[i].Begin) && (q.Acts[i].Fact == nil || q.Acts[l.On].Done()) {
				late++
			}
		}
	}
	return model.New(q, most, sc), late
}

// onDays is the problem with the site open only on the days attended, and tells how many these are.
func onDays(p *place.Problem, worked []int) (*place.Problem, int) {
	q := *p
	closed := map[int]bool{}
	var counts []int
	next := 0
	for d, m := range worked {
		if m == 0 && !place.Marked(p.Past.Open, d) {
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
	q.Calendar = place.NewCalendar(c.Spans, c.Weekday, c.Weekly, closed)
	chosen := func(mask []bool) []bool {
		out := make([]bool, len(counts))
		for k, d := range counts {
			out[k] = place.Marked(mask, d)
		}
		return out
	}
	q.Shut, q.People = nil, nil
	for r := range p.Shut {
		q.Shut = append(q.Shut, chosen(p.Shut[r]))
	}
	for k := range p.People {
		q.People = append(q.People, place.Person{Skills: p.People[k].Skills, Off: chosen(p.People[k].Off)})
	}
	q.Past.Open = chosen(p.Past.Open)
	return &q, len(counts)
}

// centre is the work minute round which to look, and the part of the goal to better: a window
// that is missed; a day with little work; a day before a gap; the end.
func (s *search) centre() (at, part int) {
	b := s.best.Board
	if s.best.goal.Late > 0 && s.below(4) > 0 {
		var late []int
		for i := range b.Acts {
			if other, _ := b.Missed(i, &b.Slots[i]); other >= 0 {
				late = append(late, i)
			}
		}
		if len(late) > 0 {
			return b.Slots[late[s.below(len(late))]].From, 0
		}
	}
	days := s.leastUsed()
	kind := s.below(10)
	fewest := s.best.goal.Days <= s.least.Days
	switch {
	case s.best.goal.Visits > 1 && (kind < 2 || fewest && kind < 8):
		return s.gap()*s.Calendar.Length + s.Calendar.Length/2, 2
	case kind < 8 && len(days) > 0 && !fewest:
		d := days[min(len(days)-1, s.below(max(3, len(days)/2)))]
		return d*s.Calendar.Length + s.Calendar.Length/2, 1
	}
	return (len(s.best.worked) - 1) * s.Calendar.Length, 3
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
