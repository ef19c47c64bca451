package project

import "math/bits"

// schedule is where activities lie, all as early as the ones before allow, in the view of the
// side it was made from: times count from the start of the project on one side and from its
// end on the other.
type schedule struct {
	start []int32
	span  int32 // makespan
	sum   int32 // of all starts
	tight int32 // how many activities cannot start later by precedence alone
}

// view is the project seen from one side. Its activities are numbered so that each comes after
// all before it; activity i of one side is n-1-i of the other.
type view struct {
	time   []int32
	need   []uint64 // by activity and word
	work   []int64  // time on all resources together, in parts of their capacity
	before [][]int32
	tail   []int32 // longest way from the start of an activity to the end
}

func views(in *instance, n *net) [2]view {
	var out [2]view
	place := make([]int32, in.n) // by activity, of its number in the view
	for side := range out {
		v := view{time: make([]int32, in.n), before: make([][]int32, in.n), tail: make([]int32, in.n)}
		for at, i := range in.order {
			if place[i] = int32(at); side == 1 {
				place[i] = int32(in.n - 1 - at)
			}
		}
		for at := range in.n {
			i := in.order[at]
			before, tail := in.before[i], n.tail[i]
			if side == 1 {
				i = in.order[in.n-1-at]
				before, tail = in.then[i], n.early[i]+in.time[i]
			}
			v.time[at], v.tail[at] = int32(in.time[i]), int32(tail)
			v.need = append(v.need, in.need[i]...)
			work := 0
			for r, c := range n.Capacity {
				work += 100 * in.time[i] * n.Needs[i][r] / max(1, c)
			}
			v.work = append(v.work, int64(work))
			for _, k := range before {
				v.before[at] = append(v.before[at], place[k])
			}
		}
		out[side] = v
	}
	return out
}

// decoder builds schedules one activity after the other. It keeps its working memory.
type decoder struct {
	views       *[2]view
	room, guard []uint64
	used        []uint64 // by time and word
	high        int32    // used is 0 from here on
	keys        []int32  // of the activities, made to grow along precedence
	order       []int32
	buckets     [257]int32
}

func newDecoder(in *instance, views *[2]view) *decoder {
	return &decoder{views: views, room: in.room, guard: in.guard, used: make([]uint64, (in.horizon+1)*in.words),
		keys: make([]int32, in.n), order: make([]int32, in.n)}
}

// build places activities by the least key among those whose predecessors are placed, each
// as early as precedence and capacities allow (serial generation, Kelley 1963). It gives up
// and tells so when the schedule would be longer than most.
func (d *decoder) build(side int, keys []int32, most int32, out *schedule) bool {
	v := &d.views[side]
	d.sort(v, keys)
	clear(d.used[:int(d.high)*len(d.room)])
	start, time := out.start, v.time
	out.span, out.sum, out.tight, d.high = 0, 0, 0, 0
	for _, i := range d.order {
		from := int32(0)
		for _, k := range v.before[i] {
			from = max(from, start[k]+time[k])
		}
		if time[i] > 0 {
			if len(d.room) == 1 {
				from = d.placeOne(v.need[i], from, time[i])
			} else {
				from = d.place(v.need[int(i)*len(d.room):], from, time[i])
			}
		}
		start[i] = from
		out.sum += from
		d.high = max(d.high, from+time[i])
		if from+v.tail[i] > most {
			return false
		}
	}
	out.span = d.high
	for i, tail := range v.tail {
		if start[i]+tail >= out.span {
			out.tight++
		}
	}
	return true
}

// sort puts the activities in the order of their keys, each behind all before it: by buckets,
// then by insertion.
func (d *decoder) sort(v *view, keys []int32) {
	top := int32(0)
	for i, key := range keys {
		for _, k := range v.before[i] {
			key = max(key, d.keys[k])
		}
		d.keys[i] = key
		top = max(top, key)
	}
	shift := max(0, bits.Len32(uint32(top))-8)
	clear(d.buckets[:])
	for _, key := range d.keys {
		d.buckets[(key>>shift)+1]++
	}
	for b := range 255 {
		d.buckets[b+1] += d.buckets[b]
	}
	for i, key := range d.keys {
		b := key >> shift
		d.order[d.buckets[b]] = int32(i)
		d.buckets[b]++
	}
	for at, i := range d.order {
		key, to := d.keys[i], at
		for to > 0 && d.keys[d.order[to-1]] > key {
			d.order[to] = d.order[to-1]
			to--
		}
		d.order[to] = i
	}
}

// placeOne finds the first time from which an activity fits, and takes it.
func (d *decoder) placeOne(need uint64, from, long int32) int32 {
	if need == 0 {
		return from
	}
	room, guard := d.room[0]-need, d.guard[0]
	used := d.used
	for t := from + long - 1; t >= from; t-- {
		if (room-used[t])&guard != guard {
			from = t + 1
			t = from + long
		}
	}
	taken := used[from : from+long]
	for t := range taken {
		taken[t] += need
	}
	return from
}

// place is placeOne for needs of several words.
func (d *decoder) place(need []uint64, from, long int32) int32 {
	words := len(d.room)
	for t := from + long - 1; t >= from; t-- {
		for w, room := range d.room {
			if (room-d.used[int(t)*words+w]-need[w])&d.guard[w] != d.guard[w] {
				from = t + 1
				t = from + long
				break
			}
		}
	}
	for t := int(from); t < int(from+long); t++ {
		for w := range words {
			d.used[t*words+w] += need[w]
		}
	}
	return from
}

// turn gives the keys that a schedule of one side has on the other: packing it anew with them
// is a justification.
func turn(v *view, m *schedule, keys []int32) {
	last := len(keys) - 1
	for i, t := range v.time {
		keys[last-i] = (m.span - m.start[i] - t) * grain
	}
}

// grain is how many keys there are to a unit of time.
const grain = 64
