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
	c.spread = 1
	for _, b := range s.wanted {
		k := s.at[b]
		if k < 0 || s.taken[b] == s.stamp { // a bound can stand in the list twice
			continue
		}
		s.taken[b] = s.stamp
		if s.follows(b) {
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

// follows tells whether a wanted bound follows from others that are wanted and came before.
func (s *Solver) follows(b int32) bool {
	k := s.at[b]
	t := &s.trail[k]
	if t.why.by == byChoice {
		return false
	}
	s.buffer = s.explain(s.buffer[:0], b, s.need[b], t.why)
	for _, l := range s.buffer {
		if s.when(l) < 0 {
			continue
		}
		if s.at[l.b] < 0 || s.need[l.b] < l.at || s.at[l.b] >= k {
			return false
		}
	}
	return true
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

// Use of literals and clauses fades as dead ends come (own defaults).
const (
	fading    = 1 / 0.95
	tooMuch   = 1e100
	firstKept = 4000 // clauses learned before the less used half is forgotten
	moreKept  = 500
)

// record keeps a learned clause and lets its first literal follow.
func (s *Solver) record(c *clause, back int) bool {
	s.undo(back)
	if len(c.lits) == 1 {
		return s.set(c.lits[0].b, c.lits[0].at, reason{})
	}
	c.use = s.weight
	s.learned = append(s.learned, c)
	s.watch(c)
	return s.set(c.lits[0].b, c.lits[0].at, reason{by: byClause, c: c})
}

// thin forgets the half of the learned clauses that spans most levels and was made first. It
// is called before any choice.
func (s *Solver) thin() {
	if len(s.learned) < s.kept {
		return
	}
	s.kept += moreKept
	slices.SortStableFunc(s.learned, func(x, y *clause) int { return min(x.spread, 30) - min(y.spread, 30) })
	half := len(s.learned) / 2
	for _, c := range s.learned[half:] {
		if c.spread > 2 {
			c.dead = true
		}
	}
	s.learned = slices.DeleteFunc(s.learned, func(c *clause) bool { return c.dead })
}
