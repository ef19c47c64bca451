package solve

import (
	"slices"

	"scumble/schedule/exact"
)

// Proof is how much of a plan is known to be as good as can be, of all plans that end within
// the open days looked at: first the windows missed, then the days, and so on.
type Proof struct {
	Late, Days, Visits, Finish bool
	Within                     int // open days
	Conflicts                  int // dead ends met
}

// What the exact search looks at (own defaults).
const (
	provable = 90 // activities not done; more are not tried
	moreDays = 10 // open days beyond the end of the plan it starts from
)

// prove looks for better plans than the best one until there is none, one part of the goal
// after the other, and tells how far it came.
func (s *search) prove() Proof {
	p, reached, conflicts := s.Problem, &s.best.goal, s.effort.Conflicts
	open := 0
	for i := range p.Acts {
		if !p.Acts[i].done() {
			open++
		}
	}
	if open > provable {
		s.nearby()
		return Proof{}
	}
	if conflicts <= 0 || open == 0 {
		return Proof{}
	}
	p.Calendar.extend(reached.finish/day + 2)
	within := p.Calendar.next[reached.finish/day+1] + moreDays
	m := newModel(p, within, scope{people: true, kits: true})
	if m == nil {
		return Proof{}
	}
	proof := Proof{Within: within}
	parts := []struct {
		v    exact.Var
		now  func(g goal) int
		done *bool
	}{
		{m.lates, func(g goal) int { return g.late }, &proof.Late},
		{m.days, func(g goal) int { return g.days - len(p.past.closed) }, &proof.Days},
		{m.visits, func(g goal) int { return g.visits }, &proof.Visits},
		{m.finish, m.finishDay, &proof.Finish},
	}
	if slices.ContainsFunc(p.Acts, func(a Activity) bool { return a.Agreed > 0 }) {
		parts = parts[:2] // what was agreed comes before visits and the finish
	}
	bound := p.Bound().Days
	var kept []exact.Lit
	for _, part := range parts {
		for {
			if part.v == m.days && reached.days <= bound {
				*part.done = true
				break
			}
			m.suggest(s.best.board)
			ask := append(slices.Clone(kept), part.v.AtMost(part.now(*reached)-1))
			status, _ := m.Solver.Search(exact.Limit{Conflicts: conflicts - m.Conflicts, First: m.starts(), Stop: s.effort.Stop}, ask...)
			proof.Conflicts = m.Conflicts
			if status == exact.None {
				*part.done = true
				break
			}
			if status == exact.Open {
				return proof
			}
			a := &attempt{board: m.board()}
			if a.endless {
				return proof // the model is looser than a plan can be
			}
			if a.weigh(); !a.goal.less(*reached) {
				return proof // the model is looser than a plan can be
			}
			s.note(a)
			reached = &a.goal
		}
		kept = append(kept, part.v.AtMost(part.now(*reached)))
	}
	return proof
}

func (m *model) starts() (list []exact.Var) {
	for _, v := range m.start {
		if v >= 0 {
			list = append(list, v)
		}
	}
	return list
}

// finishDay is the open day on which a plan ends.
func (m *model) finishDay(g goal) int {
	n := (g.finish - 1) / day
	m.Calendar.extend(n + 1)
	return m.Calendar.next[n]
}

// suggest lets the search begin near a plan.
func (m *model) suggest(b *board) {
	worked := b.attendance(nil)
	for d, v := range m.day {
		m.Suggest(v, 0)
		if d < len(worked) && worked[d] > 0 {
			m.Suggest(v, 1)
		}
	}
	for i := range m.Acts {
		if m.start[i] < 0 {
			continue
		}
		s := &b.slots[i]
		m.Suggest(m.start[i], s.from/m.step)
		if m.pauses(i) {
			m.Suggest(m.end[i], s.to/m.step)
		}
		for q := range m.People {
			if m.able != nil && slices.Contains(s.People, q) {
				m.Suggest(m.able[i][q], 1)
			}
		}
	}
}

// board puts what was found on a board: each activity where it starts, by people who are free.
func (m *model) board() *board {
	b := newBoard(m.Problem)
	for _, v := range m.day {
		b.drop = append(b.drop, m.Value(v) == 0)
	}
	var order []int
	for i, v := range m.start {
		if v >= 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(i, k int) int { return m.Value(m.start[i]) - m.Value(m.start[k]) })
	if !b.lay() {
		b.endless = true
		return b
	}
	for _, i := range order {
		s, ok := m.slot(b, i)
		if !ok {
			b.endless = true
			return b
		}
		b.put(i, s)
		b.count(i, s.People)
	}
	return b
}

// slot is where an activity lies, with who does it.
func (m *model) slot(b *board, i int) (Slot, bool) {
	a := &m.Acts[i]
	w := m.Value(m.start[i]) * m.step
	at, why := b.release(i)
	if b.Calendar.begins(w) < at {
		return Slot{}, false // what it waits for pauses longer than the model saw
	}
	var best Slot
	found := false
	for t := range m.teams[a.Needs] {
		team := &m.teams[a.Needs][t]
		if m.able != nil && slices.ContainsFunc(team.people, func(q int) bool { return m.Value(m.able[i][q]) == 0 }) {
			continue
		}
		s, ok := b.earliest(i, w, team.people, why, w)
		if !ok {
			continue
		}
		var kept []int
		if a.Hands >= 0 {
			kept = b.hands[a.Hands]
		}
		s.People = b.roles(a, team, kept)
		if !found || sameHands(kept, team.people) {
			best, found = s, true
		}
	}
	if found && a.Hands >= 0 && b.hands[a.Hands] == nil {
		b.hands[a.Hands] = best.People
	}
	return best, found
}
