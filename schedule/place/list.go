package place

import (
	"container/heap"
	"math"
	"slices"
)

// Release is the first site minute at which an activity may begin and all its
// waits are over.
func (b *Board) Release(i int) (int, Held) {
	at, why := max(b.Acts[i].From, b.Now), Held{}
	if b.Acts[i].From > b.Now {
		why.By = ByPin
	}
	if b.Acts[i].Fact != nil { // it has begun, its waits are over
		return at, why
	}
	if agreed := (b.Acts[i].Agreed - 1) * Day; b.Hold && agreed > at {
		at, why = agreed, Held{By: ByPin}
	}
	for k, l := range b.Acts[i].Before {
		if end := b.Slots[l.On].End; end+l.LagAfter(end) > at {
			at, why = end+l.LagAfter(end), Held{ByWait, k}
		}
	}
	return at, why
}

// Way is how to build a plan.
type Way struct {
	Key   []float64 // by activity, least first
	Floor []int     // by activity, work minute before which it does not begin
	Near  bool      // what has a latest start goes first, once it may
	Hold  bool      // nothing begins before the day it was promised for
	Worth int       // work minutes a start may be later for somebody who is in the room already
	Drop  []bool    // open days kept free on purpose
}

// MoveWorth is worth where moves count: tools, film and lids go along on every move
// (own default).
const MoveWorth = 20

// Choose finds who does an activity and when: the earliest start, where coming
// from another room counts as a later one; on that day the hands that already do
// this effect in this room; else those with the fewest skills to spare and the
// least to do; and the one who lays changes about.
func (b *Board) Choose(i int) (Slot, bool) {
	a := &b.Acts[i]
	at, why := b.Release(i)
	w := b.Calendar.From(Tidy(at))
	floor := b.Floor[i] > w
	if floor {
		w, why = b.Floor[i], Held{By: ByNext}
	}
	teams := b.Teams[a.Needs]
	var kept []int
	if a.Hands >= 0 {
		kept = b.Hands[a.Hands]
	}
	best, found := Slot{}, false
	var of *team
	cost := func(s *Slot, people []int) int {
		return s.From + b.comers(people, s.From, a.Room)*b.Worth
	}
	limit := math.MaxInt
	for t := range teams {
		s, ok := b.Earliest(i, w, teams[t].People, why, limit)
		if !ok {
			continue
		}
		same := SameHands(kept, teams[t].People)
		switch {
		case !found:
		case same: // earlier the same day is no reason to change hands
			if s.From/b.Calendar.Length > best.From/b.Calendar.Length {
				continue
			}
		case SameHands(kept, of.People) && s.From/b.Calendar.Length >= best.From/b.Calendar.Length:
			continue
		default:
			mine, least := cost(&s, teams[t].People), cost(&best, of.People)
			if mine > least || mine == least && b.spare(teams[t].People) >= b.spare(of.People) {
				continue
			}
		}
		best, of, found = s, &teams[t], true
		limit = (best.From/b.Calendar.Length + 1) * b.Calendar.Length
	}
	if !found {
		return best, false
	}
	best.kept = floor && best.From == w
	best.People = b.Roles(a, of, kept)
	return best, true
}

// SameHands reports whether people are those that are kept, in any order; nobody kept is nobody's.
func SameHands(kept, people []int) bool {
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
func (b *Board) spare(people []int) (weight int) {
	for _, p := range people {
		weight += len(b.People[p].Skills)*1_000_000 + b.done[p]
	}
	return weight
}

// Roles settles who of a team does what.
func (b *Board) Roles(a *Activity, t *team, kept []int) []int {
	best := t.Orders[0]
	for _, o := range t.Orders {
		if slices.Equal(o, kept) {
			return kept
		}
		if b.led[o[0]] < b.led[best[0]] {
			best = o
		}
	}
	return best
}

// settle places an activity, moving what lies before it later where a latest
// start would be missed otherwise.
func (b *Board) settle(i int) bool {
	s, ok := b.Choose(i)
	if !ok {
		return false
	}
	for range 20 {
		other, end := b.Missed(i, &s)
		if other < 0 || !b.delay(other, end) {
			break
		}
		if s, ok = b.Choose(i); !ok {
			return false
		}
	}
	b.Put(i, s)
	b.Count(i, s.People)
	return true
}

// Count remembers who did how much, and with whom.
func (b *Board) Count(i int, people []int) {
	a := &b.Acts[i]
	for k, p := range people {
		b.done[p] += a.Work
		if k == 0 && len(people) > 1 {
			b.led[p] += a.Work
		}
	}
	if a.Hands >= 0 && b.Hands[a.Hands] == nil {
		b.Hands[a.Hands] = people
	}
}

// Missed names a step whose latest next start the slot misses, and when that
// step would have to end.
func (b *Board) Missed(i int, s *Slot) (other, end int) {
	for _, l := range b.Acts[i].Before {
		if end := b.Slots[l.On].End; l.Late(end, s.Begin) {
			return l.On, s.Begin - l.LatestAfter(end)
		}
	}
	return -1, 0
}

// delay moves a placed activity so that it ends at the given site minute or
// later, and with it what it would leave too far behind. It changes nothing when
// that cannot be done without disturbing other work.
func (b *Board) delay(i, end int) bool {
	type move struct {
		act int
		old Slot
	}
	var moves []move
	var shift func(i, end, depth int) bool
	shift = func(i, end, depth int) bool {
		if b.Acts[i].Fact != nil {
			return false
		}
		old := b.Take(i)
		w := b.Calendar.From(old.Begin + end - old.End)
		s, ok := Slot{}, false
		for range 50 {
			if s, ok = b.Earliest(i, w, old.People, old.Why, math.MaxInt); !ok || s.End >= end {
				break
			}
			w = max(s.From+1, b.Calendar.From(s.Begin+end-s.End))
		}
		if !ok || s.End < end {
			b.Put(i, old)
			return false
		}
		s.Why = Held{By: ByNext}
		b.Put(i, s)
		moves = append(moves, move{i, old})
		for _, l := range b.Acts[i].After {
			if o := &b.Slots[l.On]; o.placed && b.Acts[l.On].Fact == nil && o.Begin < s.End+l.LagAfter(s.End) {
				return false
			}
		}
		for depth < 10 {
			other, end := b.Missed(i, &s)
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
	// An activity may have been moved more than once: it goes back to where it was first.
	first := map[int]bool{}
	for _, m := range moves {
		if !first[m.act] {
			first[m.act] = true
			b.Take(m.act)
		}
	}
	for _, m := range moves {
		if first[m.act] {
			first[m.act] = false
			b.Put(m.act, m.old)
		}
	}
	return false
}

// queue is the activities whose waits are all placed, most pressing first.
type queue struct {
	acts []int
	key  []float64
	near []bool // follows a placed step that has a latest next start
}

func (q *queue) Len() int { return len(q.acts) }
func (q *queue) Less(x, y int) bool {
	i, j := q.acts[x], q.acts[y]
	switch {
	case q.near[i] != q.near[j]:
		return q.near[i]
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

// Fill places every activity, most pressing first, each at its earliest place (serial
// generation scheme, Kelley 1963).
func (b *Board) Fill() {
	b.clear()
	if !b.Lay() {
		b.Endless = true
		return
	}
	q := &b.queue
	q.acts, q.key = q.acts[:0], b.Key
	clear(q.near)
	for i := range b.Acts {
		a := &b.Acts[i]
		b.waiting[i] = 0
		for _, l := range a.Before {
			if b.Acts[l.On].Fact == nil {
				b.waiting[i]++
			}
		}
		if a.Fact == nil && b.waiting[i] == 0 {
			q.acts = append(q.acts, i)
		}
	}
	heap.Init(q)
	for q.Len() > 0 {
		i := heap.Pop(q).(int)
		if !b.settle(i) || b.Endless {
			b.Endless = true
			return
		}
		for _, l := range b.Acts[i].After {
			q.near[l.On] = q.near[l.On] || b.Near && l.Until > 0
			if b.waiting[l.On]--; b.waiting[l.On] == 0 && b.Acts[l.On].Fact == nil {
				heap.Push(q, l.On)
			}
		}
	}
}

// Copy takes over the way another plan was built.
func (b *Board) Copy(o *Board) {
	b.Near, b.Hold, b.Worth = o.Near, o.Hold, o.Worth
	b.Drop = append(b.Drop[:0], o.Drop...)
	copy(b.Key, o.Key)
	copy(b.Floor, o.Floor)
}
