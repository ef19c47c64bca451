package exact

// memory is what earlier dead ends and schedules suggest about choices: how much a literal had
// to do with dead ends lately (Moskewicz and others 2001), and which value an integer had.
type memory struct {
	lowest []int32   // by bound, before anything
	atoms  [][]int32 // by integer: from its least value, number of the atom, 0 = none yet
	atom   []atom
	heap   []int32   // of atoms, most used first
	out    [][]int32 // by integer: atoms that were decided when they came up
	guide  []int32   // by integer, the value it had
	weight float64
	kept   int
	Guided bool // integers are tried near what was suggested, not near what they last were
}

// atom is v >= n, which a choice may settle.
type atom struct {
	v, n int32
	use  float64
	at   int32 // in the heap, -1 = not there
}

func (m *memory) add(low, high int) {
	if m.atom == nil {
		m.atom = make([]atom, 1) // none
		m.weight, m.kept = 1, firstKept
	}
	m.lowest = append(m.lowest, int32(low), int32(-high))
	m.atoms, m.out = append(m.atoms, nil), append(m.out, nil)
	m.guide = append(m.guide, int32(low))
}

// bump makes a literal count for more.
func (m *memory) bump(l Lit) {
	v, n := l.b>>1, l.at
	if l.b&1 == 1 {
		n = 1 - l.at
	}
	low := m.lowest[2*v]
	if m.atoms[v] == nil {
		m.atoms[v] = make([]int32, -m.lowest[2*v+1]-low+2)
	}
	slot := n - low
	if slot < 0 || int(slot) >= len(m.atoms[v]) {
		return
	}
	k := m.atoms[v][slot]
	if k == 0 {
		k = int32(len(m.atom))
		m.atoms[v][slot] = k
		m.atom = append(m.atom, atom{v: v, n: n, at: -1})
		m.push(k)
	}
	a := &m.atom[k]
	if a.use += m.weight; a.use > tooMuch {
		for i := range m.atom {
			m.atom[i].use /= tooMuch
		}
		m.weight /= tooMuch
	}
	if a.at >= 0 {
		m.up(a.at)
	}
}

// recall notes the value an integer had before a step is undone, and that the atoms the step
// decided can be chosen again.
func (m *memory) recall(t *step, val []int32) {
	v := t.b >> 1
	if !m.Guided && val[2*v] == -val[2*v+1] {
		m.guide[v] = val[2*v]
	}
	above, most := t.old, t.now
	if t.b&1 == 1 {
		above, most = -t.now, -t.old
	}
	kept := m.out[v][:0]
	for _, k := range m.out[v] {
		if n := m.atom[k].n; above < n && n <= most {
			m.push(k)
		} else {
			kept = append(kept, k)
		}
	}
	m.out[v] = kept
}

func (m *memory) push(k int32) {
	if m.atom[k].at >= 0 {
		return
	}
	m.atom[k].at = int32(len(m.heap))
	m.heap = append(m.heap, k)
	m.up(m.atom[k].at)
}

func (m *memory) before(x, y int32) bool {
	a, b := &m.atom[x], &m.atom[y]
	return a.use > b.use || a.use == b.use && x < y
}

func (m *memory) up(at int32) {
	k := m.heap[at]
	for at > 0 {
		above := (at - 1) / 2
		if !m.before(k, m.heap[above]) {
			break
		}
		m.heap[at] = m.heap[above]
		m.atom[m.heap[at]].at = at
		at = above
	}
	m.heap[at] = k
	m.atom[k].at = at
}

func (m *memory) pop() int32 {
	top := m.heap[0]
	m.atom[top].at = -1
	k := m.heap[len(m.heap)-1]
	m.heap = m.heap[:len(m.heap)-1]
	n := int32(len(m.heap))
	if n == 0 {
		return top
	}
	at := int32(0)
	for {
		below := 2*at + 1
		if below >= n {
			break
		}
		if below+1 < n && m.before(m.heap[below+1], m.heap[below]) {
			below++
		}
		if !m.before(m.heap[below], k) {
			break
		}
		m.heap[at] = m.heap[below]
		m.atom[m.heap[at]].at = at
		at = below
	}
	m.heap[at] = k
	m.atom[k].at = at
	return top
}

// Status is what a search came to.
type Status int

// What a search comes to.
const (
	Open  Status = iota // the limit was reached
	Found               // Value tells of each integer
	None                // nothing obeys the rules, with the assumptions if there were any
)

// Limit is what a search may spend. The same limit gives the same answer on any machine,
// unless Stop ends it.
type Limit struct {
	Conflicts int         // dead ends
	Followed  int         // growths of bounds, looked at after each dead end; 0 = no limit
	Stop      func() bool // asked now and then; nil = never
	First     []Var       // integers chosen before others, by their least value
	Eager     bool        // choose by the least value, and by dead ends only after a restart
}

// Suggest sets the value an integer is tried near.
func (s *Solver) Suggest(v Var, n int) { s.guide[v] = int32(n) }

// restart is how many dead ends are met before all choices are made anew, times the sequence
// of Luby, Sinclair and Zuckerman (1993).
const restart = 250

func luby(k int) int {
	for size := 1; ; size = 2*size + 1 {
		if k == size {
			return (size + 1) / 2
		}
		if k < 2*size+1 && k > size {
			return luby(k - size)
		}
	}
}

// Search looks for values, with some literals assumed to hold. Where there are none, Core is
// the assumptions that cannot all hold; it is empty where none of them matters.
func (s *Solver) Search(l Limit, assumed ...Lit) (status Status, core []Lit) {
	s.undo(0)
	if s.broken || !s.propagate() {
		s.broken = true
		return None, nil
	}
	end, work := s.Conflicts+l.Conflicts, s.Followed+l.Followed
	spent := func() bool { return s.Conflicts >= end || l.Followed > 0 && s.Followed >= work }
	for round := 1; ; round++ {
		stop := min(end, s.Conflicts+restart*luby(round))
		status, core = s.dive(&l, assumed, func() bool { return s.Conflicts >= stop || spent() }, l.Eager && round%2 == 1)
		if status != Open || spent() || l.Stop != nil && l.Stop() {
			break
		}
		s.undo(0)
		s.thin()
	}
	if status != Found {
		s.undo(0)
	}
	return status, core
}

// dive chooses and learns until something is found, proved or enough was spent.
func (s *Solver) dive(l *Limit, assumed []Lit, spent func() bool, eager bool) (Status, []Lit) {
	for {
		if !s.propagate() {
			s.Conflicts++
			if s.inAssumptions(len(assumed)) {
				core := s.core(len(assumed))
				if len(core) == 0 {
					s.broken = true
				}
				return None, core
			}
			c, back := s.learn()
			if c == nil {
				s.broken = true
				return None, nil
			}
			s.weight *= fading
			if !s.record(c, back) {
				s.broken = true // a fact against the facts
				return None, nil
			}
			if spent() || l.Stop != nil && s.Conflicts%64 == 0 && l.Stop() {
				return Open, nil
			}
			continue
		}
		choice, ok := s.choice(l, assumed, eager)
		if !ok {
			return Found, nil
		}
		if s.fails(choice) {
			s.conflict = append(s.conflict[:0], choice.Not())
			return None, append(s.core(len(s.levels)), choice)
		}
		s.levels = append(s.levels, level{len(s.trail), len(s.store)})
		s.set(choice.b, choice.at, reason{})
	}
}

// inAssumptions tells whether a conflict follows from assumptions alone.
func (s *Solver) inAssumptions(assumed int) bool {
	level := 0
	for _, l := range s.conflict {
		if k := s.when(l); k >= 0 {
			level = max(level, int(s.trail[k].level))
		}
	}
	return level <= assumed
}

// choice is the next literal to try: an assumption that does not hold yet, then the literal
// that had most to do with dead ends, then the integer with the least value left.
func (s *Solver) choice(l *Limit, assumed []Lit, eager bool) (Lit, bool) {
	for len(s.levels) < len(assumed) {
		a := assumed[len(s.levels)]
		if !s.holds(a) {
			return a, true
		}
		s.levels = append(s.levels, level{len(s.trail), len(s.store)})
	}
	for !eager && len(s.heap) > 0 {
		k := s.pop()
		a := &s.atom[k]
		if s.val[2*a.v] >= a.n || -s.val[2*a.v+1] < a.n {
			s.out[a.v] = append(s.out[a.v], k)
			continue
		}
		s.out[a.v] = append(s.out[a.v], k)
		if s.guide[a.v] >= a.n {
			return Var(a.v).AtLeast(int(a.n)), true
		}
		return Var(a.v).AtMost(int(a.n) - 1), true
	}
	best := int32(-1)
	for _, v := range l.First {
		if low := s.val[2*v]; low < -s.val[2*v+1] && (best < 0 || low < s.val[2*best] || low == s.val[2*best] && s.val[2*v+1] > s.val[2*best+1]) {
			best = int32(v)
		}
	}
	if best >= 0 {
		return Var(best).AtMost(int(s.val[2*best])), true
	}
	for at := 0; at < len(s.val); at += 2 {
		if s.val[at] < -s.val[at+1] {
			v := Var(at / 2)
			if n := int(s.guide[v]); n >= s.Low(v) && n < s.High(v) {
				return v.AtMost(n), true
			}
			return v.AtMost(s.Low(v)), true
		}
	}
	return Lit{}, false
}

// Value is what an integer was found to be.
func (s *Solver) Value(v Var) int { return s.Low(v) }
