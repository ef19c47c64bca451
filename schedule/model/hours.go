package model

import (
	"slices"
	"strings"

	"scumble/schedule/exact"
	"scumble/schedule/place"
)

// place gives an activity its start, on the days and at the hours at which it can begin.
func (m *Model) place(i int) {
	a := &m.Acts[i]
	if a.Done() {
		m.put(-1, -1, -1)
		return
	}
	if m.stays(i) {
		m.stay(i)
		return
	}
	long, last := m.long(i), m.most*m.length
	first, end := m.up(m.Now), last-long
	if a.Running() {
		first = m.up(max(m.Now, a.Fact.Begin))
	}
	if m.Near != nil {
		first, end = max(first, m.at(m.Scope.From)), min(end, m.at(m.To))
	}
	v := m.Int(first, end)
	if a.From > 0 && a.Fact == nil {
		m.Clause(append(m.rule(Rule{place.ByPin, i, -1}), v.AtLeast(m.up(a.From)))...)
	}
	for d := range min(len(m.Shut[a.Room]), m.most) {
		if m.asked != nil && m.Shut[a.Room][d] {
			m.Clause(append(m.rule(Rule{place.ByRoom, -1, a.Room}), v.AtMost(d*m.length-1), v.AtLeast((d+1)*m.length))...)
		}
	}
	shut := m.Shut[a.Room]
	if m.asked != nil { // then it is a rule among others
		shut = nil
	}
	m.begins(i, v, m.most, shut)
	m.put(v, v, -1)
	if !m.pauses(i) {
		return
	}
	m.pause(i, v, long)
}

func (m *Model) put(start, end, paused exact.Var) {
	m.start, m.end, m.paused, m.parted = append(m.start, start), append(m.end, end), append(m.paused, paused), append(m.parted, -1)
}

// stay gives an activity the place it has in a plan.
func (m *Model) stay(i int) {
	s := &m.Near.Slots[i]
	at := m.at(m.Near.Calendar.Begins(s.From))
	v := m.Int(at, at)
	m.put(v, v, -1)
	if m.pauses(i) {
		pauses := 0
		if s.More != nil {
			pauses = 1
		}
		end := (m.Calendar.UpTo(s.End) + m.step - 1) / m.step
		m.end[i], m.paused[i] = m.Int(end, end), m.Int(pauses, pauses)
	}
}

// at is the step of a site minute in working time.
func (m *Model) at(minute int) int { return m.Calendar.From(minute) / m.step }

// pause lets an activity stop in the evening and go on another day, at its first hour.
func (m *Model) pause(i int, v exact.Var, long int) {
	a, last := &m.Acts[i], m.most*m.length
	end, paused := m.Int(long, last), m.Bool()
	m.Lag(v, end, long)
	m.LagWhen(end, v, -long, paused.Is().Not())
	whole := m.Int(0, m.most) // days between
	m.Sum(-long, exact.Term{V: v, Times: 1}, exact.Term{V: whole, Times: m.length}, exact.Term{V: end, Times: -1})
	m.Sum(long, exact.Term{V: v, Times: -1}, exact.Term{V: whole, Times: -m.length}, exact.Term{V: end, Times: 1})
	if long <= m.length {
		for d := m.Low(v) / m.length; d <= m.High(v)/m.length; d++ { // what ends the day it begins does not pause
			m.Clause(paused.Is().Not(), v.AtMost(d*m.length-1), v.AtLeast((d+1)*m.length-long+1))
		}
	}
	for d := range min(len(m.Shut[a.Room]), m.most) {
		if m.Shut[a.Room][d] {
			m.Clause(append(m.rule(Rule{place.ByRoom, -1, a.Room}), end.AtMost(d*m.length), end.AtLeast((d+1)*m.length+1))...)
		}
	}
	m.end[i], m.paused[i] = end, paused
	if m.mayPart(i) {
		m.parted[i] = m.Bool()
		if m.loose {
			m.LagWhen(end, v, -long, m.parted[i].Is().Not())
			m.LagWhen(v, end, long+m.length, m.parted[i].Is())
		}
	} else if m.loose {
		m.Lag(end, v, -long)
	}
}

// mayPart tells whether others may be at work on a day on which an activity has to wait.
func (m *Model) mayPart(i int) bool {
	a := &m.Acts[i]
	return m.loose || m.Attend > 0 && (opensAgain(m.Shut[a.Room], m.most) || slices.ContainsFunc(m.People, func(p place.Person) bool {
		return slices.Contains(p.Off, true) && strings.ContainsAny(a.Needs, p.Skills)
	}))
}

// hour is the nearest step from w on, forwards or backwards, at which an activity can begin as
// far as the hours of some days and those on which its room is shut go.
func (m *Model) hour(i, w, way, days int, shut []bool) int {
	a := &m.Acts[i]
	for ; w >= 0 && w < days*m.length; w += way {
		day, offset := w/m.length, w%m.length*m.step
		if place.Marked(shut, day) {
			if way > 0 {
				w = (day+1)*m.length - 1
			} else {
				w = day * m.length
			}
			continue
		}
		if a.Long {
			if offset == 0 {
				return w
			}
			continue
		}
		if m.Calendar.Begin(a, offset) == offset {
			return w
		}
	}
	return w
}

// begins keeps a start to the hours of some days and to those on which its room is open.
func (m *Model) begins(i int, v exact.Var, days int, shut []bool) {
	m.Above(v, v, func(w int) int { return m.hour(i, w, 1, days, shut) })
	m.Below(v, v, func(w int) int { return m.hour(i, w, -1, days, shut) })
}

// ended is the site minute at which an activity has ended, by its start or, where it may pause,
// by its end.
func (m *Model) ended(i, w int) int {
	a := &m.Acts[i]
	switch {
	case m.pauses(i):
		return m.Calendar.Ends(w * m.step)
	case a.Long:
		return m.Calendar.Begins(w*m.step) + a.Rest
	}
	return m.Calendar.Ends(w*m.step + a.Rest)
}

// up is the first step that begins at a site minute or later.
func (m *Model) up(at int) int { return (m.Calendar.From(place.Tidy(at)) + m.step - 1) / m.step }

// down is the last step that begins at a site minute or earlier.
func (m *Model) down(at int) int {
	w := m.Calendar.From(at)
	if m.Calendar.Begins(w) > at {
		w--
	}
	if w < 0 {
		return -1
	}
	return w / m.step
}
