// Package model tells a problem of package place in rules over integers, for the exact engine to
// find plans, prove that there are none, or name the rules that cannot all hold.
package model

import (
	"slices"
	"strings"

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

// NewModel writes a problem down, for plans that end within some open days. It is nil for
// problems it does not know: work that runs through breaks for days.
func NewModel(p *place.Problem, most int, s Scope) *Model {
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

// opensAgain tells whether a day is shut that comes after an open one.
func opensAgain(shut []bool, most int) bool {
	open := slices.Index(shut, false)
	return open >= 0 && slices.Contains(shut[open:min(len(shut), max(most, open))], true)
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

// long is the steps an activity takes.
func (m *Model) long(i int) int { return m.Least(&m.Acts[i]) / m.step }

// pauses tells whether an activity may stop in the evening and go on another day.
func (m *Model) pauses(i int) bool { return !m.Acts[i].Unbroken }

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

// wait adds what an activity waits for, and by when it must begin.
func (m *Model) wait(i, k int) {
	l := &m.Acts[i].Before[k]
	if f := m.Acts[i].Fact; f != nil { // its waits are over
		if o := &m.Acts[l.On]; l.Until > 0 && o.Done() && f.Begin > o.Fact.End+l.LatestAfter(o.Fact.End) {
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

// latest is the last step at which what a link belongs to may begin. Where the air changes it is
// the most for any earlier end, too, so that it never falls.
func (m *Model) latest(l *place.Link) func(w int) int {
	if l.Times == nil {
		return func(w int) int { return m.down(m.ended(l.On, w) + l.Until) }
	}
	var most []int
	return func(w int) int {
		for k := len(most); k <= w; k++ {
			end := m.ended(l.On, k)
			at := m.down(end + l.LatestAfter(end))
			if k > 0 {
				at = max(at, most[k-1])
			}
			most = append(most, at)
		}
		return most[max(w, 0)]
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

// people lets nobody be in two places.
func (m *Model) people() {
	var uses []exact.Use
	for i := range m.Acts {
		if a := &m.Acts[i]; !a.Done() {
			uses = append(uses, m.uses(i, len(a.Needs))...)
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
	switch {
	case m.stays(i):
		return m.Near.Slots[i].People
	case m.Acts[i].Running():
		return m.Acts[i].Fact.People
	}
	return nil
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
