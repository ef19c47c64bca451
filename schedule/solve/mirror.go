package solve

// mirror is a problem with time turned round, up to the end of an open day: what comes
// last comes first. Waits are as long as they were in the plan that is packed, and latest
// starts and what has begun are left out: only the order of a mirrored plan is of use.
type mirror struct {
	*Problem
	last   int // open day
	board  *board
	seen   []int // by activity, links met
	worked []int // minutes by open day
}

func newMirror(p *Problem, last int) *mirror {
	c := p.Calendar
	final := c.dayOf(last)
	spans := make([]Span, len(c.spans))
	for k, s := range c.spans {
		spans[len(spans)-1-k] = Span{day - s.To, day - s.From}
	}
	var weekly [7]bool
	for k := range weekly {
		weekly[k] = c.weekly[((c.weekday+final-k)%7+7)%7]
	}
	closed := map[int]bool{}
	for n := range c.closed {
		closed[final-n] = true
	}
	q := &Problem{Calendar: NewCalendar(spans, 0, weekly, closed), Kits: p.Kits, Groups: p.Groups, teams: p.teams}
	turned := func(mask []bool) []bool {
		out := make([]bool, last+1)
		for d := range out {
			out[d] = marked(mask, last-d)
		}
		return out
	}
	for k := range p.People {
		q.People = append(q.People, Person{p.People[k].Skills, turned(p.People[k].Off)})
	}
	for r := range p.Shut {
		q.Shut = append(q.Shut, turned(p.Shut[r]))
	}
	q.Acts = make([]Activity, len(p.Acts))
	for i := range p.Acts {
		q.Acts[i] = p.Acts[i]
		a := &q.Acts[i]
		a.Before, a.From, a.Agreed = nil, 0, 0
		if a.Fact != nil {
			a.Fact = &Fact{Begin: 1, End: 1}
		}
	}
	for i := range p.Acts {
		for _, l := range p.Acts[i].Before {
			q.Acts[l.On].Before = append(q.Acts[l.On].Before, Link{On: i})
		}
	}
	q.prepare()
	return &mirror{Problem: q, last: last, board: newBoard(q), seen: make([]int, len(p.Acts))}
}

// pack builds the mirrored plan in the order of another, backwards.
func (m *mirror) pack(a *attempt) *board {
	clear(m.seen)
	for i := range a.Acts {
		m.board.key[i] = -float64(a.slots[i].to)
		for _, l := range a.Acts[i].Before {
			m.Acts[l.On].Before[m.seen[l.On]].Lag = l.LagAfter(a.slots[l.On].End)
			m.seen[l.On]++
		}
	}
	m.board.drop = m.board.drop[:0]
	for d := range m.last + 1 {
		m.board.drop = append(m.board.drop, marked(a.drop, m.last-d))
	}
	m.board.worth = a.worth
	m.board.fill()
	return m.board
}

// days counts those with work in the mirrored plan.
func (m *mirror) days() (n int) {
	m.worked = m.board.attendance(m.worked[:0])
	for _, minutes := range m.worked {
		if minutes > 0 {
			n++
		}
	}
	return n
}
