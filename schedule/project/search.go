package project

import (
	"math"
	"slices"
	"sync"
)

// Options of a search. It ends when one of them is used up, or the schedule is proved.
type Options struct {
	Schedules int         // at most so many are built, but four at least
	Conflicts int         // dead ends a proof may meet; Search does without
	Seed      uint64      // chance; the same seed gives the same schedule
	Threads   int         // that build at a time; 0 = 1. Their number changes the time and nothing else
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
	n, err := newNet(p)
	if err != nil {
		return nil, err
	}
	s := &search{n: in.n, order: in.order, views: views(in, n), chance: chance{o.Seed}, o: o, least: int32(n.bound())}
	s.best = schedule{make([]int32, in.n), math.MaxInt32}
	for range max(1, o.Threads) {
		s.breeders = append(s.breeders, breeder{decoder: newDecoder(in, &s.views), keys: make([]int32, in.n)})
	}
	s.run()
	r := &Result{Start: s.starts(), Makespan: int(s.best.span), Bound: int(s.least), Schedules: s.built}
	r.Proven = r.Makespan == r.Bound
	return r, nil
}

// search is one run with its two populations: schedules packed to one end, whose children
// are packed to the other, so that every child is a justification of what its parents agree on
// (bi-population genetic algorithm, Debels and Vanhoucke 2005).
type search struct {
	chance
	n        int
	order    []int // activity at each place of the views
	views    [2]view
	o        Options
	least    int32
	best     schedule // in the view of side 0
	built    int
	pops     [2][]schedule
	children []schedule
	breeders []breeder
}

func (s *search) done() bool {
	return s.best.span <= s.least || s.built >= s.o.Schedules || s.o.Stop != nil && s.o.Stop()
}

// patience is how many generations of both sides without anything better the populations are kept
// (own default).
const patience = 120

func (s *search) run() {
	for s.built == 0 || !s.done() {
		s.begin()
		lowest, stall := int32(math.MaxInt32), 0
		for side := 0; stall < 2*patience && !s.done(); side = 1 - side {
			stall++
			if now := s.generation(side); now < lowest {
				lowest, stall = now, 0
			}
		}
	}
}

// size of a population: just large enough that it still gets better when the budget ends. A smaller
// one is used up before, and beginning anew wastes the rest (own default, settled on published
// instances of 60 and 120 activities at 1,000, 5,000 and 50,000 schedules). A budget past a million
// is none, the caller's clock ends the search: then it is as for what a second or so allows.
func (s *search) size() int {
	budget := min(s.o.Schedules, 1<<16)
	if s.o.Schedules > 1<<20 {
		budget = 1 << 15
	}
	return max(6, int(0.2*math.Pow(float64(budget), 0.6)))
}

// begin makes the first populations: half by a rule and half by chance alone, then each packed to the other end.
func (s *search) begin() {
	s.pops, s.children = [2][]schedule{}, nil
	b, tails := &s.breeders[0], s.views[0].tail
	long := float64(slices.Max(append(tails, 0)))
	for i := range s.size() {
		for k, tail := range tails {
			at := s.unit() * long
			if i%2 == 0 { // latest finish, blurred
				at = -float64(tail-s.views[0].time[k]) * (1 + 0.8*(s.unit()-0.5))
			}
			b.keys[k] = int32((at + 2*long) * grain)
		}
		for side := range s.pops {
			m := schedule{start: make([]int32, s.n)}
			b.build(side, b.keys, never, &m)
			s.built++
			s.note(side, &m)
			s.pops[side] = append(s.pops[side], m)
			s.children = append(s.children, schedule{start: make([]int32, s.n)})
			turn(&s.views[side], &m, b.keys)
		}
		if s.done() && i > 0 {
			break
		}
	}
}

// never is longer than any schedule.
const never = math.MaxInt32

// note keeps what is better than the best.
func (s *search) note(side int, m *schedule) {
	if m.span >= s.best.span {
		return
	}
	s.best.span = m.span
	copy(s.best.start, m.start)
	if side == 1 {
		for i, t := range s.views[1].time {
			s.best.start[s.n-1-i] = m.span - m.start[i] - t
		}
	}
	if s.o.Watch != nil {
		s.o.Watch(s.starts(), int(m.span))
	}
}

// starts is the best schedule by number of activity.
func (s *search) starts() []int {
	start := make([]int, s.n)
	for at, i := range s.order {
		start[i] = int(s.best.start[at])
	}
	return start
}

// generation makes a child of each member of one side, and lets the children join the other.
// It tells the shortest span of the other side. Each child has its own chance, and the parents
// stay as they are meanwhile: so it does not matter which thread makes which.
func (s *search) generation(side int) int32 {
	pop, other := s.pops[side], s.pops[1-side]
	children := s.children[:max(0, min(len(pop), s.o.Schedules-s.built))]
	most, seed := int32(0), s.next()
	for i := range other {
		most = max(most, other[i].span)
	}
	var all sync.WaitGroup
	for t := range s.breeders[1:] {
		all.Go(func() { s.breeders[t+1].breed(side, pop, children, most, seed, t+1, len(s.breeders)) })
	}
	s.breeders[0].breed(side, pop, children, most, seed, 0, len(s.breeders))
	all.Wait()
	s.built += len(children)
	for i := range children {
		if child := &children[i]; child.span <= most {
			s.note(1-side, child)
			join(other, child)
		}
	}
	lowest := int32(math.MaxInt32)
	for i := range other {
		lowest = min(lowest, other[i].span)
	}
	return lowest
}

// join lets a child take the place of the member most like it of those not better: so the
// good ones stay, and stay different (in the manner of crowding, De Jong 1975).
func join(pop []schedule, child *schedule) {
	var like *schedule
	least := int32(math.MaxInt32)
	for i := range pop {
		if pop[i].span < child.span {
			continue
		}
		apart := int32(0)
		for k, t := range pop[i].start {
			x := t - child.start[k]
			if apart += max(x, -x); apart >= least {
				break
			}
		}
		if apart < least {
			like, least = &pop[i], apart
		}
	}
	if like != nil {
		*like, *child = *child, *like
	}
}

// breeder makes children. Each has its own working memory.
type breeder struct {
	*decoder
	chance
	keys []int32
}

// breed makes every so many of the children, of the members in the same places with others.
// One that would be longer than most gets no span that is shorter.
func (b *breeder) breed(side int, pop, children []schedule, most int32, seed uint64, from, step int) {
	for i := from; i < len(children); i += step {
		b.chance = chance{seed + uint64(i)*0xd1342543de82ef95}
		one, two := &pop[i], &pop[b.pick(pop, i)]
		if b.next()&1 == 0 {
			one, two = two, one
		}
		b.cross(side, one, two)
		if !b.build(1-side, b.keys, most, &children[i]) {
			children[i].span = never
		}
	}
}

// pick is a second parent: the better of two others.
func (b *breeder) pick(pop []schedule, not int) int {
	if len(pop) < 2 {
		return 0
	}
	draw := func() int {
		k := b.below(len(pop) - 1)
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

// cross mixes the order of two parents: within a stretch of time that of the first stands,
// before and behind it that of the second. The keys are those of the other side.
func (b *breeder) cross(side int, one, two *schedule) {
	span := int(one.span)
	long := max(1, span/4+b.below(max(1, span/2)))
	from := int32(b.below(span+long) - long)
	to := from + int32(long)
	far := max(one.span, two.span)
	last := len(b.keys) - 1
	for k, t := range b.views[side].time {
		end := one.start[k] + t
		key := two.span - two.start[k] - t
		switch {
		case end < from:
			key += 2 * far
		case end <= to:
			key = one.span - end + far
		}
		b.keys[last-k] = key * grain
	}
	if b.unit() < shakes || slices.Equal(one.start, two.start) {
		for range 1 + len(b.keys)/30 {
			k := b.below(len(b.keys))
			b.keys[k] = max(0, b.keys[k]+int32((b.unit()-0.5)*float64(span*grain)/2))
		}
	}
}

// shakes is how often a child is changed by chance as well (own default).
const shakes = 0.05
