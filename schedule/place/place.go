package place

import (
	"slices"
	"sort"
)

// Piece is a stretch of work minutes.
type Piece struct{ From, To int }

// busy is the work minutes somebody or something is taken, ascending, joined.
type busy []Piece

// next is the first stretch that ends after w.
func (b busy) next(w int) int {
	return sort.Search(len(b), func(i int) bool { return b[i].To > w })
}

// Free reports whether nothing is taken in p; if something is, until when.
func (b busy) free(p Piece) (bool, int) {
	if i := b.next(p.From); i < len(b) && b[i].From < p.To {
		return false, b[i].To
	}
	return true, 0
}

func (b busy) add(p Piece) busy {
	i := b.next(p.From)
	joinsLeft := i > 0 && b[i-1].To == p.From
	joinsRight := i < len(b) && b[i].From == p.To
	switch {
	case joinsLeft && joinsRight:
		b[i-1].To = b[i].To
		return slices.Delete(b, i, i+1)
	case joinsLeft:
		b[i-1].To = p.To
	case joinsRight:
		b[i].From = p.From
	default:
		return slices.Insert(b, i, p)
	}
	return b
}

// cover takes what is free of p.
func (b busy) cover(p Piece) busy {
	for from := p.From; from < p.To; {
		to := p.To
		if i := b.next(from); i < len(b) && b[i].From < p.To {
			if b[i].From <= from {
				from = b[i].To
				continue
			}
			to = b[i].From
		}
		b = b.add(Piece{from, to})
		from = to
	}
	return b
}

func (b busy) remove(p Piece) busy {
	i := b.next(p.From)
	old := b[i]
	switch {
	case old == p:
		return slices.Delete(b, i, i+1)
	case old.From == p.From:
		b[i].From = p.To
	case old.To == p.To:
		b[i].To = p.From
	default:
		b[i].To = p.From
		return slices.Insert(b, i+1, Piece{p.To, old.To})
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

	From, To int     // work minutes
	More     []Piece // work minutes of its pieces, where days lie between; nil = one
	past     []Piece // work minutes of what is done of a fact
	placed   bool
	kept     bool // back, to make the whole better
}

func (s *Slot) each(f func(Piece)) {
	for _, p := range s.past {
		f(p)
	}
	s.ahead(f)
}

// ahead goes through the pieces that are no facts.
func (s *Slot) ahead(f func(Piece)) {
	if s.More == nil && s.From < s.To {
		f(Piece{s.From, s.To})
	}
	for _, p := range s.More {
		f(p)
	}
}

// Board is a plan in the making.
type Board struct {
	*Problem
	Way
	Slots   []Slot
	busy    []busy   // by person
	stays   [][]stay // by person, ascending
	kit     [][]busy
	Hands   [][]int // by group
	done    []int   // by person, minutes
	led     []int   // by person, minutes as the first of several
	Endless bool    // ran past the end of the calendar
	queue   queue
	waiting []int // by activity, waits for what is not placed
	hulls   []Piece
}

// NewBoard is an empty board for a problem that is prepared.
func NewBoard(p *Problem) *Board {
	n := len(p.Acts)
	b := &Board{Problem: p, Way: Way{Key: make([]float64, n), Floor: make([]int, n)}, Slots: make([]Slot, n), busy: make([]busy, len(p.People)),
		stays: make([][]stay, len(p.People)), Hands: make([][]int, p.Groups), done: make([]int, len(p.People)), led: make([]int, len(p.People)),
		queue: queue{near: make([]bool, n)}, waiting: make([]int, n)}
	for _, count := range p.Kits {
		b.kit = append(b.kit, make([]busy, count))
	}
	return b
}

// clear makes room for another plan.
func (b *Board) clear() {
	clear(b.Slots)
	for k := range b.busy {
		b.busy[k], b.stays[k] = b.busy[k][:0], b.stays[k][:0]
	}
	for _, units := range b.kit {
		for u := range units {
			units[u] = units[u][:0]
		}
	}
	clear(b.Hands)
	clear(b.done)
	clear(b.led)
	b.Endless = false
}

// Marked reports whether a mask holds at an index, also beyond its end, where nothing is marked.
func Marked(mask []bool, i int) bool { return i < len(mask) && mask[i] }

// away tells why the open day cannot be used by these people in this room.
func (b *Board) away(day, room int, people []int) (int, bool) {
	if Marked(b.Drop, day) {
		return ByBreak, true
	}
	if Marked(b.Shut[room], day) {
		return ByRoom, true
	}
	for _, p := range people {
		if Marked(b.People[p].Off, day) {
			return ByAbsence, true
		}
	}
	return 0, false
}

// pieces lays out the work from w over the usable days.
func (b *Board) pieces(a *Activity, w int, people []int, s *Slot) {
	length := b.Calendar.Length
	s.From, s.To, s.More = w, w+a.Rest, nil
	if a.Long {
		b.longPieces(a, people, s)
		return
	}
	if w%length+a.Rest <= length {
		return
	}
	rest := a.Rest
	for day := w / length; rest > 0; day++ {
		if day > lastDay {
			b.Endless = true
			return
		}
		if _, away := b.away(day, a.Room, people); away {
			continue
		}
		start := max(w, day*length)
		s.To = min(start+rest, (day+1)*length)
		rest -= s.To - start
		s.More = append(s.More, Piece{start, s.To})
	}
	s.close()
}

// longPieces lays out work that runs through breaks, each day from its start.
func (b *Board) longPieces(a *Activity, people []int, s *Slot) {
	length := b.Calendar.Length
	rest := a.Rest
	for day := s.From / length; rest > 0; day++ {
		if day > lastDay {
			b.Endless = true
			return
		}
		if _, away := b.away(day, a.Room, people); away {
			continue
		}
		done := min(rest, b.Calendar.Stretch())
		rest -= done
		s.End = b.Calendar.Begins(day*length) + done
		s.To = min(b.Calendar.From(s.End), (day+1)*length)
		s.More = append(s.More, Piece{day * length, s.To})
	}
	s.close()
}

// close forgets pieces that follow each other without a gap.
func (s *Slot) close() {
	if s.More[len(s.More)-1].To-s.More[0].From == total(s.More) {
		s.More = nil
	}
}

// clock puts a slot into site minutes.
func (b *Board) clock(a *Activity, s *Slot) {
	s.Begin = b.Calendar.Begins(s.From)
	if !a.Long {
		s.End = b.Calendar.Ends(s.To)
	}
}

// Stretches parts the work of an activity at breaks and nights; what had to run
// through breaks is parted at nights only.
func (b *Board) Stretches(a *Activity, s *Slot) (list []Span) {
	c := b.Calendar
	if a.Fact != nil {
		list = b.spans(a.Fact)
	}
	s.ahead(func(p Piece) {
		for w := p.From; w < p.To; {
			start := w / c.Length * c.Length
			end := min(p.To, start+c.Before[c.Span(w-start)+1])
			to := c.Ends(end)
			if a.Long {
				end = min(p.To, start+c.Length)
				to = min(s.End, c.Begins(start)+c.Stretch())
			}
			list = append(list, Span{c.Begins(w), to})
			w = end
		}
	})
	return list
}

func total(ps []Piece) (t int) {
	for _, p := range ps {
		t += p.To - p.From
	}
	return t
}

// fits moves w to the next work minute at which the activity could begin as far
// as days and breaks go.
func (b *Board) fits(a *Activity, w int, people []int, why *Held) (int, bool) {
	length := b.Calendar.Length
	day, offset := w/length, w%length
	if by, away := b.away(day, a.Room, people); away {
		*why = Held{By: by}
		return (day + 1) * length, false
	}
	if a.Long {
		if offset > 0 {
			return (day + 1) * length, false
		}
		return w, true
	}
	if later := b.Calendar.Begin(a, offset); later > offset {
		if why.By == ByNothing {
			why.By = ByBreak
		}
		return day*length + later, false
	}
	return w, true
}

// Earliest finds the first place for the activity from work minute w on, with
// these people. It gives up beyond limit.
func (b *Board) Earliest(i, w int, people []int, why Held, limit int) (Slot, bool) {
	a := &b.Acts[i]
	s := Slot{People: people, Unit: -1, Why: why}
search:
	for w <= limit {
		if w/b.Calendar.Length > lastDay {
			b.Endless = true
			return s, false
		}
		var ok bool
		if w, ok = b.fits(a, w, people, &s.Why); !ok {
			continue
		}
		for _, p := range people { // quick: somebody is busy at this minute
			if free, until := b.busy[p].free(Piece{w, w + 1}); !free {
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
func (b *Board) clash(i int, s *Slot) (until int, why Held, ok bool) {
	a := &b.Acts[i]
	ok = true
	s.ahead(func(p Piece) {
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
			free, later := taken.free(Piece{s.From, s.To})
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
		o := &b.Slots[k]
		if o.placed && k != i && s.Begin < o.End+b.Acts[k].Touch && s.End+a.Touch > o.Begin {
			return max(b.Calendar.From(Tidy(o.End+b.Acts[k].Touch)), s.From+1), Held{ByWet, k}, false
		}
	}
	return 0, Held{}, true
}

// HasRoom reports whether the people, the kit and the corners of a slot are free.
func (b *Board) HasRoom(i int, s Slot) bool {
	_, _, ok := b.clash(i, &s)
	return ok
}

// Put and Take move a slot on and off the board.
func (b *Board) Put(i int, s Slot) {
	s.placed = true
	b.Slots[i] = s
	s.each(func(p Piece) {
		for _, person := range s.People {
			b.busy[person] = b.busy[person].cover(p) // facts may overlap
			for w := p.From; w < p.To; w = (w/b.Calendar.Length + 1) * b.Calendar.Length {
				own := b.stays[person]
				at := sort.Search(len(own), func(k int) bool { return own[k].from > w || own[k].from == w && own[k].act > i })
				b.stays[person] = slices.Insert(own, at, stay{w, b.Acts[i].Room, i})
			}
		}
	})
	if s.Unit >= 0 {
		k := b.Acts[i].Kit
		b.kit[k][s.Unit] = b.kit[k][s.Unit].add(Piece{s.From, s.To})
	}
}

func (b *Board) Take(i int) Slot {
	s := b.Slots[i]
	b.Slots[i].placed = false
	s.each(func(p Piece) {
		for _, person := range s.People {
			b.busy[person] = b.busy[person].remove(p)
			for w := p.From; w < p.To; w = (w/b.Calendar.Length + 1) * b.Calendar.Length {
				at := b.staysBefore(person, w)
				b.stays[person] = slices.Delete(b.stays[person], at, at+1)
			}
		}
	})
	if s.Unit >= 0 {
		k := b.Acts[i].Kit
		b.kit[k][s.Unit] = b.kit[k][s.Unit].remove(Piece{s.From, s.To})
	}
	return s
}

// Why is what keeps an activity from beginning earlier, all others staying where they are;
// where nothing does, that it was kept back.
func (b *Board) Why(i int) Held {
	if b.Acts[i].Fact != nil {
		return b.Slots[i].Why
	}
	s := b.Take(i)
	at, why := b.Release(i)
	found, ok := b.Earliest(i, b.Calendar.From(Tidy(at)), s.People, why, s.From)
	b.Put(i, s)
	if ok && found.From == s.From {
		return found.Why
	}
	for _, l := range b.Acts[i].After {
		if l.Until > 0 {
			return Held{By: ByNext}
		}
	}
	return Held{By: ByChoice}
}

// stay is the room somebody works in from a work minute on, each day anew. Of two that begin at once,
// which facts may say, the activity given first comes first.
type stay struct{ from, room, act int }

// staysBefore counts the stays of a person that begin before w.
func (b *Board) staysBefore(person, w int) int {
	own := b.stays[person]
	return sort.Search(len(own), func(k int) bool { return own[k].from >= w })
}

// moves reports whether stay k of a person follows another room on the same day.
func (b *Board) moves(person, k int) bool {
	own := b.stays[person]
	return k > 0 && own[k].room != own[k-1].room && b.sameDay(own[k].from, own[k-1].from)
}

func (b *Board) sameDay(v, w int) bool { return v/b.Calendar.Length == w/b.Calendar.Length }

// comers counts who of these people would come into the room from another one
// to be there at w.
func (b *Board) comers(people []int, w, room int) (n int) {
	for _, p := range people {
		if at := b.staysBefore(p, w); at > 0 {
			if last := b.stays[p][at-1]; last.room != room && b.sameDay(last.from, w) {
				n++
			}
		}
	}
	return n
}

// Days goes through the open days on which something is worked at.
func (s *Slot) Days(length int, f func(d int)) {
	s.ahead(func(p Piece) {
		for d := p.From / length; d*length < p.To; d++ {
			f(d)
		}
	})
}

// On tells whether something is worked at on an open day.
func (s *Slot) On(day, length int) (found bool) {
	s.Days(length, func(d int) { found = found || d == day })
	return found
}
