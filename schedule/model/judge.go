package model

import (
	"scumble/schedule/exact"
	"scumble/schedule/place"
)

// judge adds what plans are compared by: windows missed, days, visits, the open day of the end.
func (m *Model) judge() {
	m.Lates, m.Days, m.Visits, m.Finish = m.Int(0, len(m.late)), m.Int(0, m.most), m.Int(0, m.most), m.Int(0, m.most)
	for range m.most {
		m.day = append(m.day, m.Bool())
	}
	if m.Attend > 0 {
		m.visit()
	} else {
		m.attendance()
	}
	for i := range m.Acts {
		if m.Acts[i].Done() {
			continue
		}
		if m.Attend == 0 {
			m.come(i)
		}
		m.goOn(i)
		long := m.long(i)
		m.Above(m.end[i], m.Finish, func(w int) int {
			if !m.pauses(i) {
				w += long
			}
			return (w - 1) / m.length
		})
	}
	m.total(m.late, m.Lates)
}

// total makes a number at least as large as some integers together.
func (m *Model) total(of []exact.Var, number exact.Var) {
	terms := []exact.Term{{V: number, Times: -1}}
	for _, v := range of {
		terms = append(terms, exact.Term{V: v, Times: 1})
	}
	m.Sum(0, terms...)
}

// attendance counts the days with work and the visits.
func (m *Model) attendance() {
	var visits []exact.Var
	for d, v := range m.day {
		if place.Marked(m.Past.Open, d) {
			m.Clause(v.Is())
		}
		comes := m.Bool()
		if visits = append(visits, comes); d > 0 {
			m.Clause(v.Is().Not(), m.day[d-1].Is(), comes.Is())
		} else {
			m.Clause(v.Is().Not(), comes.Is())
		}
	}
	m.total(m.day, m.Days)
	m.total(visits, m.Visits)
}

// come makes the days of an activity days with work.
func (m *Model) come(i int) {
	for d := m.Low(m.start[i]) / m.length; d < m.most && d*m.length < m.latestEnd(i); d++ {
		from, to := d*m.length, (d+1)*m.length
		day := m.day[d].Is()
		if !m.pauses(i) {
			m.Clause(day, m.start[i].AtLeast(to), m.start[i].AtMost(from-m.long(i)))
			continue
		}
		m.Clause(day, m.start[i].AtLeast(to), m.start[i].AtMost(from-1))
		m.Clause(day, m.end[i].AtLeast(to+1), m.end[i].AtMost(from))
	}
}

// latestEnd is the last step at which an activity can end.
func (m *Model) latestEnd(i int) int {
	if m.pauses(i) {
		return m.High(m.end[i])
	}
	return m.High(m.start[i]) + m.long(i)
}

// goOn lets work that pauses go on as soon as all who do it are there. Of work that takes more
// than a day only this is asked: where it goes on later, somebody was away or its room shut between.
func (m *Model) goOn(i int) {
	if !m.pauses(i) || m.stays(i) || m.loose || m.Attend > 0 && m.parted[i] < 0 {
		return
	}
	var reasons []exact.Lit
	if m.Attend > 0 {
		reasons = append(reasons, m.parted[i].Is().Not())
	}
	for d := m.Low(m.start[i]) / m.length; d < m.most && d*m.length < m.latestEnd(i); d++ {
		from, to := d*m.length, (d+1)*m.length
		var away []exact.Lit
		for q := range m.People {
			if m.able != nil && place.Marked(m.People[q].Off, d) {
				away = append(away, m.able[i][q].Is())
			}
		}
		shut := place.Marked(m.Shut[m.Acts[i].Room], d)
		if !shut && m.long(i) <= m.length {
			m.Clause(append(away, m.day[d].Is().Not(), m.start[i].AtLeast(from), m.end[i].AtMost(to))...)
		}
		if m.Attend == 0 || !shut && len(away) == 0 {
			continue
		}
		it := m.Bool().Is()
		reasons = append(reasons, it)
		m.Clause(it.Not(), m.start[i].AtMost(from-1))
		m.Clause(it.Not(), m.end[i].AtLeast(to+1))
		if !shut {
			m.Clause(append(away, it.Not())...)
		}
	}
	if m.Attend > 0 {
		m.Clause(reasons...)
	}
}
