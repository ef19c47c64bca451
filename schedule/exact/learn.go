package exact

import "slices"

// analysis is the working memory of learning from dead ends.
type analysis struct {
	conflict []Lit   // cannot all hold, and do
	need     []int32 // by bound: the value wanted of it, where at is not -1
	at       []int32 // by bound: the step that gave it that value, -1 = not wanted
	wanted   []int32 // bounds that were wanted
	buffer   []Lit
	taken    []int // by bound: the last clause that looked at it
	stamps   []int // by level, likewise
	stamp    int
	deep     []Lit
	answers  []answer // by step
}

// answer is whether a step, as far as it made its bound grow to at, follows from a clause.
type answer struct {
	at      int32
	follows bool
	stamp   int // the clause
}

func (a *analysis) add() {
	a.need = append(a.need, 0, 0)
	a.at = append(a.at, -1, -1)
	a.taken = append(a.taken, 0, 0)
}

// when is the step at which a literal that holds came to hold; -1 = before any choice.
func (s *Solver) when(l Lit) int32 {
	k := s.last[l.b]
	for k >= 0 && s.trail[k].old >= l.at {
		k = s.trail[k].before
	}
	if k >= 0 && s.trail[k].level == 0 {
		return -1
	}
	return k
}

// want notes that a literal takes part in a dead end, and tells how many more of the level now
// do.
func (s *Solver) want(l Lit, level int32) (more int) {
	k := s.when(l)
	if k < 0 {
		return 0
	}
	s.bump(l)
	switch {
	case s.at[l.b] < 0:
		s.wanted = append(s.wanted, l.b)
	case s.need[l.b] >= l.at:
		return 0
	default:
		if s.trail[s.at[l.b]].level == level {
			more--
		}
	}
	s.need[l.b], s.at[l.b] = l.at, k
	if s.trail[k].level == level {
		more++
	}
	return more
}

// learn turns the conflict into a clause that would have foreseen it: all but its first literal
// are false at the level it returns, and the first then follows (first unique implication
// point, Marques-Silva and Sakallah 1999). It is nil where nothing obeys the rules.
func (s *Solver) learn() (*clause, int) {
	level := int32(0)
	for _, l := range s.conflict {
		if k := s.when(l); k >= 0 {
			level = max(level, s.trail[k].level)
		}
	}
	if level == 0 {
		return nil, 0
	}
	s.undo(int(level))
	s.wanted = s.wanted[:0]
	open := 0
	for _, l := range s.conflict {
		open += s.want(l, level)
	}
	first := Lit{}
	for k := int32(len(s.trail) - 1); ; k-- {
		t := &s.trail[k]
		if s.at[t.b] != k {
			continue
		}
		if open == 1 {
			first = Lit{t.b, s.need[t.b]}
			s.at[t.b] = -1
			break
		}
		s.at[t.b] = -1
		open--
		if t.why.by == byClause {
			t.why.c.used = s.Conflicts
		}
		s.buffer = s.explain(s.buffer[:0], t.b, s.need[t.b], t.why)
		for _, l := range s.buffer {
			open += s.want(l, level)
		}
	}
	c := &clause{lits: []Lit{first.Not()}}
	back := s.gather(c)
	for _, b := range s.wanted {
		s.at[b] = -1
	}
	return c, back
}

// gather adds what is wanted to a clause, without what follows from the rest of it.
func (s *Solver) gather(c *clause) (back int) {
	s.stamp++
	if more := len(s.trail) - len(s.answers); more > 0 {
		s.answers = append(s.answers, make([]answer, more)...)
	}
	c.spread = 1
	for _, b := range s.wanted {
		k := s.at[b]
		if k < 0 || s.taken[b] == s.stamp { // a bound can stand in the list twice
			continue
		}
		s.taken[b] = s.stamp
		if s.follows(b, s.need[b], k, deepest) {
			continue
		}
		l := Lit{b, s.need[b]}
		c.lits = append(c.lits, l.Not())
		level := int(s.trail[k].level)
		for len(s.stamps) <= level {
			s.stamps = append(s.stamps, 0)
		}
		if s.stamps[level] != s.stamp {
			s.stamps[level] = s.stamp
			c.spread++
		}
		if level > back {
			back = level
			last := len(c.lits) - 1
			c.lits[1], c.lits[last] = c.lits[last], c.lits[1]
		}
	}
	return back
}

// follows tells whether a step, as far as it made a bound grow to at, follows from bounds that
// are wanted and came before it (Sörensson and Biere 2009).
func (s *Solver) follows(b, at, k int32, depth int) (all bool) {
	t := &s.trail[k]
	if t.why.by == byChoice || depth == 0 {
		return false
	}
	if a := &s.answers[k]; a.stamp == s.stamp && (a.follows && at <= a.at || !a.follows && at >= a.at) {
		return a.follows
	}
	from := len(s.deep)
	s.deep = s.explain(s.deep, b, at, t.why)
	to := len(s.deep)
	all = true
	for i := from; i < to && all; i++ {
		l := s.deep[i]
		before := s.when(l)
		if before >= 0 && (s.at[l.b] < 0 || s.need[l.b] < l.at || s.at[l.b] >= k) {
			all = s.follows(l.b, l.at, before, depth-1)
		}
	}
	s.deep = s.deep[:from]
	s.answers[k] = answer{at, all, s.stamp}
	return all
}

// core is the assumptions a conflict rests on.
func (s *Solver) core(assumed int) (list []Lit) {
	s.wanted = s.wanted[:0]
	for _, l := range s.conflict {
		s.want(l, -1)
	}
	for k := int32(len(s.trail) - 1); k >= 0; k-- {
		t := &s.trail[k]
		if s.at[t.b] != k {
			continue
		}
		s.at[t.b] = -1
		if t.why.by == byChoice && int(t.level) <= assumed {
			list = append(list, Lit{t.b, t.now})
			continue
		}
		s.buffer = s.explain(s.buffer[:0], t.b, s.need[t.b], t.why)
		for _, l := range s.buffer {
			s.want(l, -1)
		}
	}
	return list
}

// Own defaults, settled on published instances.
const (
	fading    = 1 / 0.85 // of the use of literals, as dead ends come
	tooMuch   = 1e100
	firstKept = 4000 // clauses learned before half of them is forgotten
	moreKept  = 500
	deepest   = 20 // steps back from a literal that may follow from others
)

// record keeps a learned clause and lets its first literal follow.
func (s *Solver) record(c *clause, back int) bool {
	s.undo(back)
	if len(c.lits) == 1 {
		return s.set(c.lits[0].b, c.lits[0].at, reason{})
	}
	c.used = s.Conflicts
	s.learned = append(s.learned, c)
	s.watch(c)
	return s.set(c.lits[0].b, c.lits[0].at, reason{by: byClause, c: c})
}

// thin forgets the half of the learned clauses that had no part in dead ends for longest, but
// for those that span few levels. It is called before any choice.
func (s *Solver) thin() {
	if len(s.learned) < s.kept {
		return
	}
	s.kept += moreKept
	slices.SortStableFunc(s.learned, func(x, y *clause) int { return y.used - x.used })
	half := len(s.learned) / 2
	for _, c := range s.learned[half:] {
		if c.spread > 2 {
			c.dead = true
		}
	}
	s.learned = slices.DeleteFunc(s.learned, func(c *clause) bool { return c.dead })
}
