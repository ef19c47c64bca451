package project

import (
	"math"
	"math/bits"
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
	s.best = schedule{start: make([]int32, in.n), span: math.MaxInt32}
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

// run begins anew where a population comes to a standstill. Each time it plans with all that is left of
// the budget. A budget past a million is none, the caller's clock ends the search: then it plans with little,
// and each time with twice as much (own default).
func (s *search) run() {
	for long := 1 << 15; s.built == 0 || !s.done(); long = min(2*long, 1<<20) {
		from := s.built
		if s.o.Schedules <= 1<<20 {
			long = s.o.Schedules - from
		}
		most := s.size(long)
		s.begin(most)
		lowest, stall := int32(math.MaxInt32), 0
		for side := 0; stall < 2*patience && s.built < from+long && !s.done(); side = 1 - side {
			spent := float64(s.built-from) / float64(long)
			s.pops[side] = cull(s.pops[side], int(float64(most)*(1-0.9*spent)))
			stall++
			if now := s.generation(side); now < lowest {
				lowest, stall = now, 0
			}
		}
	}
}

// size of a population at first; a tenth of it is left when the budget ends. The larger the project, the
// longer a population takes to get better (own default, settled on published instances of 60 and 120
// activities at 1,000, 5,000 and 50,000 schedules).
func (s *search) size(budget int) int {
	return max(6, int(4*math.Pow(float64(min(budget, 1<<16)), 0.6)/math.Sqrt(float64(max(1, s.n)))))
}

// cull takes the longest out of a population until no more than most are left, or fewest: a large one
// finds more, and a small one brings it to an end sooner.
func cull(pop []schedule, most int) []schedule {
	for len(pop) > max(fewest, most) {
		longest := 0
		for i := range pop {
			if pop[i].span >= pop[longest].span {
				longest = i
			}
		}
		pop[longest] = pop[len(pop)-1]
		pop = pop[:len(pop)-1]
	}
	return pop
}

// fewest is how many members a population keeps (own default).
const fewest = 4

// begin makes the first populations: half by a rule and half by chance alone, then each packed to the other end.
func (s *search) begin(size int) {
	s.pops, s.children = [2][]schedule{}, nil
	b, tails := &s.breeders[0], s.views[0].tail
	long := float64(slices.Max(append(tails, 0)))
	for i := range size {
		for k, tail := range tails {
			at := s.unit() * long
			if i%2 == 0 { // latest finish, blurred
				at = -float64(tail-s.views[0].time[k]) * (1 + 0.8*(s.unit()-0.5))
			}
			b.keys[k] = int32((at + 2*long) * grain)
		}
		for side := range s.pops {
			if s.built >= 4 && s.done() {
				return
			}
			m := schedule{start: make([]int32, s.n)}
			b.build(side, b.keys, never, &m)
			s.built++
			s.note(side, &m)
			s.pops[side] = append(s.pops[side], m)
			s.children = append(s.children, schedule{start: make([]int32, s.n)})
			turn(&s.views[side], &m, b.keys)
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
		if less := pop[i].sum - child.sum; better(&pop[i], child) || max(less, -less) >= least {
			continue // starts are apart by more than their sums are
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

// better tells whether a is shorter than b, or of the same span with fewer tight activities: fewer have to
// move before it gets shorter (own default).
func better(a, b *schedule) bool {
	return a.span < b.span || a.span == b.span && a.tight < b.tight
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
		other := (i + 1 + b.below(max(1, len(pop)-1))) % len(pop)
		b.cross(side, &pop[i], &pop[other])
		if !b.build(1-side, b.keys, most, &children[i]) {
			children[i].span = never
		}
	}
}

// stretch draws stretches of time, and keeps the one in which one of two parents gets more done than
// the other by most. That parent is the first returned.
func (b *breeder) stretch(v *view, one, two *schedule) (first, second *schedule, from, to int32) {
	far := max(one.span, two.span)
	shift := max(0, bits.Len32(uint32(far))-8)
	var ahead [257]int64 // by time, of the work that one has ended before it over that of two
	for k, work := range v.work {
		ahead[(one.start[k]+v.time[k])>>shift+1] += work
		ahead[(two.start[k]+v.time[k])>>shift+1] -= work
	}
	for t := range ahead[:far>>shift+1] {
		ahead[t+1] += ahead[t]
	}
	span, most := int(one.span), int64(-1)
	for range draws {
		long := max(1, span/4+b.below(max(1, span/2)))
		begin := int32(b.below(span+long) - long)
		end := begin + int32(long)
		gain := ahead[min(end, far)>>shift+1] - ahead[max(begin, 0)>>shift]
		if max(gain, -gain) > most {
			most, first, second, from, to = max(gain, -gain), one, two, begin, end
			if gain < 0 {
				first, second = two, one
			}
		}
	}
	return
}

// draws is of how many stretches of time one is kept (own default).
const draws = 4

// cross mixes the order of two parents: within a stretch of time that of the first stands, before
// and behind it that of the second. So what one does better is kept (in the manner of peak crossover,
// Valls, Ballestin and Quintanilla 2008). The keys are those of the other side.
func (b *breeder) cross(side int, one, two *schedule) {
	one, two, from, to := b.stretch(&b.views[side], one, two)
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
			b.keys[k] = max(0, b.keys[k]+int32((b.unit()-0.5)*float64(one.span*grain)/2))
		}
	}
}

// shakes is how often a child is changed by chance as well (own default).
const shakes = 0.05
