package model

import "scumble/schedule/exact"

// gather places every activity in the days attended, counted without those between: so few that
// people and kit tell much. The k-th of them is the open day k and those left out before it, so that
// what lies on it lies as many days later among all open days.
func (m *Model) gather() {
	for k := range m.Attend {
		m.leftOut = append(m.leftOut, m.Int(0, m.most-m.Attend))
		if k > 0 {
			m.Lag(m.leftOut[k-1], m.leftOut[k], 0)
		}
	}
	all := m.Attend * m.length
	m.lies, m.lends = make([]exact.Var, len(m.Acts)), make([]exact.Var, len(m.Acts))
	for i := range m.Acts {
		if m.Acts[i].Done() {
			continue
		}
		long := m.long(i)
		at := m.Int(0, all-long)
		m.lies[i], m.lends[i] = at, at
		m.begins(i, at, m.Attend, nil)
		m.link(at, m.start[i], 0)
		if !m.pauses(i) {
			continue
		}
		end := m.Int(long, all)
		m.lends[i] = end
		m.Lag(at, end, long)
		if m.parted[i] < 0 {
			m.Lag(end, at, -long)
		} else {
			m.LagWhen(end, at, -long, m.parted[i].Is().Not())
			m.LagWhen(at, end, long+m.length, m.parted[i].Is())
		}
		m.link(end, m.end[i], 1)
	}
}

// link ties a time in the days attended to the same time in all open days. An end belongs to the
// day before it.
func (m *Model) link(at, open exact.Var, end int) {
	far := m.most * m.length
	for k, out := range m.leftOut {
		from, to := m.Bool(), m.Bool()
		m.Clause(at.AtMost(k*m.length+end-1), from.Is())
		m.Clause(at.AtLeast((k+1)*m.length+end), to.Is())
		at, open, out := exact.Term{V: at, Times: 1}, exact.Term{V: open, Times: 1}, exact.Term{V: out, Times: m.length}
		m.Sum(far, at, out, minus(open), exact.Term{V: from, Times: far})
		m.Sum(far, open, minus(at), minus(out), exact.Term{V: to, Times: far})
	}
}

func minus(t exact.Term) exact.Term { return exact.Term{V: t.V, Times: -t.Times} }

// visit counts the visits of a number of days attended, and marks these days.
func (m *Model) visit() {
	var visits []exact.Var
	for k, out := range m.leftOut {
		comes := m.Int(0, 1)
		visits = append(visits, comes)
		for d := k; d <= k+m.High(out); d++ {
			m.Clause(out.AtMost(d-k-1), out.AtLeast(d-k+1), m.day[d].Is())
		}
		if k == 0 {
			m.Clause(comes.Is())
			continue
		}
		far := m.most - m.Attend
		m.Sum(0, exact.Term{V: out, Times: 1}, exact.Term{V: m.leftOut[k-1], Times: -1}, exact.Term{V: comes, Times: -far})
	}
	m.Clause(m.Days.AtLeast(m.Attend))
	m.total(visits, m.Visits)
}
