package place

import (
	"math"
	"slices"
)

// Goal is what makes one programme better than another, in the order in
// which a crew pays for it: windows missed, site days and starts on another day than agreed,
// visits, the day of the finish, idle time, moves between rooms, work kept back, the time left
// to the tightest window, the hour of the finish.
type Goal struct{ Late, Days, Visits, Finish, Moved, Idle, Moves, kept, tightest int }

// MovesWorthADay is how many activities may start on another day than agreed to save a site day
// (own default).
const MovesWorthADay = 20

// Less reports whether a goal is better than another.
func (g Goal) Less(o Goal) bool {
	return slices.Compare([]int{g.Late, g.Days*MovesWorthADay + g.Moved, g.Visits, (g.Finish - 1) / Day, g.Idle, g.Moves, g.kept, -g.tightest, g.Finish},
		[]int{o.Late, o.Days*MovesWorthADay + o.Moved, o.Visits, (o.Finish - 1) / Day, o.Idle, o.Moves, o.kept, -o.tightest, o.Finish}) < 0
}

// windows counts the latest starts that are missed, and finds the least time left to
// one that is not, and not past.
func (b *Board) windows(g *Goal) {
	g.tightest = math.MaxInt
	for i := range b.Slots {
		for _, l := range b.Acts[i].Before {
			if l.Until == 0 {
				continue
			}
			end := b.Slots[l.On].End
			left := end + l.LatestAfter(end) - b.Slots[i].Begin
			if left < 0 {
				g.Late++
			} else if b.Acts[i].Fact == nil {
				g.tightest = min(g.tightest, left)
			}
		}
	}
}

// Attendance adds, by open day, the minutes worked there by all to an empty list.
func (b *Board) Attendance(worked []int) []int {
	for i := range b.Slots {
		s := &b.Slots[i]
		s.each(func(p Piece) {
			for w := p.From; w < p.To; {
				day := w / b.Calendar.Length
				for len(worked) <= day {
					worked = append(worked, 0)
				}
				end := min(p.To, (day+1)*b.Calendar.Length)
				worked[day] += (end - w) * len(s.People)
				w = end
			}
		})
	}
	return worked
}

// Measure finds the goal of a plan with the attendance given.
func (b *Board) Measure(worked []int) (g Goal) {
	b.windows(&g)
	for _, m := range worked {
		g.Idle -= m
	}
	g.Days, g.Visits = b.Past.visits(worked)
	b.hulls = append(b.hulls[:0], make([]Piece, len(worked)*len(b.People))...)
	for i := range b.Slots {
		s := &b.Slots[i]
		g.Finish = max(g.Finish, s.End)
		if s.kept {
			g.kept++
		}
		if agreed := b.Acts[i].Agreed; agreed > 0 && s.Begin/Day != agreed-1 {
			g.Moved++
		}
		s.each(func(p Piece) {
			for w := p.From; w < p.To; {
				day := w / b.Calendar.Length
				end := min(p.To, (day+1)*b.Calendar.Length)
				for _, person := range s.People {
					h := &b.hulls[day*len(b.People)+person]
					if h.To == 0 || w < h.From {
						h.From = w
					}
					h.To = max(h.To, end)
				}
				w = end
			}
		})
	}
	for _, h := range b.hulls {
		g.Idle += h.To - h.From
	}
	for person := range b.stays {
		for k := range b.stays[person] {
			if b.moves(person, k) {
				g.Moves++
			}
		}
	}
	return g
}
