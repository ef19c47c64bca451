package project

import (
	"math"
	"slices"
)

// Options of a search. It ends when one of them is used up, or the schedule is proved.
type Options struct {
	Schedules int         // at most so many are built, but four at least
	Conflicts int         // dead ends a proof may meet; Search does without
	Seed      uint64      // chance; the same seed gives the same schedule
	Stop      func() bool // asked now and then; nil = never
	// Together lets building and proving go on side by side, on two cores. What is found then
	// hangs on which of them is faster.
	Together bool
	Watch    func(start []int, makespan int) // told each better schedule; nil = nobody
}

// Result is the best schedule found.
type Result struct {
	Start     []int // of each activity, from 0
	Makespan  int
	Bound     int  // no schedule ends before it
	Proven    bool // Makespan is Bound
	Schedules int  // built
	Conflicts int  // dead ends met
}

// Search looks for the shortest schedule. An error wraps ErrNone where there is none.
func Search(p *Project, o Options) (*Result, error) {
	in, err := ready(p)
	if err != nil {
		return nil, err
	}
	s := &search{instance: in, decoder: newDecoder(in), chance: chance{o.Seed}, o: o, least: in.bound(p)}
	s.best.start = make([]int, in.n)
	s.best.span = math.MaxInt
	s.run()
	r := &Result{Start: s.best.start, Makespan: s.best.span, Bound: s.least, Schedules: s.decoder.count}
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
	pops  [2][]member // left, right
	keys  []float64
	load  []float64 // of all resources, by time
	fresh schedule
}

// member is a schedule with the keys its activities are ordered by when its children are made.
type member struct {
	schedule
	key []float64
}

func (s *search) done() bool {
	return s.best.span <= s.least || s.decoder.count >= s.o.Schedules || s.o.Stop != nil && s.decoder.count%64 == 0 && s.o.Stop()
}

func (s *search) run() {
	s.keys = make([]float64, s.n)
	s.load = make([]float64, s.horizon+1)
	s.fresh.start = make([]int, s.n)
	size := s.size()
	for !s.done() {
		s.begin(size)
		stall, before := 0, s.best.span
		lowest := math.MaxInt
		for !s.done() {
			s.generation(0)
			s.generation(1)
			now := math.MaxInt
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
	now, next := s.member(), s.member()
	copy(now.start, s.best.start)
	now.span = s.best.span
	for stall := 0; stall < stalls && !s.done(); stall++ {
		s.disturb(&now.schedule)
		s.forward(s.keys, &next.schedule)
		s.note(&next.schedule)
		for side := range 2 {
			if s.done() {
				return
			}
			s.keyed(side, &next)
			if side == 0 {
				s.backward(next.key, &next.schedule)
			} else {
				s.forward(next.key, &next.schedule)
			}
			s.note(&next.schedule)
		}
		if next.span < now.span {
			stall = 0
		}
		if next.span <= now.span || next.span == now.span+1 && s.unit() < goesUphill {
			now, next = next, now
		}
	}
}

// disturb makes keys of the starts of a schedule, blurred within a stretch of time.
func (s *search) disturb(m *schedule) {
	reach := leastReach + s.below(mostReach-leastReach)
	from := s.below(m.span+reach) - reach
	for k := range s.n {
		s.keys[k] = float64(m.start[k])
		if m.start[k]+s.time[k] > from && m.start[k] < from+reach {
			s.keys[k] += (s.unit() - 0.5) * float64(reach) * disturbance
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
	s.pops = [2][]member{}
	for i := range size {
		for k := range s.n {
			latest := -float64(s.tail[k])
			switch i % 3 {
			case 0: // latest start, blurred
				s.keys[k] = latest * (1 + 0.3*(s.unit()-0.5))
			case 1: // latest finish, blurred more
				s.keys[k] = (latest + float64(s.time[k])) * (1 + 0.8*(s.unit()-0.5))
			default:
				s.keys[k] = s.unit()
			}
		}
		left := s.member()
		s.forward(s.keys, &left.schedule)
		s.note(&left.schedule)
		s.keyed(0, &left)
		right := s.member()
		s.backward(left.key, &right.schedule)
		s.note(&right.schedule)
		s.keyed(1, &right)
		s.pops[0], s.pops[1] = append(s.pops[0], left), append(s.pops[1], right)
		if s.done() && i > 0 {
			break
		}
	}
}

func (s *search) member() member {
	return member{schedule{start: make([]int, s.n)}, make([]float64, s.n)}
}

// keyed gives a member the keys its children are ordered by: those of a left one go backwards,
// by the latest finish first; those of a right one forwards, by the earliest start.
func (s *search) keyed(side int, m *member) {
	for k := range s.n {
		if side == 0 {
			m.key[k] = -float64(m.start[k] + s.time[k])
		} else {
			m.key[k] = float64(m.start[k])
		}
	}
}

// note keeps what is better than the best.
func (s *search) note(m *schedule) {
	if m.span < s.best.span {
		s.best.span = m.span
		copy(s.best.start, m.start)
		if s.o.Watch != nil {
			s.o.Watch(slices.Clone(m.start), m.span)
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
		if side == 0 {
			s.backward(s.keys, child)
		} else {
			s.forward(s.keys, child)
		}
		s.note(child)
		old := &other[i]
		if child.span <= old.span || s.unit() < takesWorse && i != lead {
			if slices.Equal(child.start, old.start) {
				continue
			}
			old.start, child.start = child.start, old.start
			old.span = child.span
			s.keyed(1-side, old)
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
func (s *search) cross(side int, a, b *member) {
	span := a.span
	clear(s.load[:span+1])
	for k := range s.n {
		for t := a.start[k]; t < a.start[k]+s.time[k]; t++ {
			s.load[t] += s.share[k]
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
	to := from + long
	// Keys of a left parent run backwards: what ends last comes first.
	const far = 1e6
	for k := range s.n {
		at := a.start[k]
		if side == 0 {
			at += s.time[k]
		}
		switch {
		case at < from:
			s.keys[k] = b.key[k] + far
			if side == 1 {
				s.keys[k] = b.key[k] - far
			}
		case at > to:
			s.keys[k] = b.key[k] - far
			if side == 1 {
				s.keys[k] = b.key[k] + far
			}
		default:
			s.keys[k] = a.key[k]
		}
	}
	if slices.Equal(a.key, b.key) || s.unit() < shakes {
		for range 1 + s.n/30 {
			s.keys[s.below(s.n)] += (s.unit() - 0.5) * float64(span) / 2
		}
	}
}

// shakes is how often a child is changed by chance as well (own default).
const shakes = 0.05
