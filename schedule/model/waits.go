package model

import (
	"scumble/schedule/exact"
	"scumble/schedule/place"
)

// wait adds what an activity waits for, and by when it must begin.
func (m *Model) wait(i, k int) {
	l := &m.Acts[i].Before[k]
	if f := m.Acts[i].Fact; f != nil { // its waits are over
		if o := &m.Acts[l.On]; o.Done() && l.Late(o.Fact.End, f.Begin) {
			m.late = append(m.late, m.Int(1, 1))
		}
		return
	}
	if m.stays(i) && m.stays(l.On) {
		if l.Late(m.Near.Slots[l.On].End, m.Near.Slots[i].Begin) {
			m.late = append(m.late, m.Int(1, 1))
		}
		return
	}
	var late exact.Var
	if l.Until > 0 {
		late = m.Bool()
		m.late = append(m.late, late)
		if m.asked != nil {
			m.Clause(append(m.rule(Rule{place.ByWindow, i, l.On}), late.Is().Not())...)
		}
	}
	if o := &m.Acts[l.On]; o.Done() {
		end := o.Fact.End
		m.Clause(append(m.rule(Rule{place.ByWait, i, l.On}), m.start[i].AtLeast(m.up(end+l.LagAfter(end))))...)
		if l.Until > 0 {
			m.Clause(late.Is(), m.start[i].AtMost(m.down(end+l.LatestAfter(end))))
		}
		return
	}
	dried := func(w int) int {
		end := m.ended(l.On, w)
		return m.up(end + l.LagAfter(end))
	}
	if m.asked == nil || l.Lag == 0 && l.Times == nil {
		m.Above(m.end[l.On], m.start[i], dried)
	} else {
		m.Above(m.end[l.On], m.start[i], func(w int) int { return m.up(m.ended(l.On, w)) })
		m.AboveWhen(m.end[l.On], m.start[i], dried, m.rule(Rule{place.ByWait, i, l.On})[0].Not())
	}
	if l.Until > 0 {
		m.BelowWhen(m.end[l.On], m.start[i], m.latest(l), late.Is().Not())
	}
}

// latest is the last step at which what a link belongs to may begin. Where the air changes it is
// the most for any earlier end, too, so that it never falls.
func (m *Model) latest(l *place.Link) func(w int) int {
	if l.Times == nil {
		return func(w int) int { return m.down(m.ended(l.On, w) + l.Until) }
	}
	var most []int // from the earliest end on
	first := m.Low(m.end[l.On])
	return func(w int) int {
		for k := len(most); k <= max(0, w-first); k++ {
			end := m.ended(l.On, first+k)
			at := m.down(end + l.LatestAfter(end))
			if k > 0 {
				at = max(at, most[k-1])
			}
			most = append(most, at)
		}
		return most[max(0, w-first)]
	}
}

// corners keeps two apart that may not touch while they are wet.
func (m *Model) corners() {
	for i := range m.Acts {
		for _, k := range m.Acts[i].Wet {
			if k >= i || m.Acts[k].Done() && m.Acts[i].Done() || m.stays(i) && m.stays(k) {
				continue
			}
			first, then := m.Bool().Is(), m.Bool().Is()
			m.Clause(append(m.rule(Rule{place.ByWet, i, k}), first, then)...)
			m.dry(i, k, first)
			m.dry(k, i, then)
		}
	}
}

// dry lets k begin only when i has dried, where the literal holds.
func (m *Model) dry(i, k int, when exact.Lit) {
	touch := m.Acts[i].Touch
	switch {
	case m.Acts[k].Done():
		m.Clause(when.Not())
	case m.Acts[i].Done():
		m.Clause(when.Not(), m.start[k].AtLeast(m.up(m.Acts[i].Fact.End+touch)))
	default:
		m.AboveWhen(m.end[i], m.start[k], func(w int) int { return m.up(m.ended(i, w) + touch) }, when)
	}
}
