package solve

import (
	"slices"

	"scumble/schedule/place"
)

// How plans are tidied (own defaults, settled on the demonstration begun on other days and by other crews, and on
// made-up jobs of 200 steps; figures of a stretch half or twice as large came to the same).
const (
	tidyFirst = 30  // plans it may take the work of, before any is disturbed
	tidyRound = 3   // part of the work of each round of disturbing
	tidyLast  = 5   // part of the whole, kept for the plan that was asked about
	tidyLeast = 0.2 // working days that are looked at at once
	tidyMost  = 1.2
	tidyBlur  = 20 // work minutes by which the order is blurred
	tidyWorth = 4  // so many times what a move counts for, or fewer
)

// tidyBetween tidies before more plans are built. What is left when no more are is not spent on it: a longer
// search builds on instead, from the plan as it was, and might never meet the one tidied.
func (s *search) tidyBetween(placements int) {
	if s.going() {
		s.tidy(min(s.left, placements))
	}
}

// tidy makes the best plan better by little and little: what lies in a stretch of time is taken out and put back in
// another order, all else staying where it is. That is far less work than a whole plan, so that very many
// orders can be tried, and finds what a crew feels: hours without work, and ways from room to room.
func (s *search) tidy(placements int) {
	t := &tidying{search: s, key: make([]float64, len(s.Acts)), out: make([]bool, len(s.Acts))}
	before, changed := s.best.goal, false
	for placements > 0 && !s.stop() {
		t.draw()
		placements -= len(t.acts) + 1
		s.left -= len(t.acts) + 1
		if len(t.acts) < 2 {
			continue
		}
		if t.again() {
			changed = true
		} else {
			t.restore()
		}
	}
	if !changed {
		return
	}
	if s.best.weigh(); s.best.goal.Less(before) {
		s.found++
	}
	if s.effort.Watch != nil {
		s.effort.Watch(s.plan())
	}
}

// tidying is one stretch of the best plan at a time.
type tidying struct {
	*search
	from, width int   // of the stretch, work minutes
	acts        []int // that lie in it
	was         []place.Slot
	key         []float64 // by activity, put back least first
	out         []bool    // by activity: taken out
	worked      []int     // by open day, for the plan that is tried
}

// draw takes a stretch by chance, and the order in which its activities are put back.
func (t *tidying) draw() {
	b, length := t.best, t.Calendar.Length
	t.width = int(float64(length) * t.between(tidyLeast, tidyMost))
	t.from = t.below(len(b.worked)*length+t.width) - t.width
	t.acts = t.acts[:0]
	for i := range b.Slots {
		if s := &b.Slots[i]; t.Acts[i].Fact == nil && s.More == nil && s.From >= t.from && s.To <= t.from+t.width {
			t.acts = append(t.acts, i)
		}
	}
	rooms := map[int]float64{}
	shuffled := t.below(2) == 0
	for _, i := range t.acts {
		room, at := t.Acts[i].Room, float64(b.Slots[i].From)
		if first, known := rooms[room]; shuffled && !known {
			rooms[room] = float64(t.from) + t.unit()*float64(t.width)
		} else if !shuffled && (!known || at < first) {
			rooms[room] = at
		}
	}
	for _, i := range t.acts {
		at := float64(b.Slots[i].From)
		t.key[i] = rooms[t.Acts[i].Room] + t.between(-tidyBlur, tidyBlur) + (at-float64(t.from))/float64(t.width)
	}
}

// again takes the activities out and puts them back, each at its earliest. It is false where that cannot be
// or makes the plan worse.
func (t *tidying) again() bool {
	b, worth := t.best, t.best.Worth
	defer func() { b.Worth = worth }()
	t.was = t.was[:0]
	for _, i := range t.acts {
		t.was, t.out[i] = append(t.was, b.Take(i)), true
	}
	b.Worth = place.MoveWorth * t.below(tidyWorth)
	for range t.acts {
		i := t.next()
		b.Floor[i] = 0
		slot, ok := b.Choose(i)
		if !ok || t.disturbs(i, &slot) {
			b.Endless = false
			return false
		}
		b.Put(i, slot)
		t.out[i] = false
	}
	t.worked = b.Attendance(t.worked[:0])
	goal := b.Measure(t.worked)
	if b.goal.Less(goal) {
		return false
	}
	b.goal, b.worked, t.worked = goal, t.worked, b.worked
	return true
}

// next is what is put back next: of what waits for nothing that is out, the least by key.
func (t *tidying) next() int {
	next := -1
	for _, i := range t.acts {
		waits := func(l place.Link) bool { return t.out[l.On] }
		if t.out[i] && (next < 0 || t.key[i] < t.key[next]) && !slices.ContainsFunc(t.Acts[i].Before, waits) {
			next = i
		}
	}
	return next
}

// disturbs tells whether what waits for an activity could not stay where it is.
func (t *tidying) disturbs(i int, s *place.Slot) bool {
	return slices.ContainsFunc(t.Acts[i].After, func(l place.Link) bool {
		return !t.out[l.On] && t.best.Slots[l.On].Begin < s.End+l.LagAfter(s.End)
	})
}

// restore puts everything back where it was.
func (t *tidying) restore() {
	for _, i := range t.acts {
		if !t.out[i] {
			t.best.Take(i)
		}
		t.out[i] = false
	}
	for k, i := range t.acts {
		t.best.Put(i, t.was[k])
	}
}
