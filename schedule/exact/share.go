package exact

import "slices"

// Use is a stretch of an amount that something takes of a shared capacity, from a start on.
type Use struct {
	Start  Var
	Long   int
	Amount int
}

// share is a capacity that uses never exceed together.
type share struct {
	uses     []Use
	capacity int32
	due      bool

	turns []turn
	parts []part
	peak  int32   // of the parts
	as    int     // what was undone when the parts were found
	wide  bool    // the parts have changed, so that all uses are to be looked at
	moved []int32 // otherwise these
}

// user is a use of a share.
type user struct{ share, use int32 }

// turn is where the certain stretch of a use begins or ends; without one the amount is 0.
type turn struct {
	at, amount, use int32
	end             bool
}

// part is a stretch in which the certain uses do not change.
type part struct{ from, to, amount int32 }

// Share adds: at any time the uses that have started and not ended take no more than the
// capacity.
func (s *Solver) Share(capacity int, uses []Use) {
	s.undo(0)
	sh := &share{capacity: int32(capacity)}
	k := int32(len(s.shares))
	for _, u := range uses {
		if u.Long > 0 && u.Amount > 0 {
			sh.uses = append(sh.uses, u)
		}
	}
	slices.SortStableFunc(sh.uses, func(x, y Use) int { return y.Amount - x.Amount })
	sh.turn()
	for before := -1; before < len(s.trail) && !s.broken; { // until all that is fixed was counted
		before, sh.wide = len(s.trail), true
		s.broken = !s.divide(sh)
	}
	s.settle(sh)
	sh.turn()
	for i := range sh.uses {
		s.sharing[sh.uses[i].Start] = append(s.sharing[sh.uses[i].Start], user{k, int32(i)})
	}
	s.shares = append(s.shares, sh)
	sh.due, sh.wide = true, true
	s.dueWide = append(s.dueWide, k)
}

// move notes that a bound of a use grew.
func (s *Solver) move(at user) {
	sh := s.shares[at.share]
	u := &sh.uses[at.use]
	if -s.val[2*u.Start+1] < s.val[2*u.Start]+int32(u.Long) {
		sh.wide = true
	} else if !sh.wide {
		sh.moved = append(sh.moved, at.use)
	}
	if !sh.due {
		sh.due = true
		s.dueWide = append(s.dueWide, at.share)
	}
}

// looked notes that nothing is to be looked at.
func (sh *share) looked() { sh.due, sh.wide, sh.moved = false, false, sh.moved[:0] }

// settle leaves out uses that do not move and that none that moves can meet.
func (s *Solver) settle(sh *share) {
	var moving []part
	for i := range sh.uses {
		if u := &sh.uses[i]; s.Low(u.Start) < s.High(u.Start) {
			moving = append(moving, part{from: int32(s.Low(u.Start)), to: int32(s.High(u.Start) + u.Long)})
		}
	}
	sh.uses = slices.DeleteFunc(sh.uses, func(u Use) bool {
		from, to := int32(s.Low(u.Start)), int32(s.High(u.Start)+u.Long)
		return s.Low(u.Start) == s.High(u.Start) && !slices.ContainsFunc(moving, func(p part) bool { return p.from < to && from < p.to })
	})
}

// turn gives each use its two turns, to be put in order.
func (sh *share) turn() {
	sh.turns = sh.turns[:0]
	for i := range sh.uses {
		sh.turns = append(sh.turns, turn{use: int32(i)}, turn{use: int32(i), end: true})
	}
}

// certain finds the stretches in which a use is certain, wherever it starts: from its latest
// start to its earliest end. The turns keep their order from one time to the next, so that
// putting them right is little work.
func (s *Solver) certain(sh *share) {
	for k := range sh.turns {
		t := sh.turns[k]
		u := &sh.uses[t.use]
		late, end := -s.val[2*u.Start+1], s.val[2*u.Start]+int32(u.Long)
		t.amount = 0
		if t.at = late; t.end {
			t.at = end
		}
		if late < end {
			if t.amount = int32(u.Amount); t.end {
				t.amount = -t.amount
			}
		}
		at := k
		for ; at > 0 && sh.turns[at-1].at > t.at; at-- {
			sh.turns[at] = sh.turns[at-1]
		}
		sh.turns[at] = t
	}
	sh.parts, sh.as, sh.peak = sh.parts[:0], s.undone, 0
	amount, from := int32(0), int32(0)
	for k := range sh.turns {
		t := &sh.turns[k]
		if t.amount == 0 {
			continue
		}
		if amount > 0 && t.at > from {
			sh.parts = append(sh.parts, part{from, t.at, amount})
			sh.peak = max(sh.peak, amount)
		}
		amount, from = amount+t.amount, t.at
	}
}

// divide follows what the certain uses leave to the others (timetable, with pointwise
// reasons: Schutt, Feydy, Stuckey and Wallace 2011).
func (s *Solver) divide(sh *share) bool {
	wide, moved := sh.wide, sh.moved
	sh.looked()
	if !wide {
		if sh.as != s.undone {
			s.certain(sh)
		}
		for _, i := range moved {
			if int32(sh.uses[i].Amount)+sh.peak > sh.capacity && !s.fit(sh, i) {
				return false
			}
		}
		return true
	}
	s.certain(sh)
	if sh.peak > sh.capacity {
		k := slices.IndexFunc(sh.parts, func(p part) bool { return p.amount > sh.capacity })
		p := sh.parts[k]
		s.conflict = s.users(s.conflict[:0], sh, p.from+(p.to-p.from)/2, sh.capacity, -1)
		return false
	}
	for i := range sh.uses {
		if int32(sh.uses[i].Amount)+sh.peak <= sh.capacity {
			break // it fits anywhere, and so do those after it, which take less
		}
		if !s.fit(sh, int32(i)) {
			return false
		}
	}
	return true
}

// fit moves a use to where what is certain leaves it room.
func (s *Solver) fit(sh *share, i int32) bool {
	u := &sh.uses[i]
	low, late := s.val[2*u.Start], -s.val[2*u.Start+1]
	own := part{late, low + int32(u.Long), 0}
	return low == late || s.later(sh, i, own) && s.earlier(sh, i, own)
}

// after is the first part that ends after a time.
func (sh *share) after(at int32) int {
	low, high := 0, len(sh.parts)
	for low < high {
		if middle := (low + high) / 2; sh.parts[middle].to > at {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return low
}

// later moves the earliest start of a use behind stretches in which it does not fit.
func (s *Solver) later(sh *share, i int32, own part) bool {
	u := &sh.uses[i]
	long, amount := int32(u.Long), int32(u.Amount)
	low := s.val[2*u.Start]
	for k := sh.after(low); k < len(sh.parts); k++ {
		p := sh.parts[k]
		if p.from >= low+long {
			return true
		}
		if p.amount+amount <= sh.capacity || own.from <= p.from && p.to <= own.to {
			continue // it fits, or is in the amount already
		}
		for low < p.to && p.from < low+long {
			at := min(p.to-1, low+long-1)
			s.buffer = s.users(append(s.buffer[:0], Lit{int32(2 * u.Start), at - long + 1}), sh, at, sh.capacity-amount, i)
			if !s.set(int32(2*u.Start), at+1, s.because(s.buffer...)) {
				return false
			}
			low = at + 1
		}
	}
	return true
}

// earlier moves the latest start of a use before stretches in which it does not fit.
func (s *Solver) earlier(sh *share, i int32, own part) bool {
	u := &sh.uses[i]
	long, amount := int32(u.Long), int32(u.Amount)
	late := -s.val[2*u.Start+1]
	for k := min(sh.after(late+long), len(sh.parts)-1); k >= 0; k-- {
		p := sh.parts[k]
		if p.to <= late {
			return true
		}
		if p.from >= late+long || p.amount+amount <= sh.capacity || own.from <= p.from && p.to <= own.to {
			continue
		}
		for late < p.to && p.from < late+long {
			at := max(p.from, late)
			s.buffer = s.users(append(s.buffer[:0], Lit{int32(2*u.Start + 1), -at}), sh, at, sh.capacity-amount, i)
			if !s.set(int32(2*u.Start+1), -(at - long), s.because(s.buffer...)) {
				return false
			}
			late = at - long
		}
	}
	return true
}

// users adds to a list why more than an amount is in use at a time: uses that are certain then,
// no more of them than it takes.
func (s *Solver) users(list []Lit, sh *share, at, over, but int32) []Lit {
	sum := int32(0)
	for i := range sh.uses {
		u := &sh.uses[i]
		late, end := -s.val[2*u.Start+1], s.val[2*u.Start]+int32(u.Long)
		if int32(i) == but || late > at || at >= end {
			continue
		}
		sum += int32(u.Amount)
		list = append(list, Lit{int32(2*u.Start + 1), -at}, Lit{int32(2 * u.Start), at - int32(u.Long) + 1})
		if sum > over {
			break
		}
	}
	return list
}
