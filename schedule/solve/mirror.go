package solve

import "scumble/schedule/place"

// mirror is a problem with time turned round, up to the end of an open day: what comes
// last comes first. Waits are as long as they were in the plan that is packed, and latest
// starts and what has begun are left out: only the order of a mirrored plan is of use.
type mirror struct {
	*place.Problem
	last   int // open day
	board  *place.Board
	seen   []int // by activity, links met
	worked []int // minutes by open day
}

func newMirror(p *place.Problem, last int) *mirror {
	c := p.Calendar
	final := c.DayOf(last)
	spans := make([]place.Span, len(c.Spans))
	for k, s := range c.Spans {
		spans[len(spans)-1-k] = place.Span{From: place.Day - s.To, To: place.Day - s.From}
	}
	var weekly [7]bool
	for k := range weekly {
		weekly[k] = c.Weekly[((c.Weekday+final-k)%7+7)%7]
	}
	closed := map[int]bool{}
	for n := range c.Closed {
		closed[final-n] = true
	}
	q := &place.Problem{Calendar: place.NewCalendar(spans, 0, weekly, closed), Kits: p.Kits, Groups: p.Groups, Teams: p.Teams}
	turned := func(mask []bool) []bool {
		out := make([]bool, last+1)
		for d := range out {
			out[d] = place.Marked(mask, last-d)
		}
		return out
	}
	for k := range p.People {
		q.People = append(q.People, place.Person{Skills: p.People[k].Skills, Off: turned(p.People[k].Off)})
	}
	for r := range p.Shut {
		q.Shut = append(q.Shut, turned(p.Shut[r]))
	}
	q.Acts = make([]place.Activity, len(p.Acts))
	for i := range p.Acts {
		q.Acts[i] = p.Acts[i]
		a := &q.Acts[i]
		a.Before, a.From, a.Agreed = nil, 0, 0
		if a.Fact != nil {
			a.Fact = &place.Fact{Begin: 1, End: 1}
		}
	}
	for i := range p.Acts {
		for _, l := range p.Acts[i].Before {
			q.Acts[l.On].Before = append(q.Acts[l.On].Before, place.Link{On: i})
		}
	}
	q.Prepare()
	return &mirror{Problem: q, last: last, board: place.NewBoard(q), seen: make([]int, len(p.Acts))}
}

// pack builds the mirrored plan in the order of another, backwards.
func (m *mirror) pack(a *attempt) *place.Board {
	clear(m.seen)
	for i := range a.Acts {
		m.board.Key[i] = -float64(a.Slots[i].To)
		for _, l := range a.Acts[i].Before {
			m.Acts[l.On].Before[m.seen[l.On]].Lag = l.LagAfter(a.Slots[l.On].End)
			m.seen[l.On]++
		}
	}
	m.board.Drop = m.board.Drop[:0]
	for d := range m.last + 1 {
		m.board.Drop = append(m.board.Drop, place.Marked(a.Drop, m.last-d))
	}
	m.board.Worth = a.Worth
	m.board.Fill()
	return m.board
}

// days counts those with work in the mirrored plan.
func (m *mirror) days() (n int) {
	m.worked = m.board.Attendance(m.worked[:0])
	for _, minutes := range m.worked {
		if minutes > 0 {
			n++
		}
	}
	return n
}
