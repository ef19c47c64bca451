package solve

import "slices"

// slacks is, by activity, the work minutes by which it can slip without moving
// the finish, all that follows slipping as far as it can: a backward pass over
// the waits, the people, the kit and the wet corners of the programme.
func (b *board) slacks() []int {
	finish := 0
	for i := range b.slots {
		finish = max(finish, b.slots[i].End)
	}
	end := make([]int, len(b.slots)) // latest end in site minutes, where it is fixed so
	work := make([]int, len(b.slots))
	then := make([][]int, len(b.slots)) // next user of a person or a kit
	for i := range b.slots {
		end[i], work[i] = finish, b.Calendar.upTo(finish)
	}
	b.sharers(then, work)
	order := make([]int, len(b.slots))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(x, y int) int { return b.slots[y].from - b.slots[x].from })
	latest := make([]int, len(b.slots))
	slack := make([]int, len(b.slots))
	for _, i := range order {
		a, s := &b.Acts[i], &b.slots[i]
		if a.done() {
			latest[i] = s.from
			continue
		}
		for _, l := range a.after {
			if b.Acts[l.On].Fact != nil {
				continue
			}
			end[i] = min(end[i], l.latestEnd(s.End, b.Calendar.begins(latest[l.On])))
		}
		for _, k := range a.Wet {
			if b.slots[k].from > s.from {
				end[i] = min(end[i], b.Calendar.begins(latest[k])-a.Touch)
			}
		}
		for _, k := range then[i] {
			work[i] = min(work[i], latest[k])
		}
		latest[i] = b.latestStart(i, max(s.to, min(work[i], b.Calendar.upTo(end[i]))))
		for _, l := range a.Before {
			if l.Until > 0 && a.Fact == nil {
				closes := b.slots[l.On].End + l.LatestAfter(b.slots[l.On].End)
				for latest[i] > s.from && b.Calendar.begins(latest[i]) > closes {
					latest[i] = max(s.from, b.Calendar.from(closes)-1)
				}
				if _, ok := b.fits(a, latest[i], s.People, &Held{}); !ok {
					latest[i] = s.from
				}
			}
		}
		slack[i] = latest[i] - s.from
	}
	return slack
}

// sharers finds, for each activity, who uses its people and its kit next. Work
// that is parted by days on which a room is shut, with other work between, stays
// where it is.
func (b *board) sharers(then [][]int, work []int) {
	type use struct {
		piece
		act         int
		first, last bool
	}
	lines := make([][]use, len(b.People))
	kits := map[[2]int][]use{}
	for i := range b.slots {
		s := &b.slots[i]
		s.ahead(func(p piece) {
			for _, person := range s.People {
				lines[person] = append(lines[person], use{p, i, p.from == s.from, p.to == s.to})
			}
		})
		if s.Unit >= 0 {
			key := [2]int{b.Acts[i].Kit, s.Unit}
			kits[key] = append(kits[key], use{piece{s.from, s.to}, i, true, true})
		}
	}
	for k, count := range b.Kits {
		for u := range count {
			lines = append(lines, kits[[2]int{k, u}])
		}
	}
	for _, line := range lines {
		slices.SortFunc(line, func(x, y use) int { return x.from - y.from })
		for k := 1; k < len(line); k++ {
			x, y := line[k-1], line[k]
			switch {
			case x.act == y.act:
			case x.last && y.first:
				then[x.act] = append(then[x.act], y.act)
			case x.last:
				work[x.act] = min(work[x.act], y.from)
			default:
				work[x.act] = b.slots[x.act].to
			}
		}
	}
}

// latestStart is the last work minute at which an activity with its people can
// start so that it ends by the given work minute; never before its own start.
func (b *board) latestStart(i, by int) int {
	a, s := &b.Acts[i], &b.slots[i]
	length := b.Calendar.length
	if a.long {
		w := (by - (s.to - s.from)) / length * length
		for ; w > s.from; w -= length {
			var t Slot
			if _, away := b.away(w/length, a.Room, s.People); away {
				continue
			}
			if b.pieces(a, w, s.People, &t); t.to <= by {
				return w
			}
		}
		return s.from
	}
	rest := a.rest
	for day := (by - 1) / length; day >= s.from/length; day-- {
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
			last := day*length + b.Calendar.before[b.Calendar.span(w%length)+1] - min(goodStart, a.rest)
			return max(s.from, min(w, last))
		}
		for k := len(b.Calendar.spans) - 1; k >= 0; k-- {
			w := min(top, day*length+b.Calendar.before[k+1]) - a.rest
			if w >= day*length+b.Calendar.before[k] {
				return max(s.from, w)
			}
		}
	}
	return s.from
}

// latestEnd is the latest site minute, not before end, at which an activity may end for
// the next to begin as given.
func (l *Link) latestEnd(end, begin int) int {
	if l.Times == nil {
		return begin - l.Lag
	}
	low, high := 0, max(0, begin-l.Lag-end)/grain
	for low < high {
		middle := (low + high + 1) / 2
		if at := end + middle*grain; at+l.LagAfter(at) <= begin {
			low = middle
		} else {
			high = middle - 1
		}
	}
	return end + low*grain
}
