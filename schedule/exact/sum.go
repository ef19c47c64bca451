package exact

// Term is an integer times a factor.
type Term struct {
	V     Var
	Times int
}

// sum is: the bounds, each times its factor, do not come above most together.
type sum struct {
	bounds []int32
	times  []int32
	most   int32
	due    bool
}

// Sum adds: the terms together are at most a number.
func (s *Solver) Sum(most int, terms ...Term) {
	s.undo(0)
	x := &sum{most: int32(most)}
	k := int32(len(s.sums))
	for _, t := range terms {
		b, times := int32(2*t.V), int32(t.Times)
		if times < 0 { // at most this much of it is at least that much of its opposite
			b, times = b+1, -times
		}
		if times > 0 {
			x.bounds, x.times = append(x.bounds, b), append(x.times, times)
			s.summed[b] = append(s.summed[b], k)
		}
	}
	s.sums = append(s.sums, x)
	s.broken = s.broken || !s.total(x)
}

// add follows what the least of all terms but one leave to that one.
func (s *Solver) total(x *sum) bool {
	left := x.most
	for k, b := range x.bounds {
		left -= x.times[k] * s.val[b]
	}
	if left < 0 {
		s.conflict = s.others(s.conflict[:0], x, -1)
		return false
	}
	for k, b := range x.bounds {
		room := left / x.times[k]
		if -s.val[b^1] <= s.val[b]+room {
			continue
		}
		s.buffer = s.others(s.buffer[:0], x, k)
		if !s.set(b^1, -(s.val[b] + room), s.because(s.buffer...)) {
			return false
		}
	}
	return true
}

func (s *Solver) others(list []Lit, x *sum, but int) []Lit {
	for k, b := range x.bounds {
		if k != but && s.val[b] > s.lowest[b] {
			list = append(list, Lit{b, s.val[b]})
		}
	}
	return list
}
