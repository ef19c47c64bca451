package model

import (
	"slices"

	"scumble/schedule/exact"
	"scumble/schedule/place"
)

// Firsts are the starts, as they are counted.
func (m *Model) Firsts() (list []exact.Var) {
	for i, v := range m.start {
		if v >= 0 {
			list = append(list, m.lies[i])
		}
	}
	return list
}

// Starts are the starts among all open days.
func (m *Model) Starts() (list []exact.Var) {
	for _, v := range m.start {
		if v >= 0 {
			list = append(list, v)
		}
	}
	return list
}

// FinishDay is the open day on which a plan ends.
func (m *Model) FinishDay(g place.Goal) int {
	n := (g.Finish - 1) / place.Day
	m.Calendar.Extend(n + 1)
	return m.Calendar.Next[n]
}

// Beside counts the days of what a question is not about.
func (m *Model) Beside(p *place.Problem) {
	for i := range p.Acts {
		if m.start[i] >= 0 || p.Acts[i].Done() {
			continue
		}
		m.Near.Slots[i].Days(m.Calendar.Length, func(d int) {
			m.Clause(m.day[d].Is())
			m.Clause(m.Finish.AtLeast(d))
		})
	}
}

// Off keeps an activity off the day of a number.
func (m *Model) Off(i, number int) {
	d := m.Calendar.Count(number)
	end := m.start[i].AtMost(d*m.length - m.long(i))
	if m.pauses(i) {
		end = m.end[i].AtMost(d * m.length)
	}
	m.Clause(m.start[i].AtLeast((d+1)*m.length), end)
}

// GuideBy lets the search begin near a plan.
func (m *Model) GuideBy(b *place.Board) {
	worked := b.Attendance(nil)
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
		s := &b.Slots[i]
		if m.Attend > 0 {
			m.Suggest(m.lies[i], (count[s.From/m.Calendar.Length]*m.Calendar.Length+s.From%m.Calendar.Length)/m.step)
		}
		m.Suggest(m.start[i], m.at(s.Begin))
		if m.pauses(i) {
			m.Suggest(m.end[i], m.Calendar.UpTo(s.End)/m.step)
		}
		for q := range m.People {
			if m.able != nil && slices.Contains(s.People, q) {
				m.Suggest(m.able[i][q], 1)
			}
		}
	}
}

// Board puts what was found on a board of a problem: each activity where it starts, by people who
// are free. Days on which nobody works are kept free.
func (m *Model) Board(p *place.Problem) *place.Board {
	b := place.NewBoard(p)
	attend := func(count int) {
		for len(b.Drop) <= count {
			b.Drop = append(b.Drop, true)
		}
		b.Drop[count] = false
	}
	for d, v := range m.day {
		if m.Attend == 0 && m.Value(v) == 1 {
			attend(p.Calendar.Count(m.Calendar.Day(d)))
		}
	}
	for k, out := range m.leftOut {
		attend(k + m.Value(out))
	}
	for d := range b.Drop {
		b.Drop[d] = b.Drop[d] && !place.Marked(p.Past.Open, d)
	}
	if !b.Lay() {
		b.Endless = true
		return b
	}
	var order []int
	for i, v := range m.start {
		switch {
		case p.Acts[i].Fact != nil:
		case v >= 0:
			order = append(order, i)
		default: // the question was not about it, and its people are not free for others
			m.Near.Slots[i].Days(b.Calendar.Length, attend)
			if !b.HasRoom(i, m.Near.Slots[i]) {
				b.Endless = true
				return b
			}
			b.Put(i, m.Near.Slots[i])
			b.Count(i, b.Slots[i].People)
		}
	}
	slices.SortStableFunc(order, func(i, k int) int { return m.Value(m.start[i]) - m.Value(m.start[k]) })
	for _, i := range order {
		s, ok := m.slot(b, i)
		if !ok {
			b.Endless = true
			return b
		}
		b.Put(i, s)
		b.Count(i, s.People)
	}
	return b
}

// slot is where an activity lies, with who does it.
func (m *Model) slot(b *place.Board, i int) (place.Slot, bool) {
	a := &m.Acts[i]
	w := b.Calendar.From(m.Calendar.Begins(m.Value(m.start[i]) * m.step))
	at, why := b.Release(i)
	if b.Calendar.Begins(w) < at {
		return place.Slot{}, false // what it waits for pauses longer than the model saw
	}
	var best place.Slot
	found := false
	for t := range m.Teams[a.Needs] {
		team := &m.Teams[a.Needs][t]
		if m.able != nil && slices.ContainsFunc(team.People, func(q int) bool { return m.Value(m.able[i][q]) == 0 }) {
			continue
		}
		s, ok := b.Earliest(i, w, team.People, why, w)
		if !ok {
			continue
		}
		kept := m.known(i)
		if kept == nil && a.Hands >= 0 {
			kept = b.Hands[a.Hands]
		}
		s.People = b.Roles(a, team, kept)
		if !found || place.SameHands(kept, team.People) {
			best, found = s, true
		}
	}
	if found && a.Hands >= 0 && b.Hands[a.Hands] == nil {
		b.Hands[a.Hands] = best.People
	}
	return best, found
}
