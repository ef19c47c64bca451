package model

import (
	"slices"

	"scumble/schedule/exact"
	"scumble/schedule/place"
)

// counted tells whether it is enough to count people: all have the same skills and no day off,
// and nobody works elsewhere while something pauses.
func (m *Model) counted() bool {
	for i := range m.Acts {
		if a := &m.Acts[i]; m.pauses(i) && opensAgain(m.Shut[a.Room], m.most) {
			return false
		}
	}
	for _, p := range m.People {
		if p.Skills != m.People[0].Skills || slices.Contains(p.Off[:min(len(p.Off), m.most)], true) {
			return false
		}
	}
	return true
}

// apart tells whether somebody may work elsewhere while an activity pauses.
func (m *Model) apart(i int) bool {
	a := &m.Acts[i]
	switch {
	case !m.pauses(i):
		return false
	case m.loose || m.Attend > 0:
		return m.parted[i] >= 0
	}
	return !m.alike && (opensAgain(m.Shut[a.Room], m.most) || len(a.Needs) > 1)
}

// opensAgain tells whether a day is shut that comes after an open one.
func opensAgain(shut []bool, most int) bool {
	open := slices.Index(shut, false)
	return open >= 0 && slices.Contains(shut[open:min(len(shut), max(most, open))], true)
}

// people lets nobody be in two places.
func (m *Model) people() {
	var uses []exact.Use
	for i := range m.Acts {
		if a := &m.Acts[i]; !a.Done() {
			uses = append(uses, m.uses(i, a.Takes())...)
		}
	}
	m.Share(len(m.People), uses)
	if m.alike {
		return
	}
	m.able = make([][]exact.Var, len(m.Acts))
	for i := range m.Acts {
		if !m.Acts[i].Done() {
			m.choose(i)
		}
	}
	for i := range m.Acts {
		for k := range i {
			if !m.Acts[i].Done() && !m.Acts[k].Done() && (!m.stays(i) || !m.stays(k)) && m.meet(i, k) && m.meet(k, i) {
				m.oneAtATime(i, k)
			}
		}
	}
}

// uses are the stretches in which an activity takes up an amount. What pauses does so on days
// on which nobody is there who could mind, so that it may be counted before and after as if it
// went on; where its people may be elsewhere, only its first and its last moments are sure.
func (m *Model) uses(i, amount int) []exact.Use {
	long, at, end := m.long(i), m.lies[i], m.lends[i]
	if !m.pauses(i) || (m.loose || m.Attend > 0) && m.parted[i] < 0 {
		return []exact.Use{{Start: at, Long: long, Amount: amount}}
	}
	paused := m.paused[i].Is()
	if m.parted[i] >= 0 {
		paused = m.parted[i].Is()
	}
	if !m.apart(i) {
		return []exact.Use{{Start: at, Long: long, Amount: amount}, {Start: m.where(end, -long, paused), Long: long, Amount: amount}}
	}
	first := min(long, (place.GoodStart+m.step-1)/m.step)
	return []exact.Use{{Start: m.where(at, 0, paused.Not()), Long: long, Amount: amount},
		{Start: m.where(at, 0, paused), Long: first, Amount: amount},
		{Start: m.where(end, -1, paused), Long: 1, Amount: amount}}
}

// where is a time counted from another where the literal holds, and else one at which nobody minds.
func (m *Model) where(of exact.Var, later int, when exact.Lit) exact.Var {
	m.asides++
	aside := m.most * m.length * (m.asides + 2)
	v := m.Int(0, aside)
	m.LagWhen(of, v, later, when)
	m.LagWhen(v, of, -later, when)
	m.Clause(when, v.AtLeast(aside))
	return v
}

// known is who does an activity, where that is settled.
func (m *Model) known(i int) []int {
	if m.stays(i) {
		return m.Near.Slots[i].People
	}
	return m.Acts[i].Known()
}

// choose gives an activity one of the teams that can do it.
func (m *Model) choose(i int) {
	a := &m.Acts[i]
	teams := m.Teams[a.Needs]
	m.able[i] = make([]exact.Var, len(m.People))
	known := m.known(i)
	for q := range m.People {
		v := m.Bool()
		if m.able[i][q] = v; known == nil {
			continue
		}
		if slices.Contains(known, q) {
			m.Clause(v.Is())
		} else {
			m.Clause(v.Is().Not())
		}
	}
	for q, v := range m.able[i] {
		for d := range min(len(m.People[q].Off), m.most) {
			if !m.People[q].Off[d] {
				continue
			}
			from, to := d*m.length, (d+1)*m.length
			here := append(m.rule(Rule{place.ByAbsence, -1, q}), v.Is().Not())
			m.Clause(append(here, m.start[i].AtMost(from-1), m.start[i].AtLeast(to))...)
			if m.pauses(i) {
				m.Clause(append(here, m.end[i].AtMost(from), m.end[i].AtLeast(to+1))...)
			}
		}
	}
	if known != nil {
		return
	}
	any := make([]exact.Lit, len(teams))
	for t := range teams {
		it := m.Bool()
		any[t] = it.Is()
		for q := range m.People {
			if slices.Contains(teams[t].People, q) {
				m.Clause(it.Is().Not(), m.able[i][q].Is())
			}
		}
	}
	m.Clause(any...)
	terms := make([]exact.Term, len(m.People))
	for q := range m.People {
		terms[q] = exact.Term{V: m.able[i][q], Times: 1}
	}
	m.Sum(len(a.Needs), terms...)
}

// meet tells whether an activity may end after another begins.
func (m *Model) meet(i, k int) bool {
	end := m.High(m.lends[i])
	if !m.pauses(i) {
		end += m.long(i)
	}
	return end > m.Low(m.lies[k])
}

// oneAtATime lets whoever does both of two activities end one before the other begins.
func (m *Model) oneAtATime(i, k int) {
	first, then := m.Bool(), m.Bool()
	m.after(i, k, first.Is())
	m.after(k, i, then.Is())
	one := []exact.Lit{first.Is(), then.Is()}
	if m.apart(i) {
		one = append(one, m.within(i, k))
	}
	if m.apart(k) {
		one = append(one, m.within(k, i))
	}
	for q := range m.People {
		m.Clause(append([]exact.Lit{m.able[i][q].Is().Not(), m.able[k][q].Is().Not()}, one...)...)
	}
}

// within holds where k lies on days between the first and the last of i.
func (m *Model) within(i, k int) exact.Lit {
	it := m.Bool().Is()
	m.AboveWhen(m.lies[i], m.lies[k], func(w int) int { return (w/m.length + 1) * m.length }, it)
	last := func(w int) int { return (w - 1) / m.length * m.length }
	if m.pauses(k) {
		m.BelowWhen(m.lends[i], m.lends[k], last, it)
	} else {
		m.BelowWhen(m.lends[i], m.lies[k], func(w int) int { return last(w) - m.long(k) }, it)
	}
	return it
}

// after lets k begin when i has ended, where the literal holds.
func (m *Model) after(i, k int, when exact.Lit) {
	if m.pauses(i) {
		m.LagWhen(m.lends[i], m.lies[k], 0, when)
	} else {
		m.LagWhen(m.lies[i], m.lies[k], m.long(i), when)
	}
}

func (m *Model) kits() {
	for k, count := range m.Kits {
		var uses []exact.Use
		for i := range m.Acts {
			if a := &m.Acts[i]; a.Kit == k && !a.Done() {
				uses = append(uses, m.uses(i, 1)...)
			}
		}
		m.Share(count, uses)
	}
}
