package project

import (
	"fmt"
	"sync"
)

// best is the best schedule so far and the time no schedule ends before, for two who look at once.
type best struct {
	sync.Mutex
	start []int // nil = none yet
	end   int   // of it; before there is one, more than any schedule needs
	least int
}

func (b *best) now() (start []int, end, least int) {
	b.Lock()
	defer b.Unlock()
	return b.start, b.end, b.least
}

func (b *best) offer(start []int, end int) {
	b.Lock()
	defer b.Unlock()
	if end < b.end {
		b.start, b.end = start, end
	}
}

func (b *best) raise(least int) {
	b.Lock()
	defer b.Unlock()
	b.least = max(b.least, least)
}

func (b *best) proved() bool {
	b.Lock()
	defer b.Unlock()
	return b.least >= b.end
}

// Solve looks for the shortest schedule and proves how short one can be. An error wraps
// ErrNone where there is none. Start is nil where none was found and none is excluded.
func Solve(p *Project, o Options) (*Result, error) {
	if _, err := ready(p); err != nil {
		return nil, err
	}
	n, err := newNet(p)
	if err != nil {
		return nil, err
	}
	b := &best{end: n.horizon() + 1, least: n.bound()}
	schedules, conflicts := b.look(n, o)
	if b.start == nil && b.proved() {
		return nil, fmt.Errorf("%w: the capacities do not allow one with these lags", ErrNone)
	}
	r := &Result{Start: b.start, Makespan: b.end, Bound: b.least, Proven: b.start != nil && b.proved(), Schedules: schedules, Conflicts: conflicts}
	if b.start == nil {
		r.Makespan = 0
	}
	return r, nil
}

// look spends what the options allow: schedules are built first and then proved, or both go on
// at once. With lags between starts nothing is built; two look for them then.
func (b *best) look(n *net, o Options) (schedules, conflicts int) {
	stop := func() bool { return o.Stop != nil && o.Stop() }
	over := func() bool { return b.proved() || stop() }
	populate := func(most int, seed uint64) int {
		r, err := Search(n.Project, Options{Schedules: most, Seed: seed, Stop: over, Watch: b.offer})
		if err != nil {
			return 0
		}
		return r.Schedules
	}
	build := func(most int) {
		if len(n.Lags) > 0 {
			m := newModel(n, n.horizon())
			m.better(b, o.Conflicts, o.Seed, stop)
			conflicts += m.Conflicts
			return
		}
		schedules += populate(most, o.Seed)
	}
	var aside sync.WaitGroup
	if o.Together {
		if len(n.Lags) == 0 {
			build(min(o.Schedules, toBegin))
		}
		aside.Go(func() { build(o.Schedules - schedules) })
	} else {
		build(o.Schedules)
	}
	proof, more := 0, 0
	if !b.proved() {
		_, end, _ := b.now()
		m := newModel(n, end-1)
		most := o.Conflicts
		if o.Together && len(n.Lags) == 0 {
			most = min(most, enough/(n.n*n.n))
		}
		m.prove(b, most, stop)
		if proof = m.Conflicts; most < o.Conflicts && !over() {
			more = populate(o.Schedules, ^o.Seed)
		}
	}
	aside.Wait()
	return schedules + more, conflicts + proof
}

// enough is how many dead ends a proof may meet while schedules are built beside it, times the square
// of the number of activities: the larger the project, the longer a dead end takes and the less it tells.
// If the proof comes to nothing, two build schedules (own default).
const enough = 60_000_000

// toBegin is how many schedules are built before proving begins beside it (own default).
const toBegin = 200
