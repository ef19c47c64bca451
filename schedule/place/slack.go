package place

import "slices"

// Slacks is, by activity, the work minutes by which it can slip without moving
// the finish, all that follows slipping as far as it can: a backward pass over
// the waits, the people, the kit and the wet corners of the programme.
func (b *Board) Slacks() []int {
	finish := 0
	for i := range b.Slots {
		finish = max(finish, b.Slots[i].End)
	}
	end := make([]int, len(b.Slots)) // latest end in site minutes, where it is fixed so
	work := make([]int, len(b.Slots))
	then := make([][]int, len(b.Slots)) // next user of a person or a kit
	for i := range b.Slots {
		end[i], work[i] = finish, b.Calendar.UpTo(finish)
	}
	b.sharers(then, work)
	order := make([]int, len(b.Slots))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(x, y int) int { return b.Slots[y].From - b.Slots[x].From })
	latest := make([]int, len(b.Slots))
	slack := make([]int, len(b.Slots))
	for _, i := range order {
		a, s := &b.Acts[i], &b.Slots[i]
		if a.Done() {
			latest[i] = s.From
			continue
		}
		for _, l := range a.After {
			if b.Acts[l.On].Fact != nil {
				continue
			}
			end[i] = min(end[i], l.latestEnd(s.End, b.Calendar.Begins(latest[l.On])))
		}
		for _, k := range a.Wet {
			if b.Slots[k].From > s.From {
				end[i] = min(end[i], b.Calendar.Begins(latest[k])-a.Touch)
			}
		}
		for _, k := range then[i] {
			work[i] = min(work[i], latest[k])
		}
		latest[i] = b.latestStart(i, max(s.To, min(work[i], b.Calendar.UpTo(end[i]))))
		for _, l := range a.Before {
			if l.Until > 0 && a.Fact == nil {
				closes := b.Slots[l.On].End + l.LatestAfter(b.Slots[l.On].End)
				for latest[i] > s.From && b.Calendar.Begins(latest[i]) > closes {
					latest[i] = max(s.From, b.Calendar.From(closes)-1)
				}
				if _, ok := b.fits(a, latest[i], s.People, &Held{}); !ok {
					latest[i] = s.From
				}
			}
		}
		slack[i] = latest[i] - s.From
	}
	return slack
}

// sharers finds, for each activity, who uses its people and its kit next. Work
// that is parted by days on which a room is shut, with other work between, stays
// where it is.
func (b *Board) sharers(then [][]int, work []int) {
	type use struct {
		Piece
		act         int
		first, last bool
	}
	lines := make([][]use, len(b.People))
	kits := map[[2]int][]use{}
	for i := range b.Slots {
		s := &b.Slots[i]
		s.ahead(func(p Piece) {
			for _, person := range s.People {
				lines[person] = append(lines[person], use{p, i, p.From == s.From, p.To == s.To})
			}
		})
		if s.Unit >= 0 {
			key := [2]int{b.Acts[i].Kit, s.Unit}
			kits[key] = append(kits[key], use{Piece{s.From, s.To}, i, true, true})
		}
	}
	for k, count := range b.Kits {
		for u := range count {
			lines = append(lines, kits[[2]int{k, u}])
		}
	}
	for _, line := range lines {
		slices.SortFunc(line, func(x, y use) int { return x.From - y.From })
		for k := 1; k < len(line); k++ {
			x, y := line[k-1], line[k]
			switch {
			case x.act == y.act:
			case x.last && y.first:
				then[x.act] = append(then[x.act], y.act)
			case x.last:
				work[x.act] = min(work[x.act], y.From)
			default:
				work[x.act] = b.Slots[x.act].To
			}
		}
	}
}

// latestStart is the last work minute at which an activity with its people can
// start so that it ends by the given work minute; never before its own start.
func (b *Board) latestStart(i, by int) int {
	a, s := &b.Acts[i], &b.Slots[i]
	length := b.Calendar.Length
	if a.Long {
		w := (by - (s.To - s.From)) / length * length
		for ; w > s.From; w -= length {
			var t Slot
			if _, away := b.away(w/length, a.Room, s.People); away {
				continue
			}
			if b.pieces(a, w, s.People, &t); t.To <= by {
				return w
			}
		}
		return s.From
	}
	rest := a.Rest
	for day := (by - 1) / length; day >= s.From/length; day-- {
		if _, away := b.away(day, a.Room, s.People); away {
			continue
		}
		top := min(by, (day+1)*length)
		if !a.Unbroken {
			if rest > top-day*length {
				rest -= top - day*length
				continue
			}
			w := top - rest
			w = min(w, day*length+b.Calendar.Before[b.Calendar.Span(w%length)+1]-min(GoodStart, a.Rest))
			for w > s.From && b.Calendar.Begin(a, w%length) > w%length {
				w--
			}
			return max(s.From, w)
		}
		for k := len(b.Calendar.Spans) - 1; k >= 0; k-- {
			w := min(top, day*length+b.Calendar.Before[k+1]) - a.Rest
			if w >= day*length+b.Calendar.Before[k] {
				return max(s.From, w)
			}
		}
	}
	return s.From
}

// latestEnd is the latest site minute, not before end, at which an activity may end for
// the next to begin as given.
func (l *Link) latestEnd(end, begin int) int {
	if l.Times == nil {
		return begin - l.Lag
	}
	low, high := 0, max(0, begin-l.Lag-end)/Grain
	for low < high {
		middle := (low + high + 1) / 2
		if at := end + middle*Grain; at+l.LagAfter(at) <= begin {
			low = middle
		} else {
			high = middle - 1
		}
	}
	return end + low*Grain
}
