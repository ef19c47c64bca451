package schedule

import (
	"container/heap"
	"math"
	"slices"
)

// release is the first site minute at which all waits of an activity are over.
func (b *board) release(i int) (int, held) {
	at, why := 0, held{}
	for k, l := range b.acts[i].before {
		if t := b.slots[l.other].end + l.lag; t > at {
			at, why = t, held{heldByStep, k}
		}
	}
	return at, why
}

// choose finds who does an activity and when: the earliest start; on that day
// the hands that already do this effect in this room; else those with the fewest
// skills to spare and the least to do; and the one who lays changes about.
func (b *board) choose(i int) (slot, bool) {
	a := &b.acts[i]
	at, why := b.release(i)
	w := b.cal.from(at)
	teams := b.teams[a.needs]
	var kept []int
	if a.hands >= 0 {
		kept = b.hands[a.hands]
	}
	best, found := slot{}, false
	var of *team
	limit := math.MaxInt
	for t := range teams {
		s, ok := b.earliest(i, w, teams[t].people, why, limit)
		if !ok {
			continue
		}
		same := sameHands(kept, teams[t].people)
		switch {
		case !found:
		case same: // earlier the same day is no reason to change hands
			if s.from/b.cal.length > best.from/b.cal.length {
				continue
			}
		case sameHands(kept, of.people) && s.from/b.cal.length >= best.from/b.cal.length:
			continue
		case s.from > best.from || s.from == best.from && b.spare(teams[t].people) >= b.spare(of.people):
			continue
		}
		best, of, found = s, &teams[t], true
		limit = (best.from/b.cal.length + 1) * b.cal.length
	}
	if !found {
		return best, false
	}
	best.people = b.roles(a, of, kept)
	return best, true
}

func sameHands(kept, people []int) bool {
	if len(kept) != len(people) {
		return false
	}
	for _, p := range kept {
		if !slices.Contains(people, p) {
			return false
		}
	}
	return len(kept) > 0
}

// spare weighs a team: people who can do everything are kept for what others cannot.
func (b *board) spare(people []int) (weight int) {
	for _, p := range people {
		skills := len(b.network.people[p].Skills)
		if skills == 0 {
			skills = 3
		}
		weight += skills*1_000_000 + b.worked[p]
	}
	return weight
}

// roles settles who of a team does what.
func (b *board) roles(a *activity, t *team, kept []int) []int {
	if sameHands(kept, t.people) {
		return kept
	}
	best := t.orders[0]
	for _, o := range t.orders[1:] {
		if b.laid[o[0]] < b.laid[best[0]] {
			best = o
		}
	}
	return best
}

// settle places an activity, moving what lies before it later where a latest
// start would be missed otherwise.
func (b *board) settle(i int) bool {
	a := &b.acts[i]
	s, ok := b.choose(i)
	if !ok {
		return false
	}
	for range 20 {
		other, end := b.missed(i, &s)
		if other < 0 || !b.delay(other, end) {
			break
		}
		if s, ok = b.choose(i); !ok {
			return false
		}
	}
	other, _ := b.missed(i, &s)
	s.late = other >= 0
	b.put(i, s)
	for k, p := range s.people {
		b.worked[p] += a.work
		if k == 0 && len(s.people) > 1 {
			b.laid[p] += a.work
		}
	}
	if a.hands >= 0 && b.hands[a.hands] == nil {
		b.hands[a.hands] = s.people
	}
	return true
}

// missed names a step whose latest next start the slot misses, and when that
// step would have to end.
func (b *board) missed(i int, s *slot) (other, end int) {
	for _, l := range b.acts[i].before {
		if l.until > 0 && s.begin > b.slots[l.other].end+l.until {
			return l.other, s.begin - l.until
		}
	}
	return -1, 0
}

// delay moves a placed activity so that it ends at the given site minute or
// later, and with it what it would leave too far behind. It changes nothing when
// that cannot be done without disturbing other work.
func (b *board) delay(i, end int) bool {
	type move struct {
		act int
		old slot
	}
	var moves []move
	var shift func(i, end, depth int) bool
	shift = func(i, end, depth int) bool {
		old := b.take(i)
		w := b.cal.from(old.begin + end - old.end)
		s, ok := slot{}, false
		for range 50 {
			if s, ok = b.earliest(i, w, old.people, old.why, math.MaxInt); !ok || s.end >= end {
				break
			}
			w = max(s.from+1, b.cal.from(s.begin+end-s.end))
		}
		if !ok || s.end < end {
			b.put(i, old)
			return false
		}
		s.late, s.why = old.late, held{by: heldByNext}
		b.put(i, s)
		moves = append(moves, move{i, old})
		for _, l := range b.acts[i].after {
			if o := &b.slots[l.other]; o.placed && o.begin < s.end+l.lag {
				return false
			}
		}
		for depth < 10 {
			other, end := b.missed(i, &s)
			if other < 0 {
				return true
			}
			if !shift(other, end, depth+1) {
				return false
			}
		}
		return false
	}
	if shift(i, end, 0) {
		return true
	}
	for _, m := range slices.Backward(moves) {
		b.take(m.act)
	}
	for _, m := range moves {
		b.put(m.act, m.old)
	}
	return false
}

// queue is the activities whose waits are all placed, most pressing first.
type queue struct {
	acts  []int
	key   []float64
	close []bool // follows a placed step that has a latest next start
}

func (q *queue) Len() int { return len(q.acts) }
func (q *queue) Less(x, y int) bool {
	i, j := q.acts[x], q.acts[y]
	switch {
	case q.close[i] != q.close[j]:
		return q.close[i]
	case q.key[i] != q.key[j]:
		return q.key[i] < q.key[j]
	}
	return i < j
}
func (q *queue) Swap(x, y int) { q.acts[x], q.acts[y] = q.acts[y], q.acts[x] }
func (q *queue) Push(v any)    { q.acts = append(q.acts, v.(int)) }
func (q *queue) Pop() any {
	last := q.acts[len(q.acts)-1]
	q.acts = q.acts[:len(q.acts)-1]
	return last
}

// generate places every activity, most pressing first, each at its earliest
// place (serial generation scheme, Kelley 1963).
func generate(n *network, key []float64, drop []bool) *board {
	b := newBoard(n, drop)
	waiting := make([]int, len(n.acts))
	q := &queue{key: key, close: make([]bool, len(n.acts))}
	for i := range n.acts {
		if waiting[i] = len(n.acts[i].before); waiting[i] == 0 {
			q.acts = append(q.acts, i)
		}
	}
	heap.Init(q)
	for q.Len() > 0 {
		i := heap.Pop(q).(int)
		if !b.settle(i) || b.closed {
			b.closed = true
			return b
		}
		for _, l := range n.acts[i].after {
			q.close[l.other] = q.close[l.other] || l.until > 0
			if waiting[l.other]--; waiting[l.other] == 0 {
				heap.Push(q, l.other)
			}
		}
	}
	return b
}

// goal is what makes one programme better than another, in the order of
// decision 23.
type goal struct{ late, days, visits, finish, idle int }

func (g goal) less(o goal) bool {
	return slices.Compare([]int{g.late, g.days, g.visits, g.finish, g.idle}, []int{o.late, o.days, o.visits, o.finish, o.idle}) < 0
}

// attendance is, by open day, the minutes worked there by all.
func (b *board) attendance() []int {
	var worked []int
	for i := range b.slots {
		s := &b.slots[i]
		s.each(func(p piece) {
			for w := p.from; w < p.to; {
				day := w / b.cal.length
				for len(worked) <= day {
					worked = append(worked, 0)
				}
				end := min(p.to, (day+1)*b.cal.length)
				worked[day] += (end - w) * len(s.people)
				w = end
			}
		})
	}
	return worked
}

func (b *board) goal() goal {
	var g goal
	worked := b.attendance()
	for d, m := range worked {
		if m == 0 {
			continue
		}
		g.days++
		if d == 0 || worked[d-1] == 0 {
			g.visits++
		}
		g.idle -= m
	}
	type hull struct{ from, to int }
	hulls := make([]hull, len(worked)*len(b.people))
	for i := range b.slots {
		s := &b.slots[i]
		g.finish = max(g.finish, s.end)
		if s.late {
			g.late++
		}
		s.each(func(p piece) {
			for w := p.from; w < p.to; {
				day := w / b.cal.length
				end := min(p.to, (day+1)*b.cal.length)
				for _, person := range s.people {
					h := &hulls[day*len(b.people)+person]
					if h.to == 0 || w < h.from {
						h.from = w
					}
					h.to = max(h.to, end)
				}
				w = end
			}
		})
	}
	for _, h := range hulls {
		g.idle += h.to - h.from
	}
	return g
}
