package solve

import (
	"slices"

	"scumble/schedule/exact"
)

// firsts are the starts, as they are counted.
func (m *model) firsts() (list []exact.Var) {
	for i, v := range m.start {
		if v >= 0 {
			list = append(list, m.lies[i])
		}
	}
	return list
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

// beside counts the days of what a question is not about.
func (m *model) beside(p *Problem) {
	for i := range p.Acts {
		if m.start[i] >= 0 || p.Acts[i].done() {
			continue
		}
		m.near.slots[i].days(m.Calendar.length, func(d int) {
			m.Clause(m.day[d].Is())
			m.Clause(m.finish.AtLeast(d))
		})
	}
}

// off keeps an activity off the day of a number.
func (m *model) off(i, number int) {
	d := m.Calendar.Count(number)
	end := m.start[i].AtMost(d*m.length - m.long(i))
	if m.pauses(i) {
		end = m.end[i].AtMost(d * m.length)
	}
	m.Clause(m.start[i].AtLeast((d+1)*m.length), end)
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
	count := make([]int, len(worked)) // days attended before
	for d, k := 0, 0; d < len(worked); d++ {
		if count[d] = k; worked[d] > 0 {
			if k < len(m.leftOut) {
				m.Suggest(m.leftOut[k], d-k)
			}
			k++
		}
	}
	for i := range m.Acts {
		if m.start[i] < 0 {
			continue
		}
		s := &b.slots[i]
		if m.attend > 0 {
			m.Suggest(m.lies[i], (count[s.from/m.Calendar.length]*m.Calendar.length+s.from%m.Calendar.length)/m.step)
		}
		m.Suggest(m.start[i], m.at(s.Begin))
		if m.pauses(i) {
			m.Suggest(m.end[i], m.Calendar.upTo(s.End)/m.step)
		}
		for q := range m.People {
			if m.able != nil && slices.Contains(s.People, q) {
				m.Suggest(m.able[i][q], 1)
			}
		}
	}
}

// board puts what was found on a board of a problem: each activity where it starts, by people who
// are free. Days on which nobody works are kept free.
func (m *model) board(p *Problem) *board {
	b := newBoard(p)
	attend := func(count int) {
		for len(b.drop) <= count {
			b.drop = append(b.drop, true)
		}
		b.drop[count] = false
	}
	for d, v := range m.day {
		if m.attend == 0 && m.Value(v) == 1 {
			attend(p.Calendar.Count(m.Calendar.Day(d)))
		}
	}
	for k, out := range m.leftOut {
		attend(k + m.Value(out))
	}
	for d := range b.drop {
		b.drop[d] = b.drop[d] && !marked(p.past.open, d)
	}
	var order []int
	begin := make([]int, len(p.Acts))
	for i, v := range m.start {
		switch {
		case p.Acts[i].Fact != nil:
			continue
		case v >= 0:
			begin[i] = m.Calendar.begins(m.Value(v) * m.step)
		default: // the question was not about it
			s := &m.near.slots[i]
			begin[i] = s.Begin
			s.days(b.Calendar.length, attend)
		}
		order = append(order, i)
	}
	slices.SortStableFunc(order, func(i, k int) int { return begin[i] - begin[k] })
	if !b.lay() {
		b.endless = true
		return b
	}
	for _, i := range order {
		if m.start[i] < 0 {
			b.put(i, m.near.slots[i])
			b.count(i, b.slots[i].People)
			continue
		}
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
	w := b.Calendar.from(m.Calendar.begins(m.Value(m.start[i]) * m.step))
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
