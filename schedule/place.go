package schedule

import (
	"slices"
	"sort"
)

// piece is a stretch of work minutes.
type piece struct{ from, to int }

// busy is the work minutes somebody or something is taken, ascending, joined.
type busy []piece

// next is the first stretch that ends after w.
func (b busy) next(w int) int {
	return sort.Search(len(b), func(i int) bool { return b[i].to > w })
}

// free reports whether nothing is taken in p; if something is, until when.
func (b busy) free(p piece) (bool, int) {
	if i := b.next(p.from); i < len(b) && b[i].from < p.to {
		return false, b[i].to
	}
	return true, 0
}

func (b busy) add(p piece) busy {
	i := b.next(p.from)
	joinsLeft := i > 0 && b[i-1].to == p.from
	joinsRight := i < len(b) && b[i].from == p.to
	switch {
	case joinsLeft && joinsRight:
		b[i-1].to = b[i].to
		return slices.Delete(b, i, i+1)
	case joinsLeft:
		b[i-1].to = p.to
	case joinsRight:
		b[i].from = p.from
	default:
		return slices.Insert(b, i, p)
	}
	return b
}

func (b busy) remove(p piece) busy {
	i := b.next(p.from)
	old := b[i]
	switch {
	case old == p:
		return slices.Delete(b, i, i+1)
	case old.from == p.from:
		b[i].from = p.to
	case old.to == p.to:
		b[i].to = p.from
	default:
		b[i].to = p.from
		return slices.Insert(b, i+1, piece{p.to, old.to})
	}
	return b
}

// What held an activity back.
const (
	heldByNothing = iota
	heldByStep    // who = index into before
	heldByPerson  // who = person
	heldByKit
	heldByRoom
	heldByAbsence
	heldByCorner // who = the other glaze
	heldByBreak
	heldByNext // kept back for the coat that follows
)

type held struct{ by, who int }

// slot is where an activity lies.
type slot struct {
	from, to     int     // work minutes
	begin, end   int     // site minutes
	more         []piece // work minutes of its pieces, where days lie between; nil = one
	people       []int   // in the order of needs
	unit         int     // of the kit
	why          held
	placed, late bool // late: a latest start could not be kept
}

func (s *slot) each(f func(piece)) {
	if s.more == nil {
		f(piece{s.from, s.to})
		return
	}
	for _, p := range s.more {
		f(p)
	}
}

// board is a programme in the making.
type board struct {
	*network
	drop   []bool // open days kept free on purpose
	slots  []slot
	people []busy
	kit    [][]busy
	hands  [][]int // by group
	worked []int   // by person
	laid   []int   // by person, minutes of laying
	closed bool    // ran past the end of the calendar
}

func newBoard(n *network, drop []bool) *board {
	b := &board{network: n, drop: drop, slots: make([]slot, len(n.acts)), people: make([]busy, len(n.people)),
		hands: make([][]int, n.groups), worked: make([]int, len(n.people)), laid: make([]int, len(n.people))}
	for _, k := range n.kits {
		b.kit = append(b.kit, make([]busy, k.count))
	}
	return b
}

func marked(mask []bool, i int) bool { return i < len(mask) && mask[i] }

// away tells why the open day cannot be used by these people in this room.
func (b *board) away(day, room int, people []int) (int, bool) {
	if marked(b.drop, day) {
		return heldByBreak, true
	}
	if marked(b.shut[room], day) {
		return heldByRoom, true
	}
	for _, p := range people {
		if marked(b.off[p], day) {
			return heldByAbsence, true
		}
	}
	return 0, false
}

// lay out the work from w over the usable days; long work runs through breaks.
func (b *board) pieces(a *activity, w int, people []int, s *slot) {
	length := b.cal.length
	s.from, s.begin, s.more = w, b.cal.begins(w), nil
	rest := a.work
	for day := w / length; ; day++ {
		if day > lastDay {
			b.closed = true
			s.to, s.end = w+a.work, b.cal.ends(w+a.work)
			return
		}
		if _, away := b.away(day, a.room, people); away {
			continue
		}
		start := max(w, day*length)
		room := (day+1)*length - start
		if a.long {
			room = b.cal.stretch()
		}
		done := min(rest, room)
		end := start + done
		if a.long {
			clock := b.cal.begins(start) + done
			end = min(b.cal.from(clock), (day+1)*length)
			s.end = clock
		}
		if s.more != nil || start != w {
			s.more = append(s.more, piece{start, end})
		} else if rest > done {
			s.more = append(s.more, piece{w, end})
		}
		if rest -= done; rest == 0 {
			s.to = end
			if !a.long {
				s.end = b.cal.ends(end)
			}
			break
		}
	}
	// days that follow without a gap are one stretch of work
	if n := len(s.more); n > 0 && s.more[n-1].to-s.more[0].from == total(s.more) {
		s.more = nil
	}
}

func total(ps []piece) (t int) {
	for _, p := range ps {
		t += p.to - p.from
	}
	return t
}

// fits moves w to the next work minute at which the activity could begin as far
// as days and breaks go.
func (b *board) fits(a *activity, w int, people []int, why *held) (int, bool) {
	length := b.cal.length
	day, offset := w/length, w%length
	if by, away := b.away(day, a.room, people); away {
		*why = held{by: by}
		return (day + 1) * length, false
	}
	if a.long {
		if offset > 0 {
			return (day + 1) * length, false
		}
		return w, true
	}
	end := b.cal.before[b.cal.span(offset)+1]
	need := min(goodStart, a.work)
	if a.unbroken {
		need = a.work
	}
	if offset+need > end {
		if why.by == heldByNothing {
			why.by = heldByBreak
		}
		return day*length + end, false
	}
	return w, true
}

// earliest finds the first place for the activity from work minute w on, with
// these people. It gives up beyond limit.
func (b *board) earliest(i, w int, people []int, why held, limit int) (slot, bool) {
	a := &b.acts[i]
	s := slot{people: people, unit: -1, why: why}
search:
	for w <= limit {
		if w/b.cal.length > lastDay {
			b.closed = true
			return s, false
		}
		var ok bool
		if w, ok = b.fits(a, w, people, &s.why); !ok {
			continue
		}
		for _, p := range people { // quick: somebody is busy at this minute
			if free, until := b.people[p].free(piece{w, w + 1}); !free {
				w, s.why = until, held{heldByPerson, p}
				continue search
			}
		}
		b.pieces(a, w, people, &s)
		if until, why, ok := b.clash(i, &s); !ok {
			w, s.why = until, why
			continue
		}
		return s, true
	}
	return s, false
}

// clash looks for people, kit and wet corners in the way of a slot.
func (b *board) clash(i int, s *slot) (until int, why held, ok bool) {
	a := &b.acts[i]
	ok = true
	s.each(func(p piece) {
		for _, person := range s.people {
			if free, u := b.people[person].free(p); !free && u > until {
				until, why, ok = u, held{heldByPerson, person}, false
			}
		}
	})
	if !ok {
		return until, why, false
	}
	if a.kit >= 0 {
		s.unit = -1
		for u, taken := range b.kit[a.kit] {
			free, later := taken.free(piece{s.from, s.to})
			if free {
				s.unit = u
				break
			}
			if until == 0 || later < until {
				until, why = later, held{heldByKit, a.kit}
			}
		}
		if s.unit < 0 {
			return until, why, false
		}
	}
	for _, k := range a.wet {
		o := &b.slots[k]
		if o.placed && k != i && s.begin < o.end+b.acts[k].touch && s.end+a.touch > o.begin {
			return max(b.cal.from(o.end+b.acts[k].touch), s.from+1), held{heldByCorner, k}, false
		}
	}
	return 0, held{}, true
}

// put and take move a slot on and off the board.
func (b *board) put(i int, s slot) {
	s.placed = true
	b.slots[i] = s
	s.each(func(p piece) {
		for _, person := range s.people {
			b.people[person] = b.people[person].add(p)
		}
	})
	if s.unit >= 0 {
		k := b.acts[i].kit
		b.kit[k][s.unit] = b.kit[k][s.unit].add(piece{s.from, s.to})
	}
}

func (b *board) take(i int) slot {
	s := b.slots[i]
	b.slots[i].placed = false
	s.each(func(p piece) {
		for _, person := range s.people {
			b.people[person] = b.people[person].remove(p)
		}
	})
	if s.unit >= 0 {
		k := b.acts[i].kit
		b.kit[k][s.unit] = b.kit[k][s.unit].remove(piece{s.from, s.to})
	}
	return s
}
