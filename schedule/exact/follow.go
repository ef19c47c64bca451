package exact

// propagate follows all that the rules imply. It is false at a dead end.
func (s *Solver) propagate() bool {
	for {
		for s.head < len(s.trail) {
			t := s.trail[s.head]
			s.head++
			s.Followed++
			if !s.grown(t.b, t.old, t.now) {
				s.forget()
				return false
			}
		}
		switch {
		case len(s.due) > 0:
			k := s.due[len(s.due)-1]
			s.due = s.due[:len(s.due)-1]
			s.sums[k].due = false
			if !s.total(s.sums[k]) {
				s.forget()
				return false
			}
		case len(s.dueWide) > 0:
			k := s.dueWide[len(s.dueWide)-1]
			s.dueWide = s.dueWide[:len(s.dueWide)-1]
			if !s.divide(s.shares[k]) {
				s.forget()
				return false
			}
		default:
			return true
		}
	}
}

// grown follows one bound that grew. Where it has grown again since, only what waits for a
// value on the way is looked at; the rest looks at where the bound is, and does so then.
func (s *Solver) grown(b, old, now int32) bool {
	if s.val[b] == now {
		for k := range s.arcs[b] {
			if !s.follow(b, int32(k)) {
				return false
			}
		}
		for _, k := range s.bends[b] {
			if !s.bend(k) {
				return false
			}
		}
	}
	for _, w := range s.wakes[b] {
		switch {
		case w.at <= old || w.at > now:
		case w.from < 0 && !s.bend(w.rule), w.from >= 0 && !s.follow(w.from, w.rule):
			return false
		}
	}
	if !s.visit(b, old, now) {
		return false
	}
	if s.val[b] > now {
		return true
	}
	for _, k := range s.summed[b] {
		if !s.sums[k].due {
			s.sums[k].due = true
			s.due = append(s.due, k)
		}
	}
	for _, u := range s.sharing[b>>1] {
		s.move(u)
	}
	return true
}

// follow looks along an arc.
func (s *Solver) follow(from, k int32) bool {
	a := &s.arcs[from][k]
	to := s.val[from] + a.add
	switch {
	case a.when.b < 0 || s.holds(a.when):
		return s.set(a.to, to, reason{by: byArc, ref: k, size: from})
	case to+s.val[a.to^1] > 0 && !s.fails(a.when):
		far := s.val[a.to^1]
		return s.set(a.when.b^1, 1-a.when.at, s.because(Lit{from, 1 - far - a.add}, Lit{a.to ^ 1, far}))
	}
	return true
}

// bend looks along a curve.
func (s *Solver) bend(k int32) bool {
	c := &s.curves[k]
	to := int32(c.f(int(s.val[c.from])))
	switch {
	case c.when.b < 0 || s.holds(c.when):
		return s.set(c.to, to, reason{by: byCurve, ref: k})
	case to+s.val[c.to^1] > 0 && !s.fails(c.when):
		far := s.val[c.to^1]
		return s.set(c.when.b^1, 1-c.when.at, s.because(Lit{c.from, s.reaching(c, 1-far)}, Lit{c.to ^ 1, far}))
	}
	return true
}

// visit looks at the clauses of which a watched literal became false.
func (s *Solver) visit(b, old, now int32) bool {
	ws := &s.watches[b]
	if ws.drawers == nil {
		return true
	}
	for k := (old - s.lowest[b]) >> ws.shift; k <= (now-s.lowest[b]-1)>>ws.shift; k++ {
		if !s.open(&ws.drawers[k], b, old, now) {
			return false
		}
	}
	return true
}

func (s *Solver) open(drawer *[]watch, b, old, now int32) bool {
	list := *drawer
	kept := 0
	for k := 0; k < len(list); k++ {
		w := &list[k]
		if w.at <= old || w.at > now {
			list[kept] = *w
			kept++
			continue
		}
		if s.holds(w.another) {
			list[kept] = *w
			kept++
			continue
		}
		if w.c.dead {
			continue
		}
		lits := w.c.lits
		if lits[0].b == b^1 && lits[0].at == 1-w.at {
			lits[0], lits[1] = lits[1], lits[0]
		}
		first := lits[0]
		holds := s.holds(first)
		if !holds && s.rewatch(w.c) {
			continue
		}
		c := w.c
		list[kept] = watch{w.at, c, first}
		kept++
		if !holds && !s.set(first.b, first.at, reason{by: byClause, c: c}) {
			kept += copy(list[kept:], list[k+1:])
			*drawer = list[:kept]
			return false
		}
	}
	*drawer = list[:kept]
	return true
}

// rewatch finds another literal to watch in the place of the second, which is false.
func (s *Solver) rewatch(c *clause) bool {
	for k := 2; k < len(c.lits); k++ {
		l := c.lits[k]
		if s.fails(l) {
			continue
		}
		c.lits[1], c.lits[k] = l, c.lits[1]
		s.lookOut(l.b^1, watch{1 - l.at, c, c.lits[0]})
		return true
	}
	return false
}
