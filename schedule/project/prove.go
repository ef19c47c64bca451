package project

import "scumble/schedule/exact"

// model is a project as rules over integers.
type model struct {
	exact.Solver
	net   *net
	start []exact.Var
	end   exact.Var
	pairs []pair
}

// pair is two activities that cannot go on at once.
type pair struct {
	i, k  int
	first exact.Var // 1: i before k
}

// newModel writes a project down; no activity ends after the horizon.
func newModel(n *net, horizon int) *model {
	m := &model{net: n}
	m.Guided = true
	for i := range n.n {
		m.start = append(m.start, m.Int(n.early[i], horizon-n.tail[i]))
	}
	m.end = m.Int(0, horizon)
	for _, l := range n.lags {
		m.Lag(m.start[l.From], m.start[l.To], l.Least)
	}
	for i := range n.n {
		m.Lag(m.start[i], m.end, n.Time[i])
	}
	for r, capacity := range n.Capacity {
		var uses []exact.Use
		for i := range n.n {
			uses = append(uses, exact.Use{Start: m.start[i], Long: n.Time[i], Amount: n.Needs[i][r]})
		}
		m.Share(capacity, uses)
	}
	m.order()
	return m
}

// order says of two activities that cannot go on at once that one of them comes first.
func (m *model) order() {
	n := m.net
	way := n.apart()
	for i := range n.n {
		for k := range i {
			if n.Time[i] == 0 || n.Time[k] == 0 || !n.clash(i, k) || way[i][k] >= n.Time[i] || way[k][i] >= n.Time[k] {
				continue
			}
			mine, other := -way[k][i] >= n.Time[i], -way[i][k] >= n.Time[k] // may come first
			switch {
			case mine && other:
				first := m.Bool()
				m.LagWhen(m.start[i], m.start[k], n.Time[i], first.Is())
				m.LagWhen(m.start[k], m.start[i], n.Time[k], first.Is().Not())
				m.pairs = append(m.pairs, pair{i, k, first})
			case mine:
				m.Lag(m.start[i], m.start[k], n.Time[i])
			case other:
				m.Lag(m.start[k], m.start[i], n.Time[k])
			default:
				m.Clause()
			}
		}
	}
	if len(m.pairs) <= mostPairs {
		m.circles(way)
	}
}

// mostPairs of activities that cannot go on at once are looked at two by two (own default).
const mostPairs = 1500

// circles says which orders of two pairs cannot both hold, because with the lags between them
// they go round in a circle that grows. It would follow from the starts, but only step by step
// up to the end of the project.
func (m *model) circles(way [][]int) {
	type order struct {
		from, to int
		lit      exact.Lit
	}
	var all []order
	for _, p := range m.pairs {
		all = append(all, order{p.i, p.k, p.first.Is()}, order{p.k, p.i, p.first.Is().Not()})
	}
	time := m.net.Time
	for x, a := range all {
		for _, b := range all[:x&^1] {
			if time[a.from]+way[a.to][b.from]+time[b.from]+way[b.to][a.from] > 0 {
				m.Clause(a.lit.Not(), b.lit.Not())
			}
		}
	}
}

// clash tells whether a resource does not suffice for both of two activities.
func (n *net) clash(i, k int) bool {
	for r, c := range n.Capacity {
		if n.Needs[i][r]+n.Needs[k][r] > c {
			return true
		}
	}
	return false
}

// ask looks for a schedule that ends before the best one, from which it begins.
func (m *model) ask(b *best, l exact.Limit, assumed ...exact.Lit) exact.Status {
	start, end, _ := b.now()
	m.Clause(m.end.AtMost(end - 1))
	for i, at := range start {
		m.Suggest(m.start[i], at)
	}
	l.First = m.start
	status, _ := m.Search(l, assumed...)
	switch {
	case status == exact.Found:
		found := make([]int, m.net.n)
		for i := range found {
			found[i] = m.Value(m.start[i])
		}
		b.offer(found, m.net.ends(found))
	case status == exact.None && len(assumed) == 0:
		b.raise(end)
	}
	return status
}

// Shares of the work of a proof (own defaults, settled on published instances).
const (
	easily    = 200 // dead ends for the question whether a schedule is as short as the bound
	atOnce    = 1000
	nearFirst = 25 // questions near the best schedule between two of the whole
	nearEnds  = 300
)

// fromBelow raises the bound as long as it is easy to prove that no schedule is as short as it
// (destructive improvement, Klein and Scholl 1999).
func (m *model) fromBelow(b *best, stop func() bool) {
	for {
		_, end, least := b.now()
		if least >= end-1 || stop() {
			return
		}
		status, _ := m.Search(exact.Limit{Conflicts: easily, First: m.start, Stop: stop}, m.end.AtMost(least))
		if status == exact.Found {
			found := make([]int, m.net.n)
			for i := range found {
				found[i] = m.Value(m.start[i])
			}
			b.offer(found, m.net.ends(found))
		}
		if status != exact.None {
			return
		}
		b.raise(least + 1)
	}
}

// prove looks for shorter schedules until there is none, and knows it.
func (m *model) prove(b *best, conflicts int, stop func() bool) {
	m.fromBelow(b, stop)
	for m.Conflicts < conflicts && !b.proved() && !stop() {
		start, _, _ := b.now()
		m.ask(b, exact.Limit{Conflicts: min(atOnce, conflicts-m.Conflicts), Eager: start == nil, Stop: stop})
	}
}

// better looks for shorter schedules near the best one: all but a stretch of time keeps its
// order (large neighbourhood search, Shaw 1998; the order kept as in Godard, Laborie and
// Nuijten 2005). Now and then it asks for any shorter schedule.
func (m *model) better(b *best, conflicts int, seed uint64, stop func() bool) {
	c, share := chance{seed}, 0.3
	for round := 1; m.Conflicts < conflicts && !b.proved() && !stop(); round++ {
		start, end, _ := b.now()
		if start == nil || round%nearFirst == 0 {
			m.ask(b, exact.Limit{Conflicts: min(atOnce, conflicts-m.Conflicts), Eager: start == nil, Stop: stop})
			continue
		}
		reach := int(share * float64(end))
		from := c.below(end+reach) - reach
		status := m.ask(b, exact.Limit{Conflicts: nearEnds, Stop: stop}, m.keep(start, from, from+reach)...)
		if status == exact.None {
			share = min(1.5, share*1.02)
		} else if status == exact.Open {
			share = max(0.05, share/1.02)
		}
	}
}

// keep is the order of the activities outside a stretch of time.
func (m *model) keep(start []int, from, to int) (order []exact.Lit) {
	free := func(i int) bool { return start[i]+m.net.Time[i] > from && start[i] < to }
	for _, p := range m.pairs {
		switch {
		case free(p.i) || free(p.k):
		case start[p.i] < start[p.k]:
			order = append(order, p.first.Is())
		default:
			order = append(order, p.first.Is().Not())
		}
	}
	return order
}
