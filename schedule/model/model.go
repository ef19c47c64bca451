// Package model tells a problem of package place in rules over integers, for the exact engine to
// find plans, prove that there are none, or name the rules that cannot all hold.
package model

import (
	"scumble/schedule/exact"
	"scumble/schedule/place"
)

// Model is a problem as rules over integers, with work minutes counted in steps. It allows
// whatever a plan may do and a little more, so that what it proves holds for every plan: work
// that pauses takes up people and kit as if it went on.
type Model struct {
	*place.Problem
	exact.Solver
	step   int // work minutes
	length int // steps of a day
	most   int // open days looked at
	start  []exact.Var
	end    []exact.Var // of work that may pause; the start of others, of which the end hangs on it
	paused []exact.Var // of work that may pause: it does; -1 = it may not
	parted []exact.Var // of work that may pause: somebody may work between its parts; -1 = nobody
	// Start and end by which people and kit are counted: in the steps of all open days or, where
	// their number is given, of the days attended alone; and by day attended, the open days left out before it.
	lies, lends, leftOut []exact.Var
	able                 [][]exact.Var
	day                  []exact.Var // by open day: somebody works
	alike                bool        // it is enough to count people
	Scope
	asked  *[]asked    // rules that hold only while they are assumed; nil = all hold
	asides int         // times at which nobody minds
	late   []exact.Var // of each latest start: it is missed
	// What a plan is judged by, in this order.
	Lates, Days, Visits, Finish exact.Var
}

// New writes a problem down, for plans that end within some open days. It is nil for
// problems it does not know: work that runs through breaks for days.
func New(p *place.Problem, most int, s Scope) *Model {
	m := &Model{Problem: p, most: most, Scope: s}
	if s.rules {
		m.asked = &[]asked{}
	}
	m.Guided = true
	for i := range p.Acts {
		a := &p.Acts[i]
		if !a.Done() && a.Long && a.Rest > p.Calendar.Stretch() {
			return nil
		}
	}
	m.step = step(p)
	if s.Near != nil { // what is left out of the question tells where the rest lies
		m.step = step(s.Near.Problem)
	}
	m.length, m.alike = p.Calendar.Length/m.step, m.counted()
	for i := range p.Acts {
		m.place(i)
	}
	m.lies, m.lends = m.start, m.end
	if s.Attend > 0 {
		m.gather()
	}
	for i := range p.Acts {
		for k := range p.Acts[i].Before {
			m.wait(i, k)
		}
	}
	m.corners()
	if s.Crew {
		m.people()
	}
	if s.Gear {
		m.kits()
	}
	m.judge()
	return m
}

// Scope is what a model is about.
type Scope struct {
	Crew, Gear bool // people, and kit, are counted
	rules      bool // rules are assumed one by one, to find which cannot hold together
	Attend     int  // on how many days somebody works; 0 = on as many as it comes to
	loose      bool // nobody knows on which days rooms are shut and people are away
	// Near a plan: what is free begins between two site minutes, the rest stays where it is there. A nil
	// board: all is free.
	Near     *place.Board
	Free     []bool
	From, To int
}

// stays tells whether an activity is not to be moved.
func (s *Scope) stays(i int) bool { return s.Near != nil && !s.Free[i] }

// asked is a rule with the literal that makes it hold.
type asked struct {
	lit exact.Lit
	Rule
}

// rule is what must hold for a rule to bind, as the literals of a clause: none where rules
// always bind.
func (m *Model) rule(r Rule) (unless []exact.Lit) {
	if m.asked == nil {
		return nil
	}
	for _, known := range *m.asked {
		if known.Rule == r {
			return []exact.Lit{known.lit.Not()}
		}
	}
	lit := m.Bool().Is()
	*m.asked = append(*m.asked, asked{lit, r})
	return []exact.Lit{lit.Not()}
}

// step is the work minutes of which all work and all hours are multiples.
func step(p *place.Problem) int {
	step := place.Grain
	for i := range p.Acts {
		if a := &p.Acts[i]; !a.Done() {
			step = gcd(step, p.Least(a))
		}
	}
	for _, s := range p.Calendar.Spans {
		step = gcd(gcd(step, s.From), s.To)
	}
	return step
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// long is the steps an activity takes.
func (m *Model) long(i int) int { return m.Least(&m.Acts[i]) / m.step }

// pauses tells whether an activity may stop in the evening and go on another day.
func (m *Model) pauses(i int) bool { return !m.Acts[i].Unbroken }
