// Package exact finds values of bounded integers that obey rules, or proves that there are
// none. It follows what rules imply, learns a clause from each dead end and never runs into
// the same one twice: lazy clause generation (Ohrimenko, Stuckey and Codish 2009) with the
// bounds of integers as its only literals. It knows nothing of work, people or time.
package exact

// Var is an integer between two bounds.
type Var int32

// Lit says that an integer is at least, or at most, a number.
type Lit struct {
	b  int32 // bound: twice the integer for its least, one more for its most, turned negative
	at int32 // the bound is not below this
}

// AtLeast says that v >= n.
func (v Var) AtLeast(n int) Lit { return Lit{int32(v) * 2, int32(n)} }

// AtMost says that v <= n.
func (v Var) AtMost(n int) Lit { return Lit{int32(v)*2 + 1, int32(-n)} }

// Is says of an integer from 0 to 1 that it is 1.
func (v Var) Is() Lit { return v.AtLeast(1) }

// Not says the opposite.
func (l Lit) Not() Lit { return Lit{l.b ^ 1, 1 - l.at} }

// Solver holds integers and rules. The zero value is ready. Rules are added before a search
// or between two.
type Solver struct {
	val    []int32 // by bound; it only grows on the way down
	last   []int32 // by bound, its latest step, -1 = none
	trail  []step
	levels []level
	head   int   // steps before it were followed
	store  []Lit // reasons written down on the way

	arcs    [][]arc // by bound
	wakes   [][]wake
	curves  []curve
	bends   [][]int32 // by bound: curves
	learned []*clause
	watches []watches // by bound
	shares  []*share
	sharing [][]user // by integer
	sums    []*sum
	summed  [][]int32 // by bound: sums
	due     []int32   // sums, then shares, to be looked at
	dueWide []int32
	undone  int  // times something was taken back
	broken  bool // nothing obeys the rules, whatever is assumed

	memory
	analysis
	Conflicts int // dead ends met so far
	Followed  int // growths of bounds whose consequences were drawn, so far
}

// step is a bound that grew.
type step struct {
	b, old, now int32
	before      int32 // the step of the same bound before it
	level       int32
	why         reason
}

// level is where a choice begins.
type level struct{ trail, store int }

// reason is what made a bound grow; it is put in literals only when it is asked for.
type reason struct {
	by        int32
	ref, size int32
	c         *clause
}

const (
	byChoice = iota
	byClause
	byArc   // ref: arc, size: the bound it leaves
	byCurve // ref: curve
	byList  // ref, size: a stretch of the store
)

// arc is: to >= from + add, where when holds; when.b < 0: always.
type arc struct {
	to, add int32
	when    Lit
}

// wake is an arc, or with from < 0 a curve, that binds once a bound has grown to at.
type wake struct{ at, from, rule int32 }

// curve is: to >= f(from), with f never falling, where when holds; when.b < 0: always.
type curve struct {
	from, to int32
	f        func(int) int
	when     Lit
}

type clause struct {
	lits   []Lit // the first two are watched
	used   int   // the last dead end it had a part in
	spread int   // levels it spans
	dead   bool
}

type watch struct {
	at      int32 // the bound from which the literal is false
	c       *clause
	another Lit
}

// watches are put in drawers by the bound from which they matter, so that a bound that grows
// passes by no more of them than it must.
type watches struct {
	drawers [][]watch
	shift   int32
}

// Int is a new integer from low to high.
func (s *Solver) Int(low, high int) Var {
	s.undo(0)
	v := Var(len(s.val) / 2)
	s.val = append(s.val, int32(low), int32(-high))
	s.last = append(s.last, -1, -1)
	s.arcs, s.wakes = append(s.arcs, nil, nil), append(s.wakes, nil, nil)
	s.bends = append(s.bends, nil, nil)
	s.watches = append(s.watches, watches{}, watches{})
	s.summed = append(s.summed, nil, nil)
	s.sharing = append(s.sharing, nil)
	s.memory.add(low, high)
	s.analysis.add()
	s.broken = s.broken || low > high
	return v
}

// Bool is a new integer from 0 to 1.
func (s *Solver) Bool() Var { return s.Int(0, 1) }

// Low is the least value an integer can have, as far as the rules were followed.
func (s *Solver) Low(v Var) int { return int(s.val[2*v]) }

// High is the greatest value an integer can have, as far as the rules were followed.
func (s *Solver) High(v Var) int { return int(-s.val[2*v+1]) }

func (s *Solver) holds(l Lit) bool { return s.val[l.b] >= l.at }
func (s *Solver) fails(l Lit) bool { return s.val[l.b^1] >= 1-l.at }

// Clause adds: at least one of the literals holds.
func (s *Solver) Clause(lits ...Lit) {
	s.undo(0)
	kept := make([]Lit, 0, len(lits))
next:
	for _, l := range lits {
		if s.holds(l) {
			return
		}
		if s.fails(l) {
			continue
		}
		for k := range kept {
			if kept[k].b == l.b { // the weaker of two on one bound says both
				kept[k].at = min(kept[k].at, l.at)
				continue next
			}
		}
		kept = append(kept, l)
	}
	switch len(kept) {
	case 0:
		s.broken = true
	case 1:
		s.broken = s.broken || !s.set(kept[0].b, kept[0].at, reason{})
	default:
		s.watch(&clause{lits: kept})
	}
}

func (s *Solver) watch(c *clause) {
	for k := range 2 {
		l := c.lits[k]
		s.lookOut(l.b^1, watch{1 - l.at, c, c.lits[1-k]})
	}
}

const mostDrawers = 256 // of a bound (own default)

// lookOut puts a watch in its drawer.
func (s *Solver) lookOut(b int32, w watch) {
	ws := &s.watches[b]
	if ws.drawers == nil {
		size := -s.lowest[b^1] - s.lowest[b]
		for size>>ws.shift > mostDrawers {
			ws.shift++
		}
		ws.drawers = make([][]watch, (size-1)>>ws.shift+1)
	}
	k := (w.at - s.lowest[b] - 1) >> ws.shift
	ws.drawers[k] = append(ws.drawers[k], w)
}

// Lag adds: to >= from + least.
func (s *Solver) Lag(from, to Var, least int) { s.lag(from, to, least, Lit{b: -1}) }

// LagWhen adds: where the literal holds, to >= from + least.
func (s *Solver) LagWhen(from, to Var, least int, when Lit) { s.lag(from, to, least, when) }

func (s *Solver) lag(from, to Var, least int, when Lit) {
	s.undo(0)
	for _, a := range [][2]int32{{int32(2 * from), int32(2 * to)}, {int32(2*to + 1), int32(2*from + 1)}} {
		k := int32(len(s.arcs[a[0]]))
		s.arcs[a[0]] = append(s.arcs[a[0]], arc{a[1], int32(least), when})
		if when.b >= 0 {
			s.wakes[when.b] = append(s.wakes[when.b], wake{when.at, a[0], k})
		}
		s.broken = s.broken || !s.follow(a[0], k)
	}
}

// Above adds: to >= f(from). f never falls.
func (s *Solver) Above(from, to Var, f func(int) int) { s.AboveWhen(from, to, f, Lit{b: -1}) }

// Below adds: to <= f(from). f never falls.
func (s *Solver) Below(from, to Var, f func(int) int) { s.BelowWhen(from, to, f, Lit{b: -1}) }

// AboveWhen adds: where the literal holds, to >= f(from). f never falls.
func (s *Solver) AboveWhen(from, to Var, f func(int) int, when Lit) {
	s.bent(curve{int32(2 * from), int32(2 * to), f, when})
}

// BelowWhen adds: where the literal holds, to <= f(from). f never falls.
func (s *Solver) BelowWhen(from, to Var, f func(int) int, when Lit) {
	s.bent(curve{int32(2*from + 1), int32(2*to + 1), func(n int) int { return -f(-n) }, when})
}

func (s *Solver) bent(c curve) {
	s.undo(0)
	k := int32(len(s.curves))
	s.curves = append(s.curves, c)
	s.bends[c.from] = append(s.bends[c.from], k)
	if c.when.b >= 0 {
		s.bends[c.to^1] = append(s.bends[c.to^1], k)
		s.wakes[c.when.b] = append(s.wakes[c.when.b], wake{c.when.at, -1, k})
	}
	s.broken = s.broken || !s.bend(k)
}

// set makes a bound grow. It is false where the opposite bound is in the way; then the
// conflict is written down.
func (s *Solver) set(b, to int32, why reason) bool {
	old := s.val[b]
	if old >= to {
		return true
	}
	if to+s.val[b^1] > 0 {
		s.conflict = append(s.explain(s.conflict[:0], b, to, why), Lit{b ^ 1, 1 - to})
		return false
	}
	s.trail = append(s.trail, step{b, old, to, s.last[b], int32(len(s.levels)), why})
	s.last[b] = int32(len(s.trail) - 1)
	s.val[b] = to
	return true
}

// explain adds to a list the literals that made a bound grow to at, or further.
func (s *Solver) explain(list []Lit, b, at int32, why reason) []Lit {
	switch why.by {
	case byClause:
		for _, l := range why.c.lits {
			if l.b != b {
				list = append(list, l.Not())
			}
		}
	case byArc:
		a := &s.arcs[why.size][why.ref]
		list = append(list, Lit{why.size, at - a.add})
		if a.when.b >= 0 {
			list = append(list, a.when)
		}
	case byCurve:
		c := &s.curves[why.ref]
		list = append(list, Lit{c.from, s.reaching(c, at)})
		if c.when.b >= 0 {
			list = append(list, c.when)
		}
	case byList:
		list = append(list, s.store[why.ref:why.ref+why.size]...)
	}
	return list
}

// reaching is the least value of a bound from which a curve reaches at; its present value does.
func (s *Solver) reaching(c *curve, at int32) int32 {
	low, high := s.lowest[c.from], s.val[c.from]
	for low < high {
		middle := low + (high-low)>>1
		if int32(c.f(int(middle))) >= at {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return low
}

// because writes a reason down.
func (s *Solver) because(lits ...Lit) reason {
	at := len(s.store)
	s.store = append(s.store, lits...)
	return reason{by: byList, ref: int32(at), size: int32(len(lits))}
}

// undo takes back all that followed from the choices beyond a level.
func (s *Solver) undo(to int) {
	if len(s.levels) <= to {
		return
	}
	at := s.levels[to]
	for k := len(s.trail) - 1; k >= at.trail; k-- {
		t := &s.trail[k]
		s.recall(t, s.val)
		s.val[t.b], s.last[t.b] = t.old, t.before
	}
	s.trail, s.store, s.levels = s.trail[:at.trail], s.store[:at.store], s.levels[:to]
	s.head = len(s.trail)
	s.undone++
	s.forget()
}

// forget clears what was to be looked at.
func (s *Solver) forget() {
	for _, k := range s.due {
		s.sums[k].due = false
	}
	for _, k := range s.dueWide {
		s.shares[k].looked()
	}
	s.due, s.dueWide = s.due[:0], s.dueWide[:0]
}
