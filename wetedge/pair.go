package wetedge

import "math"

// crew is who works a wall and how fast. Times are minutes, paces m2/min and m/min.
type crew struct {
	people  int
	lay     float64
	work    float64
	cutIn   float64
	tall    float64 // factor on time above reach from the floor
	refill  float64
	tray    float64 // m2 a filling lays
	clean   float64 // m2 between cleanings
	wipe    float64
	shift   float64
	climb   float64
	dwell   float64 // paper stays; 0 = none
	patient float64 // and may stay longer by so much
}

// Turn is something one person does.
type Turn struct {
	Who   string  `json:"who"` // lays | works | helps
	What  string  `json:"what"`
	Piece int     `json:"piece"` // number of the section, 0 = none
	From  float64 `json:"from"`  // min
	To    float64 `json:"to"`
}

// What is done in a turn.
const (
	Lay    = "lay"
	CutIn  = "cut in"
	Refill = "refill"
	Shift  = "move"
	Clean  = "clean"
	Work   = "work"
	Press  = "press"
	Lift   = "lift"
)

// course is when every piece is laid and worked, min.
type course struct {
	lay, work [][2]float64 // from the top of a piece to its foot
	end       float64
	turns     []Turn
}

// pressShare of the working time goes into pressing paper on, the rest into lifting it (own default).
const pressShare = 0.7

// run lets a crew do a layout. The first piece is laid at 0. With two, the next piece is laid so
// that it is finished when the other is free for it: glaze that waits for the tool only grows
// old. A third hand cuts in, fills trays and moves what is stood on. With turns, all that
// is done is noted.
func (c *crew) run(l *Layout, noted bool) course {
	n := len(l.Pieces)
	r := course{lay: make([][2]float64, n), work: make([][2]float64, n)}
	w := worker{crew: c, course: &r, noted: noted}
	layer, left := 0.0, c.tray
	for k := range l.Pieces {
		p := &l.Pieces[k]
		before, lay := c.before(l, k), p.Area/c.lay*c.height(p)
		cut, filling := p.Edge/c.cutIn, 0.0
		if left < p.Area {
			filling = c.refill
			left = max(c.tray, p.Area)
		}
		left -= p.Area
		start := layer
		switch c.people {
		case 1: // the same person: after the piece before is worked
			start = max(layer, w.free)
		default:
			ahead := lay
			if c.people == 2 {
				ahead += before + cut + filling
			}
			start = max(layer, w.free-ahead)
		}
		if k == 0 {
			start = 0
		}
		note := func(who, what string, piece int, from, to float64) {
			if noted && to > from {
				r.turns = append(r.turns, Turn{who, what, piece, from, to})
			}
		}
		if c.people >= 3 {
			w.finish(start - before - cut - filling) // papers that are due come first
			ready := max(w.lifter, start-before-cut-filling)
			helper := ready + before + cut + filling
			w.lifter = helper
			note("helps", Shift, 0, ready, ready+before)
			note("helps", Refill, 0, ready+before, ready+before+filling)
			note("helps", CutIn, p.Number, ready+before+filling, helper)
			start = max(start, helper)
			r.lay[k] = [2]float64{helper - cut, start + lay}
		} else {
			note("lays", Shift, 0, start, start+before)
			note("lays", Refill, 0, start+before, start+before+filling)
			begin := start + before + filling
			note("lays", CutIn, p.Number, begin, begin+cut)
			r.lay[k] = [2]float64{begin, begin + cut + lay} // edges are a part of laying: the piece grows old from its first stroke
			start = begin + cut
		}
		note("lays", Lay, p.Number, start, start+lay)
		layer = r.lay[k][1]
		w.work(l, k)
		if c.people == 1 {
			w.finish(math.Inf(1))
		}
	}
	w.finish(math.Inf(1))
	for k := range r.work {
		r.end = max(r.end, r.work[k][1])
	}
	return r
}

// height is the factor on time for a piece above reach from the floor.
func (c *crew) height(p *Piece) float64 {
	if p.Stand == "floor" {
		return 1
	}
	return c.tall
}

// before is what moving takes before a piece: the steps or platform to a new column, and up or down.
func (c *crew) before(l *Layout, k int) float64 {
	p := &l.Pieces[k]
	if k == 0 {
		return 0
	}
	q, t := &l.Pieces[k-1], 0.0
	if p.Column != q.Column && p.Stand != "floor" {
		t += c.shift
	}
	if p.Stand != q.Stand {
		t += c.climb
	}
	return t
}

// worker is the one who works the glaze.
type worker struct {
	*crew
	course *course
	noted  bool
	free   float64
	since  float64 // m2 since the tool was cleaned
	papers []paper
	lifter float64 // when a third hand is free
}

// paper is a piece with paper on it.
type paper struct {
	piece       int
	number      int
	due, lifted float64 // when it may be lifted, how long that takes
}

func (w *worker) note(who, what string, piece int, from, to float64) {
	if w.noted && to > from {
		w.course.turns = append(w.course.turns, Turn{who, what, piece, from, to})
	}
}

// work does a piece once it is laid: cleaning first where that is due.
func (w *worker) work(l *Layout, k int) {
	p := &l.Pieces[k]
	need := p.Area / w.crew.work * w.height(p)
	ready := w.course.lay[k][1]
	if w.people == 1 {
		w.free = max(w.free, ready)
	} else {
		w.shiftFor(l, k)
	}
	if w.since > 0 && w.since+p.Area > w.clean {
		w.note("works", Clean, 0, w.free, w.free+w.wipe)
		w.free += w.wipe
		w.since = 0
	}
	w.since += p.Area
	if w.dwell > 0 {
		press := need * pressShare
		w.finish(max(w.free, ready) + press) // what would wait too long is lifted first
		from := max(w.free, ready)
		w.note("works", Press, p.Number, from, from+press)
		w.free = from + press
		w.papers = append(w.papers, paper{k, p.Number, w.free + w.dwell, need - press})
		return
	}
	from := max(w.free, ready)
	w.course.work[k] = [2]float64{from, from + need}
	w.note("works", Work, p.Number, from, from+need)
	w.free = from + need
}

// shiftFor moves the worker's own steps. With one to help, the helper does it.
func (w *worker) shiftFor(l *Layout, k int) {
	if w.people >= 3 {
		return
	}
	if t := w.before(l, k); t > 0 {
		w.note("works", Shift, 0, w.free, w.free+t)
		w.free += t
	}
}

// finish lifts the papers that would have lain longer than is good by the given minute.
func (w *worker) finish(until float64) {
	for len(w.papers) > 0 && w.papers[0].due+w.patient < until {
		p := w.papers[0]
		w.papers = w.papers[1:]
		who, free := "works", &w.free
		if w.people >= 3 {
			who, free = "helps", &w.lifter
		}
		from := max(*free, p.due)
		w.course.work[p.piece] = [2]float64{from, from + p.lifted}
		w.note(who, Lift, p.number, from, from+p.lifted)
		*free = from + p.lifted
	}
}
