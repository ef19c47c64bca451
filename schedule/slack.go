package schedule

import "slices"

// slacks is, by activity, the work minutes by which it can slip without moving
// the finish, all that follows slipping as far as it can: a backward pass over
// the waits, the people, the kit and the wet corners of the programme.
func (b *board) slacks() []int {
	finish := 0
	for i := range b.slots {
		finish = max(finish, b.slots[i].end)
	}
	end := make([]int, len(b.slots)) // latest end in site minutes, where it is fixed so
	work := make([]int, len(b.slots))
	then := make([][]int, len(b.slots)) // next user of a person or a kit
	for i := range b.slots {
		end[i], work[i] = finish, b.cal.upTo(finish)
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
		a, s := &b.acts[i], &b.slots[i]
		for _, l := range a.after {
			end[i] = min(end[i], b.cal.begins(latest[l.other])-l.lag)
		}
		for _, k := range a.wet {
			if b.slots[k].from > s.from {
				end[i] = min(end[i], b.cal.begins(latest[k])-a.touch)
			}
		}
		for _, k := range then[i] {
			work[i] = min(work[i], latest[k])
		}
		latest[i] = b.latestStart(i, max(s.to, min(work[i], b.cal.upTo(end[i]))))
		for _, l := range a.before {
			if l.until > 0 {
				for latest[i] > s.from && b.cal.begins(latest[i]) > b.slots[l.other].end+l.until {
					latest[i] = max(s.from, b.cal.from(b.slots[l.other].end+l.until)-1)
				}
				if _, ok := b.fits(a, latest[i], s.people, &held{}); !ok {
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
	lines := make([][]use, len(b.people))
	kits := map[[2]int][]use{}
	for i := range b.slots {
		s := &b.slots[i]
		s.each(func(p piece) {
			for _, person := range s.people {
				lines[person] = append(lines[person], use{p, i, p.from == s.from, p.to == s.to})
			}
		})
		if s.unit >= 0 {
			key := [2]int{b.acts[i].kit, s.unit}
			kits[key] = append(kits[key], use{piece{s.from, s.to}, i, true, true})
		}
	}
	for _, k := range b.kits {
		for u := range k.count {
			lines = append(lines, kits[[2]int{slices.Index(b.kits, k), u}])
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
	a, s := &b.acts[i], &b.slots[i]
	length := b.cal.length
	if a.long {
		w := (by - (s.to - s.from)) / length * length
		for ; w > s.from; w -= length {
			var t slot
			if _, away := b.away(w/length, a.room, s.people); away {
				continue
			}
			if b.pieces(a, w, s.people, &t); t.to <= by {
				return w
			}
		}
		return s.from
	}
	rest := a.work
	for day := (by - 1) / length; day >= s.from/length; day-- {
		if _, away := b.away(day, a.room, s.people); away {
			continue
		}
		top := min(by, (day+1)*length)
		if !a.unbroken {
			if rest > top-day*length {
				rest -= top - day*length
				continue
			}
			w := top - rest
			last := day*length + b.cal.before[b.cal.span(w%length)+1] - min(goodStart, a.work)
			return max(s.from, min(w, last))
		}
		for k := len(b.cal.spans) - 1; k >= 0; k-- {
			w := min(top, day*length+b.cal.before[k+1]) - a.work
			if w >= day*length+b.cal.before[k] {
				return max(s.from, w)
			}
		}
	}
	return s.from
}
