// Package trial makes up painting jobs to try a planner on: the same job for the same
// seed, on any machine. Every figure is invented, within the ranges of Job. It serves tests
// and benches only.
package trial

import (
	"fmt"
	"math/bits"

	"scumble/schedule/check"
	"scumble/schedule/place"
)

// Tightness is how narrow the windows for the next coat are.
type Tightness int

// The levels. Windows of the first three can be kept or not, as the job falls out; an
// impossible job has one that opens and closes at night.
const (
	Loose      Tightness = iota // next coats begin within 120 to 168 h
	Fair                        // 72 to 120 h
	Tight                       // 24 to 48 h
	Impossible                  // as Fair, and one that nobody can keep
)

func (t Tightness) String() string { return [...]string{"loose", "fair", "tight", "impossible"}[t] }

// Job is a made-up job: 1 to 12 rooms of 3 to 6 walls with 3 to 7 coats, which dry for 2
// to 48 h; a crew of 1 to 4 with skills and days off, 0 to 2 platforms; weekends, closed
// days, rooms that are shut; work that may stop and work that may not; glazes of one alone
// or of two, wet in the corners; pins. Site minutes count from midnight of day 0.
type Job struct {
	Name      string
	Tightness Tightness
	Hours     check.Hours
	Problem   *place.Problem
}

// size is what the families differ in.
type size struct {
	name      string
	least     int // steps that are enough
	most      int
	rooms     [2]int
	crew      [2]int
	grain     int // minutes: times of work are multiples of it
	longSteps bool
}

// Small makes a job of up to 25 steps, for planners that prove. All its minutes are
// multiples of 30, for planners with a clock of half hours.
func Small(seed uint64) *Job {
	return draw(seed, size{name: "small", least: 25, most: 25, rooms: [2]int{1, 2}, crew: [2]int{1, 4}, grain: 30})
}

// Large makes a job of about 200 steps in minutes of a finer grain, some longer than a day.
func Large(seed uint64) *Job {
	return draw(seed, size{name: "large", least: 180, most: 225, rooms: [2]int{12, 12}, crew: [2]int{2, 4}, grain: 5, longSteps: true})
}

// maker is a job in the making.
type maker struct {
	size
	*Job
	state   uint64
	pairs   bool // glazes take two
	air     bool // coats that end late dry longer
	spoiled bool // the impossible window is there
}

func draw(seed uint64, s size) *Job {
	m := &maker{size: s, Job: &Job{Name: fmt.Sprintf("%s-%d", s.name, seed), Problem: &place.Problem{}}, state: seed<<8 + uint64(s.most)}
	m.Tightness = Tightness(m.of(0, 0, 1, 1, 1, 2, 2, 2, 2, 3))
	m.air = m.oneIn(4)
	m.hours()
	m.people()
	rooms := m.within(m.rooms[0], m.rooms[1])
	for len(m.Problem.Shut) < rooms && len(m.Problem.Acts) < m.least {
		const smallest = 3*3 + 2
		walls, coats := m.within(3, 6), m.within(3, 7)
		left := m.most - len(m.Problem.Acts) - 2 - smallest*(rooms-1-len(m.Problem.Shut))
		for walls*coats > left && coats > 3 {
			coats--
		}
		if walls = min(walls, left/coats); walls < 3 {
			break
		}
		m.room(walls, coats)
	}
	if m.oneIn(4) { // somebody is promised to be left alone until some day
		m.Problem.Acts[m.below(len(m.Problem.Acts))].From = m.within(1, 7) * 24 * 60
	}
	return m.Job
}

// next is a random number (splitmix64, Steele, Lea and Flood 2014).
func (m *maker) next() uint64 {
	m.state += 0x9e3779b97f4a7c15
	z := m.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

func (m *maker) below(n int) int {
	high, _ := bits.Mul64(m.next(), uint64(n))
	return int(high)
}

func (m *maker) within(least, most int) int { return least + m.below(most-least+1) }
func (m *maker) of(list ...int) int         { return list[m.below(len(list))] }
func (m *maker) oneIn(n int) bool           { return m.below(n) == 0 }

// minutes draws a time of work, in the grain of the family.
func (m *maker) minutes(least, most int) int {
	return m.within((least+m.grain-1)/m.grain, most/m.grain) * m.grain
}

// mask marks some of the first open days.
func (m *maker) mask(most, among int) (days []bool) {
	for range m.within(1, most) {
		d := m.below(among)
		for len(days) <= d {
			days = append(days, false)
		}
		days[d] = true
	}
	return days
}

func (m *maker) hours() {
	h := &m.Hours
	h.Spans = [][]place.Span{
		{{From: 480, To: 720}, {From: 780, To: 1020}},
		{{From: 450, To: 720}, {From: 750, To: 960}},
		{{From: 480, To: 600}, {From: 630, To: 780}, {From: 840, To: 990}},
	}[m.of(0, 0, 1, 2)]
	h.Weekly = [7]bool{1: true, 2: true, 3: true, 4: true, 5: true}
	switch m.below(6) {
	case 0:
		h.Weekly[6] = true
	case 1:
		h.Weekly[5] = false
	}
	h.Weekday, h.Closed = m.within(1, 4), map[int]bool{}
	for range m.within(0, 2) {
		h.Closed[m.within(1, 14)] = true
	}
	m.Problem.Calendar = place.NewCalendar(h.Spans, h.Weekday, h.Weekly, h.Closed)
}

func (m *maker) people() {
	count := m.within(m.crew[0], m.crew[1])
	m.pairs = count > 1 && !m.oneIn(4)
	skills := []string{"lwp", "lp", "wp", "p"}
	for k := range count {
		p := place.Person{Skills: skills[m.below(len(skills))]}
		switch {
		case k == 0:
			p.Skills = "lwp"
		case k == 1 && m.pairs:
			p.Skills = []string{"lwp", "wp"}[m.below(2)]
		}
		if m.oneIn(3) {
			p.Off = m.mask(3, 10)
		}
		m.Problem.People = append(m.Problem.People, p)
	}
	if platforms := m.of(0, 1, 1, 2); platforms > 0 {
		m.Problem.Kits = []int{platforms}
	}
}

// coat is a step on every wall of a room.
type coat struct {
	needs      string
	least      int // minutes of work
	most       int
	unbroken   bool
	glaze      bool
	lag, until int
	air        int // minutes longer that a coat dries which ends in the afternoon
}

// room adds the steps of a room: protect, the coats of each wall, clear away.
func (m *maker) room(walls, coats int) {
	p := m.Problem
	room, group := len(p.Shut), p.Groups
	p.Groups++
	var shut []bool
	if m.oneIn(4) {
		shut = m.mask(3, 10)
	}
	p.Shut = append(p.Shut, shut)
	list, touch := m.coats(coats), 60*m.within(2, 10)
	high := len(p.Kits) > 0 && m.oneIn(2)
	protect := m.add(place.Activity{Room: room, Work: m.minutes(30, 90), Needs: "p"})
	var last []place.Link
	var glazes [][]int
	for range walls {
		var mine []int
		before := []place.Link{{On: protect}}
		tall := high && !m.oneIn(4)
		for _, c := range list {
			a := place.Activity{Room: room, Work: m.minutes(c.least, c.most), Unbroken: c.unbroken, Needs: c.needs, Before: before}
			if m.longSteps && !c.unbroken && m.oneIn(40) {
				a.Work = m.minutes(480, 900)
			}
			i := m.add(a)
			if tall && !m.oneIn(4) {
				p.Acts[i].Kit = 0
			}
			if c.glaze {
				mine = append(mine, i)
				p.Acts[i].Touch, p.Acts[i].Hands = touch, group
			}
			before = []place.Link{c.wait(i)}
		}
		glazes = append(glazes, mine)
		last = append(last, before[0])
	}
	for w, mine := range glazes { // the walls go round
		for _, i := range mine {
			p.Acts[i].Wet = append(p.Acts[i].Wet, glazes[(w+1)%walls]...)
			p.Acts[i].Wet = append(p.Acts[i].Wet, glazes[(w+walls-1)%walls]...)
		}
	}
	for k := range last {
		last[k].Until = 0
	}
	m.add(place.Activity{Room: room, Work: m.minutes(30, 90), Needs: "p", Before: last})
}

// add adds a step that stands on no kit and keeps no hands together.
func (m *maker) add(a place.Activity) int {
	a.Kit, a.Hands = -1, -1
	m.Problem.Acts = append(m.Problem.Acts, a)
	return len(m.Problem.Acts) - 1
}

// coats are the coats of a room and how they dry, one product for all its walls.
func (m *maker) coats(count int) []coat {
	prime := coat{needs: "p", least: 30, most: 120}
	fill := coat{needs: "p", least: 30, most: 120}
	ground := coat{needs: "p", least: 30, most: 150, unbroken: m.oneIn(2)}
	glaze := coat{needs: "l", least: 60, most: 120, unbroken: true, glaze: true}
	if m.pairs {
		glaze.needs = "lw"
	}
	varnish := coat{needs: "p", least: 30, most: 120, unbroken: m.oneIn(2)}
	list := [][]coat{
		{ground, glaze, varnish},
		{prime, ground, glaze, varnish},
		{prime, ground, ground, glaze, varnish},
		{prime, ground, ground, glaze, glaze, varnish},
		{prime, fill, ground, ground, glaze, glaze, varnish},
	}[count-3]
	for k := range list {
		c := &list[k]
		c.lag = 60 * m.of(2, 4, 4, 6, 8, 12, 16)
		if c.glaze {
			c.lag = 60 * m.of(6, 12, 16, 20, 24, 36, 48)
		}
		if m.air {
			c.air = 60 * m.within(1, 4)
		}
		if c.glaze || c.unbroken && m.oneIn(2) || m.oneIn(6) {
			m.window(c)
		}
	}
	return list
}

// window gives a coat a latest start of the next.
func (m *maker) window(c *coat) {
	spread := [...][2]int{Loose: {120, 168}, Fair: {72, 120}, Tight: {24, 48}, Impossible: {72, 120}}[m.Tightness]
	c.until = 60 * m.within(spread[0], spread[1])
	c.until = max(c.until, c.lag+c.air+120)
	if m.Tightness == Impossible && c.glaze && !m.spoiled {
		// Work ends from 8 to 17 h, so that 36 h later is night, and 38 h later still.
		c.lag, c.until, c.air, m.spoiled = 36*60, 38*60, 0, true
	}
}

// wait is what the next coat waits for. In changing air a coat that ends late in the day
// stays wet longer, most of all in the evening; however late it ends, it is never dry sooner.
func (c *coat) wait(on int) place.Link {
	l := place.Link{On: on, Lag: c.lag, Until: c.until, Daily: true}
	if lag, until, most := c.lag, c.until, c.air; most > 0 {
		l.Times = func(end int) (int, int) {
			more := end%(24*60) - 12*60
			if more < 0 { // the night before, drying up until six
				more = 6*60 - end%(24*60)
			}
			return lag + min(max(0, more), most), until
		}
	}
	return l
}
