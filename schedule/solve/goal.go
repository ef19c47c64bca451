package solve

import (
	"math"
	"slices"
)

// goal is what makes one programme better than another, in the order in
// which a crew pays for it: windows missed, site days, starts on another day than agreed,
// visits, the day of the finish, idle time, moves between rooms, work kept back, the time left
// to the tightest window, the hour of the finish.
type goal struct{ late, days, visits, finish, moved, idle, moves, kept, tightest int }

func (g goal) less(o goal) bool {
	return slices.Compare([]int{g.late, g.days, g.moved, g.visits, (g.finish - 1) / day, g.idle, g.moves, g.kept, -g.tightest, g.finish},
		[]int{o.late, o.days, o.moved, o.visits, (o.finish - 1) / day, o.idle, o.moves, o.kept, -o.tightest, o.finish}) < 0
}

// windows counts the latest starts that are missed, and finds the least time left to
// one that is not, and not past.
func (b *board) windows(g *goal) {
	g.tightest = math.MaxInt
	for i := range b.slots {
		for _, l := range b.Acts[i].Before {
			if l.Until == 0 {
				continue
			}
			end := b.slots[l.On].End
			left := end + l.LatestAfter(end) - b.slots[i].Begin
			if left < 0 {
				g.late++
			} else if b.Acts[i].Fact == nil {
				g.tightest = min(g.tightest, left)
			}
		}
	}
}

// attendance adds, by open day, the minutes worked there by all to an empty list.
func (b *board) attendance(worked []int) []int {
	for i := range b.slots {
		s := &b.slots[i]
		s.each(func(p piece) {
			for w := p.from; w < p.to; {
				day := w / b.Calendar.length
				for len(worked) <= day {
					worked = append(worked, 0)
				}
				end := min(p.to, (day+1)*b.Calendar.length)
				worked[day] += (end - w) * len(s.People)
				w = end
			}
		})
	}
	return worked
}

// measure finds the goal of a plan with the attendance given.
func (b *board) measure(worked []int) (g goal) {
	b.windows(&g)
	for _, m := range worked {
		g.idle -= m
	}
	g.days, g.visits = b.past.visits(worked)
	b.hulls = append(b.hulls[:0], make([]piece, len(worked)*len(b.People))...)
	for i := range b.slots {
		s := &b.slots[i]
		g.finish = max(g.finish, s.End)
		if s.kept {
			g.kept++
		}
		if agreed := b.Acts[i].Agreed; agreed > 0 && s.Begin/day != agreed-1 {
			g.moved++
		}
		s.each(func(p piece) {
			for w := p.from; w < p.to; {
				day := w / b.Calendar.length
				end := min(p.to, (day+1)*b.Calendar.length)
				for _, person := range s.People {
					h := &b.hulls[day*len(b.People)+person]
					if h.to == 0 || w < h.from {
						h.from = w
					}
					h.to = max(h.to, end)
				}
				w = end
			}
		})
	}
	for _, h := range b.hulls {
		g.idle += h.to - h.from
	}
	for person := range b.stays {
		for k := range b.stays[person] {
			if b.moves(person, k) {
				g.moves++
			}
		}
	}
	return g
}
