package solve

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

// cover takes what is free of p.
func (b busy) cover(p piece) busy {
	for from := p.from; from < p.to; {
		to := p.to
		if i := b.next(from); i < len(b) && b[i].from < p.to {
			if b[i].from <= from {
				from = b[i].to
				continue
			}
			to = b[i].from
		}
		b = b.add(piece{from, to})
		from = to
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
	ByNothing = iota
	ByWait    // Who = index into Before
	ByPerson  // Who = person
	ByKitUse  // Who = kit
	ByRoom
	ByAbsence
	ByWet    // Who = the other activity
	ByBreak  // no stretch left that is long enough, or a day left free on purpose
	ByNext   // kept back so that a latest start is met
	ByChoice // kept back for the good of the whole
	ByPin    // held to a day
	ByWindow // by rules only: has to begin soon enough after another
)

// Held is what an activity waited for last.
type Held struct{ By, Who int }

// Slot is where an activity lies.
type Slot struct {
	Begin, End int    // site minutes
	Work       []Span // site minutes, parted by breaks and nights
	People     []int  // in the order of needs
	Unit       int    // of the kit, -1 = none
	Why        Held

	from, to int     // work minutes
	more     []piece // work minutes of its pieces, where days lie between; nil = one
	past     []piece // work minutes of what is done of a fact
	placed   bool
	kept     bool // back, to make the whole better
}

func (s *Slot) each(f func(piece)) {
	for _, p := range s.past {
		f(p)
	}
	s.ahead(f)
}

// ahead goes through the pieces that are no facts.
func (s *Slot) ahead(f func(piece)) {
	if s.more == nil && s.from < s.to {
		f(piece{s.from, s.to})
	}
	for _, p := range s.more {
		f(p)
	}
}

// board is a plan in the making.
type board struct {
	*Problem
	way
	slots   []Slot
	busy    []busy   // by person
	stays   [][]stay // by person, ascending
	kit     [][]busy
	hands   [][]int // by group
	done    []int   // by person, minutes
	led     []int   // by person, minutes as the first of several
	endless bool    // ran past the end of the calendar
	queue   queue
	waiting []int // by activity, waits for what is not placed
	hulls   []piece
}

func newBoard(p *Problem) *board {
	n := len(p.Acts)
	b := &board{Problem: p, way: way{key: make([]float64, n), floor: make([]int, n)}, slots: make([]Slot, n), busy: make([]busy, len(p.People)),
		stays: make([][]stay, len(p.People)), hands: make([][]int, p.Groups), done: make([]int, len(p.People)), led: make([]int, len(p.People)),
		queue: queue{near: make([]bool, n)}, waiting: make([]int, n)}
	for _, count := range p.Kits {
		b.kit = append(b.kit, make([]busy, count))
	}
	return b
}

// clear makes room for another plan.
func (b *board) clear() {
	clear(b.slots)
	for k := range b.busy {
		b.busy[k], b.stays[k] = b.busy[k][:0], b.stays[k][:0]
	}
	for _, units := range b.kit {
		for u := range units {
			units[u] = units[u][:0]
		}
	}
	clear(b.hands)
	clear(b.done)
	clear(b.led)
	b.endless = false
}

func marked(mask []bool, i int) bool { return i < len(mask) && mask[i] }

// away tells why the open day cannot be used by these people in this room.
func (b *board) away(day, room int, people []int) (int, bool) {
	if marked(b.drop, day) {
		return ByBreak, true
	}
	if marked(b.Shut[room], day) {
		return ByRoom, true
	}
	for _, p := range people {
		if marked(b.People[p].Off, day) {
			return ByAbsence, true
		}
	}
	return 0, false
}

// pieces lays out the work from w over the usable days.
func (b *board) pieces(a *Activity, w int, people []int, s *Slot) {
	length := b.Calendar.length
	s.from, s.to, s.more = w, w+a.rest, nil
	if a.long {
		b.longPieces(a, people, s)
		return
	}
	if w%length+a.rest <= length {
		return
	}
	rest := a.rest
	for day := w / length; rest > 0; day++ {
		if day > lastDay {
			b.endless = true
			return
		}
		if _, away := b.away(day, a.Room, people); away {
			continue
		}
		start := max(w, day*length)
		s.to = min(start+rest, (day+1)*length)
		rest -= s.to - start
		s.more = append(s.more, piece{start, s.to})
	}
	s.close()
}

// longPieces lays out work that runs through breaks, each day from its start.
func (b *board) longPieces(a *Activity, people []int, s *Slot) {
	length := b.Calendar.length
	rest := a.rest
	for day := s.from / length; rest > 0; day++ {
		if day > lastDay {
			b.endless = true
			return
		}
		if _, away := b.away(day, a.Room, people); away {
			continue
		}
		done := min(rest, b.Calendar.stretch())
		rest -= done
		s.End = b.Calendar.begins(day*length) + done
		s.to = min(b.Calendar.from(s.End), (day+1)*length)
		s.more = append(s.more, piece{day * length, s.to})
	}
	s.close()
}

// close forgets pieces that follow each other without a gap.
func (s *Slot) close() {
	if s.more[len(s.more)-1].to-s.more[0].from == total(s.more) {
		s.more = nil
	}
}

// clock puts a slot into site minutes.
func (b *board) clock(a *Activity, s *Slot) {
	s.Begin = b.Calendar.begins(s.from)
	if !a.long {
		s.End = b.Calendar.ends(s.to)
	}
}

// stretches parts the work of an activity at breaks and nights; what had to run
// through breaks is parted at nights only.
func (b *board) stretches(a *Activity, s *Slot) (list []Span) {
	c := b.Calendar
	if a.Fact != nil {
		list = b.spans(a.Fact)
	}
	s.ahead(func(p piece) {
		for w := p.from; w < p.to; {
			start := w / c.length * c.length
			end := min(p.to, start+c.before[c.span(w-start)+1])
			to := c.ends(end)
			if a.long {
				end = min(p.to, start+c.length)
				to = min(s.End, c.begins(start)+c.stretch())
			}
			list = append(list, Span{c.begins(w), to})
			w = end
		}
	})
	return list
}

func total(ps []piece) (t int) {
	for _, p := range ps {
		t += p.to - p.from
	}
	return t
}

// fits moves w to the next work minute at which the activity could begin as far
// as days and breaks go.
func (b *board) fits(a *Activity, w int, people []int, why *Held) (int, bool) {
	length := b.Calendar.length
	day, offset := w/length, w%length
	if by, away := b.away(day, a.Room, people); away {
		*why = Held{By: by}
		return (day + 1) * length, false
	}
	if a.long {
		if offset > 0 {
			return (day + 1) * length, false
		}
		return w, true
	}
	end := b.Calendar.before[b.Calendar.span(offset)+1]
	need := min(goodStart, a.rest)
	if a.Unbroken {
		need = a.rest
	}
	if offset+need > end {
		if why.By == ByNothing {
			why.By = ByBreak
		}
		return day*length + end, false
	}
	return w, true
}

// earliest finds the first place for the activity from work minute w on, with
// these people. It gives up beyond limit.
func (b *board) earliest(i, w int, people []int, why Held, limit int) (Slot, bool) {
	a := &b.Acts[i]
	s := Slot{People: people, Unit: -1, Why: why}
search:
	for w <= limit {
		if w/b.Calendar.length > lastDay {
			b.endless = true
			return s, false
		}
		var ok bool
		if w, ok = b.fits(a, w, people, &s.Why); !ok {
			continue
		}
		for _, p := range people { // quick: somebody is busy at this minute
			if free, until := b.busy[p].free(piece{w, w + 1}); !free {
				w, s.Why = until, Held{ByPerson, p}
				continue search
			}
		}
		b.pieces(a, w, people, &s)
		if until, why, ok := b.clash(i, &s); !ok {
			w, s.Why = until, why
			continue
		}
		b.clock(a, &s)
		return s, true
	}
	return s, false
}

// clash looks for people, kit and wet corners in the way of a slot.
func (b *board) clash(i int, s *Slot) (until int, why Held, ok bool) {
	a := &b.Acts[i]
	ok = true
	s.ahead(func(p piece) {
		for _, person := range s.People {
			if free, u := b.busy[person].free(p); !free && u > until {
				until, why, ok = u, Held{ByPerson, person}, false
			}
		}
	})
	if !ok {
		return until, why, false
	}
	if a.Kit >= 0 {
		s.Unit = -1
		for u, taken := range b.kit[a.Kit] {
			free, later := taken.free(piece{s.from, s.to})
			if free {
				s.Unit = u
				break
			}
			if until == 0 || later < until {
				until, why = later, Held{ByKitUse, a.Kit}
			}
		}
		if s.Unit < 0 {
			return until, why, false
		}
	}
	if len(a.Wet) > 0 {
		b.clock(a, s)
	}
	for _, k := range a.Wet {
		o := &b.slots[k]
		if o.placed && k != i && s.Begin < o.End+b.Acts[k].Touch && s.End+a.Touch > o.Begin {
			return max(b.Calendar.from(tidy(o.End+b.Acts[k].Touch)), s.from+1), Held{ByWet, k}, false
		}
	}
	return 0, Held{}, true
}

// put and take move a slot on and off the board.
func (b *board) put(i int, s Slot) {
	s.placed = true
	b.slots[i] = s
	s.each(func(p piece) {
		for _, person := range s.People {
			b.busy[person] = b.busy[person].cover(p) // facts may overlap
			for w := p.from; w < p.to; w = (w/b.Calendar.length + 1) * b.Calendar.length {
				at := b.staysBefore(person, w)
				b.stays[person] = slices.Insert(b.stays[person], at, stay{w, b.Acts[i].Room})
			}
		}
	})
	if s.Unit >= 0 {
		k := b.Acts[i].Kit
		b.kit[k][s.Unit] = b.kit[k][s.Unit].add(piece{s.from, s.to})
	}
}

func (b *board) take(i int) Slot {
	s := b.slots[i]
	b.slots[i].placed = false
	s.each(func(p piece) {
		for _, person := range s.People {
			b.busy[person] = b.busy[person].remove(p)
			for w := p.from; w < p.to; w = (w/b.Calendar.length + 1) * b.Calendar.length {
				at := b.staysBefore(person, w)
				b.stays[person] = slices.Delete(b.stays[person], at, at+1)
			}
		}
	})
	if s.Unit >= 0 {
		k := b.Acts[i].Kit
		b.kit[k][s.Unit] = b.kit[k][s.Unit].remove(piece{s.from, s.to})
	}
	return s
}

// why is what keeps an activity from beginning earlier, all others staying where they are;
// where nothing does, that it was kept back.
func (b *board) why(i int) Held {
	if b.Acts[i].Fact != nil {
		return b.slots[i].Why
	}
	s := b.take(i)
	at, why := b.release(i)
	found, ok := b.earliest(i, b.Calendar.from(tidy(at)), s.People, why, s.from)
	b.put(i, s)
	if ok && found.from == s.from {
		return found.Why
	}
	for _, l := range b.Acts[i].after {
		if l.Until > 0 {
			return Held{By: ByNext}
		}
	}
	return Held{By: ByChoice}
}

// stay is the room somebody works in from a work minute on, each day anew.
type stay struct{ from, room int }

// staysBefore counts the stays of a person that begin before w.
func (b *board) staysBefore(person, w int) int {
	own := b.stays[person]
	return sort.Search(len(own), func(k int) bool { return own[k].from >= w })
}

// moves reports whether stay k of a person follows another room on the same day.
func (b *board) moves(person, k int) bool {
	own := b.stays[person]
	return k > 0 && own[k].room != own[k-1].room && b.sameDay(own[k].from, own[k-1].from)
}

func (b *board) sameDay(v, w int) bool { return v/b.Calendar.length == w/b.Calendar.length }

// comers counts who of these people would come into the room from another one
// to be there at w.
func (b *board) comers(people []int, w, room int) (n int) {
	for _, p := range people {
		if at := b.staysBefore(p, w); at > 0 {
			if last := b.stays[p][at-1]; last.room != room && b.sameDay(last.from, w) {
				n++
			}
		}
	}
	return n
}

// days goes through the open days on which something is worked at.
func (s *Slot) days(length int, f func(d int)) {
	s.ahead(func(p piece) {
		for d := p.from / length; d*length < p.to; d++ {
			f(d)
		}
	})
}

// on tells whether something is worked at on an open day.
func (s *Slot) on(day, length int) (found bool) {
	s.days(length, func(d int) { found = found || d == day })
	return found
}
