package project

import (
	"math"
	"slices"
)

// Options of a search. It ends when one of them is used up, or the schedule is proved.
type Options struct {
	Schedules int         // at most so many are built, but four at least
	Seed      uint64      // chance; the same seed gives the same schedule
	Stop      func() bool // asked now and then; nil = never
}

// Result is the best schedule found.
type Result struct {
	Start     []int // of each activity, from 0
	Makespan  int
	Bound     int  // no schedule ends before it
	Proven    bool // Makespan is Bound
	Schedules int  // built
}

// Search looks for the shortest schedule. An error wraps ErrNone where there is none.
func Search(p *Project, o Options) (*Result, error) {
	in, err := ready(p)
	if err != nil {
		return nil, err
	}
	s := &search{instance: in, decoder: newDecoder(in), chance: chance{o.Seed}, o: o, least: in.bound(p)}
	s.best.start = make([]int32, in.n)
	s.best.span = math.MaxInt32
	s.run()
	r := &Result{Start: make([]int, in.n), Makespan: int(s.best.span), Bound: s.least, Schedules: s.decoder.count}
	for at, i := range in.order {
		r.Start[i] = int(s.best.start[at])
	}
	r.Proven = r.Makespan == r.Bound
	return r, nil
}

// search is one run with its two populations: schedules packed to the left, whose children
// are packed to the right, and the other way round, so that every child is a justification
// of what its parents agree on (bi-population genetic algorithm, Debels and Vanhoucke 2005).
type search struct {
	*instance
	*decoder
	chance
	o     Options
	least int
	best  schedule
	pops  [2][]schedule // left, right
	keys  []int32
	load  []float64 // of all resources, by time
	fresh schedule
	share []float64
}

func (s *search) done() bool {
	return int(s.best.span) <= s.least || s.decoder.count >= s.o.Schedules || s.o.Stop != nil && s.decoder.count%64 == 0 && s.o.Stop()
}

func (s *search) run() {
	s.keys = make([]int32, s.n)
	s.load = make([]float64, s.horizon+1)
	s.fresh.start = make([]int32, s.n)
	for _, i := range s.instance.order {
		s.share = append(s.share, s.instance.share[i])
	}
	size := s.size()
	for !s.done() {
		s.begin(size)
		stall, before := 0, s.best.span
		lowest := int32(math.MaxInt32)
		for !s.done() {
			s.generation(0)
			s.generation(1)
			now := int32(math.MaxInt32)
			for i := range s.pops[0] {
				now = min(now, s.pops[0][i].span, s.pops[1][i].span)
			}
			if stall++; now < lowest || s.best.span < before {
				lowest, before, stall = now, s.best.span, 0
			}
			if stall > patience || s.decoder.count > s.o.Schedules/breeding {
				break
			}
		}
		s.polish()
	}
}

// Shares of the work, and how polishing disturbs a schedule (own defaults, settled on published
// instances of 60 and 120 activities).
const (
	breeding    = 7    // the populations build at most one schedule in so many
	leastReach  = 8    // of a disturbance, in units of time
	mostReach   = 28   //
	disturbance = 1.5  // of a start, in reaches
	goesUphill  = 0.02 // a schedule longer by one is taken now and then
	stalls      = 4000 // disturbances without a shorter schedule before all begins anew
)

// polish disturbs the order of a schedule in one short stretch of time after the other and packs
// it anew, to the left, right and left (double justification, Valls, Ballestin and Quintanilla
// 2005). What is not longer stands, so that it wanders over schedules of one length.
func (s *search) polish() {
	now, next := s.schedule(), s.schedule()
	copy(now.start, s.best.start)
	now.span = s.best.span
	for stall := 0; stall < stalls && !s.done(); stall++ {
		s.disturb(0, &now)
		s.build(0, s.keys, never, &next)
		s.note(0, &next)
		for side := range 2 {
			if s.done() {
				return
			}
			s.turn(side, &next, s.keys)
			s.build(1-side, s.keys, never, &next)
			s.note(1-side, &next)
		}
		if next.span < now.span {
			stall = 0
		}
		if next.span <= now.span || next.span == now.span+1 && s.unit() < goesUphill {
			now, next = next, now
		}
	}
}

const never = math.MaxInt32

// disturb makes keys of the starts of a schedule, blurred within a stretch of time.
func (s *search) disturb(side int, m *schedule) {
	reach := int32(leastReach + s.below(mostReach-leastReach))
	from := int32(s.below(int(m.span+reach))) - reach
	time := s.views[side].time
	for k, at := range m.start {
		s.keys[k] = at * grain
		if at+time[k] > from && at < from+reach {
			s.keys[k] = max(0, s.keys[k]+int32((s.unit()-0.5)*float64(reach)*disturbance*grain))
		}
	}
}

// patience is how many generations without anything better a population is kept (own default).
const patience = 60

// size of a population: more activities need more schedules to choose from, and a small budget fewer.
func (s *search) size() int {
	return max(10, min(30+s.n/2, s.o.Schedules/100))
}

// begin makes the first populations: by rules and chance, forwards, then each packed backwards.
func (s *search) begin(size int) {
	s.pops = [2][]schedule{}
	long := float64(0)
	for _, t := range s.views[0].tail {
		long = max(long, float64(t))
	}
	for i := range size {
		for k, tail := range s.views[0].tail {
			latest := -float64(tail)
			at := 0.0
			switch i % 3 {
			case 0: // latest start, blurred
				at = latest * (1 + 0.3*(s.unit()-0.5))
			case 1: // latest finish, blurred more
				at = (latest + float64(s.views[0].time[k])) * (1 + 0.8*(s.unit()-0.5))
			default:
				at = s.unit() * long
			}
			s.keys[k] = int32((at + 2*long) * grain)
		}
		left := s.schedule()
		s.build(0, s.keys, never, &left)
		s.note(0, &left)
		s.turn(0, &left, s.keys)
		right := s.schedule()
		s.build(1, s.keys, never, &right)
		s.note(1, &right)
		s.pops[0], s.pops[1] = append(s.pops[0], left), append(s.pops[1], right)
		if s.done() && i > 0 {
			break
		}
	}
}

func (s *search) schedule() schedule {
	return schedule{start: make([]int32, s.n)}
}

// note keeps what is better than the best.
func (s *search) note(side int, m *schedule) {
	if m.span < s.best.span {
		s.best.span = m.span
		copy(s.best.start, m.start)
		if side == 1 {
			for i, t := range s.views[1].time {
				s.best.start[s.n-1-i] = m.span - m.start[i] - t
			}
		}
	}
}

// generation makes children of one side, which join the other. A child takes the place of the
// member its first parent gave rise to, where it is not worse or by a small chance.
func (s *search) generation(side int) {
	pop, other := s.pops[side], s.pops[1-side]
	lead := s.leader(1 - side)
	for i := range pop {
		if s.done() {
			return
		}
		a, b := &pop[i], &pop[s.pick(side, i)]
		if s.chance.next()&1 == 0 {
			a, b = b, a
		}
		s.cross(side, a, b)
		child := &s.fresh
		old := &other[i]
		most := old.span
		if s.unit() < takesWorse && i != lead {
			most = never
		}
		if s.build(1-side, s.keys, most, child) {
			s.note(1-side, child)
			*old, *child = *child, *old
		}
	}
}

// takesWorse is the share of worse children that are kept for what they bring (own default).
const takesWorse = 0.2

func (s *search) leader(side int) int {
	best := 0
	for i := range s.pops[side] {
		if s.pops[side][i].span < s.pops[side][best].span {
			best = i
		}
	}
	return best
}

// pick is a second parent: the better of two others.
func (s *search) pick(side, not int) int {
	pop := s.pops[side]
	if len(pop) < 2 {
		return 0
	}
	draw := func() int {
		k := s.below(len(pop) - 1)
		if k >= not {
			k++
		}
		return k
	}
	x, y := draw(), draw()
	if pop[y].span < pop[x].span {
		return y
	}
	return x
}

// cross mixes the order of two parents: within the stretch of time in which the first uses its
// resources best its own order stands, before and behind it that of the second.
func (s *search) cross(side int, a, b *schedule) {
	span := int(a.span)
	clear(s.load[:span+1])
	for k, t := range s.views[side].time {
		share := s.share[k]
		if side == 1 {
			share = s.share[s.n-1-k]
		}
		for at := a.start[k]; at < a.start[k]+t; at++ {
			s.load[at] += share
		}
	}
	long := max(1, span/4+s.below(max(1, span/2)))
	sum := 0.0
	for t := range min(long, span) {
		sum += s.load[t]
	}
	from, most := 0, sum
	for t := long; t < span; t++ {
		if sum += s.load[t] - s.load[t-long]; sum > most {
			from, most = t-long+1, sum
		}
	}
	to := int32(from + long)
	far := max(a.span, b.span) * grain
	last := s.n - 1
	for k, t := range s.views[side].time {
		end := a.start[k] + t
		key := &s.keys[last-k]
		switch {
		case end < int32(from):
			*key = (b.span-b.start[k]-t)*grain + 2*far
		case end > to:
			*key = (b.span - b.start[k] - t) * grain
		default:
			*key = (a.span-end)*grain + far
		}
	}
	if slices.Equal(a.start, b.start) || s.unit() < shakes {
		for range 1 + s.n/30 {
			k := s.below(s.n)
			s.keys[k] = max(0, s.keys[k]+int32((s.unit()-0.5)*float64(span*grain)/2))
		}
	}
}

// shakes is how often a child is changed by chance as well (own default).
const shakes = 0.05
